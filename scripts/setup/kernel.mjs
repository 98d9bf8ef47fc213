// @ts-check
/** The TypeScript kernel, made known to this repository's JupyterLab alone. */
import { mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { inRoot, isWindows } from "./places.mjs";

/** Name of the kernel in every notebook's metadata. */
export const kernelName = "tslab";

/** Its command line: absolute paths, one word each, so that spaces in them do no harm. */
export const kernelCommand = [
  process.execPath,
  inRoot("scripts", "typescript-kernel", "main.cjs"),
  "kernel",
  "--config-path",
  "{connection_file}",
];

/**
 * Registers the kernel inside a virtual environment; at each start, for Node.js or the repository may have moved.
 *
 * @param {string} environment  its folder
 * @param {{ argv?: readonly string[], metadata?: object }} [options]  command line, where it is not the usual one; what
 *   our servers know of it besides (`scripts/jupyter/quick_kernels.py`)
 */
export function writeKernel(environment, { argv = kernelCommand, metadata = {} } = {}) {
  const folder = path.join(environment, "share", "jupyter", "kernels", kernelName);
  mkdirSync(folder, { recursive: true });
  // Windows has no signals to stop a cell with.
  const stop = isWindows && { interrupt_mode: "message" };
  const spec = { argv, display_name: "TypeScript", language: "typescript", metadata, ...stop };
  writeFileSync(path.join(folder, "kernel.json"), `${JSON.stringify(spec, null, 2)}\n`);
}
