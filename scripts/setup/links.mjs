// @ts-check
/**
 * How one folder is reached from another place: by a link, or where the disk keeps none, as a stick formatted in exFAT does,
 * by a small package that hands on to it.
 */
import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import path from "node:path";
import { remove } from "./patient-files.cjs";

/** What systems say where a disk has no links. */
const withoutLinks = ["EINVAL", "EISDIR", "ENOSYS", "ENOTSUP", "EOPNOTSUPP", "EPERM", "UNKNOWN"];

/**
 * @param {string} target  an absolute path of a folder
 * @param {string} link  where nothing is yet
 * @param {(target: string, link: string, type: "junction") => void} [symlink]
 * @returns {boolean} false where the disk keeps no links
 */
export function linkFolder(target, link, symlink = symlinkSync) {
  try {
    symlink(target, link, "junction");
    return true;
  } catch (error) {
    if (withoutLinks.includes(/** @type {NodeJS.ErrnoException} */ (error).code ?? "")) return false;
    throw error;
  }
}

/**
 * Writes a package that hands on to another one, for code and compiler alike; nothing in it grows old.
 *
 * @param {string} target  an absolute path of a package's folder
 * @param {string} place  the folder to write
 */
export function bridgePackage(target, place) {
  remove(place);
  mkdirSync(place, { recursive: true });
  const from = JSON.stringify(target.split(path.sep).join("/"));
  const description = { name: path.basename(place), private: true, main: "index.js", types: "index.d.ts" };
  writeFileSync(path.join(place, "package.json"), `${JSON.stringify(description, null, 2)}\n`);
  writeFileSync(path.join(place, "index.js"), `module.exports = require(${from});\n`);
  writeFileSync(path.join(place, "index.d.ts"), `export * from ${from};\n`);
}
