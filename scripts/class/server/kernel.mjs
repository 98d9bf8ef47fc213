// @ts-check
/** The TypeScript kernel for the class: with a limit to its memory, and sockets that only its own student reaches. */
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { kernelCommand, writeKernel } from "../../setup/kernel.mjs";
import { inRoot } from "../../setup/places.mjs";
import { ensureSnapshot, snapshotMetadata } from "../../setup/snapshot.mjs";
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
  const [node, ...rest] = kernelCommand;
  const heap = `--max-old-space-size=${Math.max(150, memory - besideHeap)}`;
  const argv = [...together, ...limit, node, heap, ...rest];
  await ensureSnapshot([heap]);
  writeKernel(environment, { argv, metadata: snapshotMetadata([heap]) });
  await step("the kernel, compiled once for all", async () => {
    const cells = [{ cell_type: "code", source: 'import * as e from "evenground";', outputs: [] }];
    const { bundle } = await import("../../setup/run-typescript.mjs");
    const { executeNotebook } = createRequire(import.meta.url)(
      await bundle(inRoot("scripts", "notebook", "execute.ts")),
    );
    await executeNotebook({ cells }, { argv: kernelCommand, folder: inRoot() });
  });
  // What was made must be readable by students whatever the umask was.
  spawnSync("chmod", ["-R", "a+rX", inRoot(".jupyter", "compiled"), inRoot(".jupyter", "snapshot")]);
}
