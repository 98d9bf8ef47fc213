// @ts-check
/** The TypeScript kernel for the class: with a limit to its memory, and sockets that only its own student reaches. */
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { kernelCommand, kernelName } from "../../setup/kernel.mjs";
import { inRoot } from "../../setup/places.mjs";
import { step } from "../../setup/step.mjs";

/** Beside its heap a kernel needs about this much for code, threads and typed arrays, megabytes. */
const besideHeap = 400;

/**
 * @param {string} environment  the class's virtual environment
 * @param {number} memory  the most that a kernel may use, megabytes
 */
export async function ensureClassKernel(environment, memory) {
  const limit = existsSync("/usr/bin/prlimit")
    ? ["/usr/bin/prlimit", `--data=${memory * 1_000_000}`, "--"]
    : [];
  // A kernel in the middle of a cell ends with its server, too, instead of keeping memory and processor.
  const together = existsSync("/usr/bin/setpriv") ? ["/usr/bin/setpriv", "--pdeathsig", "KILL", "--"] : [];
  const [node, main, ...rest] = kernelCommand;
  const heap = `--max-old-space-size=${Math.max(150, memory - besideHeap)}`;
  const argv = [
    ...together,
    ...limit,
    node,
    heap,
    inRoot("scripts", "class", "server", "kernel.cjs"),
    ...rest,
  ];
  const spec = { argv, display_name: "TypeScript", language: "typescript" };
  const folder = path.join(environment, "share", "jupyter", "kernels", kernelName);
  mkdirSync(folder, { recursive: true });
  writeFileSync(path.join(folder, "kernel.json"), `${JSON.stringify(spec, null, 2)}\n`);
  await step("the kernel, compiled once for all", async () => {
    // only now: what it needs from npm is not there before the first set-up
    const { executeNotebook } = await import("../../notebook/execute.mjs");
    const cells = [
      { cell_type: "code", source: 'import * as e from "evenground";', outputs: [], metadata: {} },
    ];
    await executeNotebook({ cells }, { argv: [node, main, ...rest], folder: inRoot() });
  });
  // What the warm-up kept must be readable by students whatever the umask was.
  spawnSync("chmod", ["-R", "a+rX", inRoot(".jupyter", "compiled")]);
}
