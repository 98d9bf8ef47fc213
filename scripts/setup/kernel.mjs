// @ts-check
/** The TypeScript kernel, made known to this repository's JupyterLab alone. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { inRoot } from "./places.mjs";
import { courseEnvironment } from "./python-env.mjs";

/** Name of the kernel in every notebook's metadata. */
export const kernelName = "tslab";

/**
 * Registers the kernel inside the virtual environment, again where Node.js or the repository has moved.
 * Absolute paths, one word each, so that spaces in them do no harm.
 */
export function ensureKernel() {
  const file = path.join(courseEnvironment.folder, "share", "jupyter", "kernels", kernelName, "kernel.json");
  const spec = {
    argv: [
      process.execPath,
      inRoot("node_modules", "tslab", "bin", "tslab"),
      "kernel",
      "--config-path",
      "{connection_file}",
    ],
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
