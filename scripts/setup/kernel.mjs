// @ts-check
/** The TypeScript kernel, made known to this repository's JupyterLab alone. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { inRoot } from "./places.mjs";
import { courseEnvironment } from "./python-env.mjs";

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

/** Registers the kernel inside the virtual environment, again where Node.js or the repository has moved. */
export function ensureKernel() {
  const file = path.join(courseEnvironment.folder, "share", "jupyter", "kernels", kernelName, "kernel.json");
  const spec = {
    argv: kernelCommand,
    display_name: "TypeScript",
    language: "typescript",
  };
  const text = `${JSON.stringify(spec, null, 2)}\n`;
  if (readOrNothing(file) === text) return;
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, text);
}

/** @param {string} file */
function readOrNothing(file) {
  try {
    return readFileSync(file, "utf8");
  } catch {
    return undefined;
  }
}
