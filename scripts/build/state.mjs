// @ts-check
/** What a build is made from, whether the one at hand is still of that, and how notebooks find it. */
import {
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
} from "node:fs";
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { hashOf, isStamped, writeStamp } from "../setup/stamp.mjs";

export const dist = inRoot("dist");
const stampFile = path.join(dist, ".stamp");

export const isBuilt = () => isStamped(stampFile, sourceHash());
export const markBuilt = (/** @type {string} */ hash) => writeStamp(stampFile, hash);

/** Hash of all that the built library depends on, names and contents. */
export function sourceHash() {
  const files = [
    inRoot("scripts", "build.mjs"),
    inRoot("package-lock.json"),
    ...["scripts/build", "lib"].flatMap((folder) => filesBelow(inRoot(folder))),
  ];
  return hashOf(...files.flatMap((file) => [path.relative(inRoot(), file), readFileSync(file)]));
}

/**
 * Lets notebooks below a folder import the library by its name.
 *
 * @param {string} modules  a node_modules folder
 */
export function linkPackage(modules) {
  const link = path.join(modules, "evenground");
  const found = lstatSync(link, { throwIfNoEntry: false });
  if (found?.isSymbolicLink() && existsSync(link) && realpathSync(link) === realpathSync(dist)) return;
  if (found) rmSync(link, { recursive: true, force: true });
  mkdirSync(modules, { recursive: true });
  symlinkSync(dist, link, "junction");
}

/**
 * @param {string} folder
 * @returns {string[]} in a fixed order
 */
function filesBelow(folder) {
  return readdirSync(folder, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const full = path.join(folder, entry.name);
      return entry.isDirectory() ? filesBelow(full) : [full];
    });
}
