// @ts-check
import { existsSync, readdirSync } from "node:fs";
import path from "node:path";

/**
 * The files that make up the course, in the order of their names.
 *
 * @param {string} folder
 * @returns {string[]} paths relative to the folder; nothing hidden, nothing installed, not the mentors' guides, which
 *   tell what a student is to find out
 */
export function filesToHandOut(folder) {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { withFileTypes: true })
    .filter(({ name }) => !name.startsWith(".") && !["node_modules", "mentors"].includes(name))
    .flatMap((entry) =>
      entry.isDirectory()
        ? filesToHandOut(path.join(folder, entry.name)).map((file) => path.join(entry.name, file))
        : [entry.name],
    )
    .sort();
}

/**
 * The notebooks among them.
 *
 * @param {string} folder
 */
export const notebooksIn = (folder) => filesToHandOut(folder).filter((file) => file.endsWith(".ipynb"));
