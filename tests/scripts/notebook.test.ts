import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { setTimeout } from "node:timers/promises";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { executeNotebook } from "../../scripts/notebook/execute";
import { type Cell, joined } from "../../scripts/notebook/format";
import { startKernel } from "../../scripts/notebook/kernel";
import { kernelCommand } from "../../scripts/setup/kernel.mjs";
import { linkModules } from "../../scripts/work/folder.mjs";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "a student's work "));
  linkModules(folder);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const text = { cell_type: "markdown", metadata: {}, source: "# Title", outputs: [] };
const code = (source: string, tags: string[] = []) => ({
  cell_type: "code",
  metadata: { tags },
  source,
  outputs: [],
});
const runAll = (...cells: Cell[]) =>
  executeNotebook({ cells: [text, ...cells] }, { argv: kernelCommand, folder });
const said = (cell: Cell) => cell.outputs.map((output) => joined(output.text)).join("");

describe("a notebook, run in the real kernel", () => {
  it("imports the library by its name from a folder outside the repository, types checked", async () => {
    const { notebook, failure } = await runAll(
      code('import { acoustics } from "evenground";\nconsole.log(acoustics.level.ofPower(100));'),
      code('acoustics.level.ofPower("100");'),
    );
    expect(said(notebook.cells[1])).toBe("20\n");
    expect(failure?.cell).toBe(3);
    expect(failure?.message).toContain("'string' is not assignable to parameter of type 'number'");
  });

  it("stops at the first cell that fails, and names the cell and its message", async () => {
    const { notebook, failure } = await runAll(
      code("const a = 1;"),
      code('function hang(): never { throw new RangeError("a is 1, expected 2"); }\nhang();'),
      code("console.log(a)"),
    );
    expect(failure).toMatchObject({ cell: 3, message: "RangeError: a is 1, expected 2\n  in hang" });
    expect(notebook.cells[3].outputs).toEqual([]);
  });

  it("lets a cell fail that is marked so, goes on after it, and minds one that is marked but does not", async () => {
    const { notebook, failure } = await runAll(
      code('await Promise.reject(new Error("as told"));', ["raises-exception"]),
      code('console.log("went on");'),
      code("const fine = 1;", ["raises-exception"]),
    );
    expect(said(notebook.cells[1])).toBe("Error: as told\n");
    expect(said(notebook.cells[2])).toBe("went on\n");
    expect(failure?.cell).toBe(4);
  });

  it("keeps only the last state of a display that was updated", async () => {
    const { notebook } = await runAll(
      code('import { newDisplay } from "tslab";\nconst d = newDisplay();\nd.html("first");\nd.html("last");'),
    );
    expect(notebook.cells[1].outputs).toEqual([
      { output_type: "display_data", data: { "text/html": "last" }, metadata: {} },
    ]);
  });

  it("says so when the kernel dies under a cell", async () => {
    const { failure } = await runAll(code("process.exit(3);"));
    expect(failure).toMatchObject({ cell: 2, message: "the kernel ended while it ran" });
  });
});

describe("a kernel that does not come up", () => {
  it.each([
    {
      fault: "never answers",
      script: "setInterval(() => {}, 1000)",
      patience: 300,
      said: /did not answer within 0.3 seconds/,
    },
    // patience enough for a busy machine, on which starting and ending takes its time
    { fault: "ends", script: "", patience: 15_000, said: /ended before it answered/ },
  ])(
    "is given up in words when it $fault, and nothing waits for ever",
    async ({ script, patience, said }) => {
      await expect(startKernel([process.execPath, "-e", script], folder, patience)).rejects.toThrow(said);
    },
  );
});

it("a kernel ends with whoever started it, though it was not told to", async () => {
  const starter = `
import { spawn } from "node:child_process";
const kernel = spawn(process.argv[1], process.argv.slice(2), { stdio: "ignore" });
console.log(kernel.pid);
setInterval(() => {}, 1000);`;
  const connection = path.join(folder, "connection.json");
  const ports = Object.fromEntries(
    ["shell", "iopub", "stdin", "control", "hb"].map((name) => [`${name}_port`, 0]),
  );
  const local = { transport: "tcp", ip: "127.0.0.1", key: "", signature_scheme: "hmac-sha256" };
  writeFileSync(connection, JSON.stringify({ ...local, ...ports }));
  const command = kernelCommand.map((word: string) => word.replace("{connection_file}", connection));
  const parent = spawn(process.execPath, ["--input-type=module", "-e", starter, ...command]);
  const [pid] = await once(parent.stdout, "data");
  const kernel = Number(pid);
  const isThere = () => {
    try {
      return process.kill(kernel, 0);
    } catch {
      return false;
    }
  };
  await setTimeout(4000);
  expect(isThere()).toBe(true);
  parent.kill("SIGKILL");
  for (let i = 0; i < 40 && isThere(); i++) await setTimeout(250);
  expect(isThere()).toBe(false);
});
