/** What keeps a folder of pages in the browser at the first visit, so that they open without a network from then on. */
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { hashOf } from "../setup/stamp.mjs";

/**
 * @param folder  where the script will lie
 * @param files  what it keeps, relative to the folder, with forward slashes
 * @param pause  before it begins, milliseconds
 * @returns the script of a service worker, whose text changes with what it keeps
 */
export function offlineScript(folder: string, files: readonly string[], pause: number): string {
  const version = hashOf(...files.flatMap((file) => [file, readFileSync(path.join(folder, file))]));
  const list = JSON.stringify({ version, files: files.map(encodeURI), pause });
  const worker = readFileSync(inRoot("scripts", "book", "browser", "offline.js"), "utf8");
  return `self.evengroundFiles = ${list};\n${worker}`;
}

/** All files below a folder, in their order, relative to it. */
export const filesBelow = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(folder, path.join(entry.parentPath, entry.name)).split(path.sep).join("/"))
    .sort();
