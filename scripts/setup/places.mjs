// @ts-check
/** Where things lie: everything that set-up makes stays inside the repository, in folders that git ignores. */
import path from "node:path";
import { fileURLToPath } from "node:url";

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "..", "..");

/** @param {...string} parts  path below the repository's root */
export const inRoot = (...parts) => path.join(root, ...parts);

/**
 * A path that the user gave: from where they stand, which npm changes to the repository's root.
 *
 * @param {string} file
 */
export const fromUser = (file) => path.resolve(process.env.INIT_CWD ?? process.cwd(), file);

export const isWindows = process.platform === "win32";

/**
 * The Python of a virtual environment.
 *
 * @param {string} environment  folder of the environment
 */
export const pythonOf = (environment) =>
  isWindows ? path.join(environment, "Scripts", "python.exe") : path.join(environment, "bin", "python");
