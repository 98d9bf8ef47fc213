// @ts-check
/** What a build is made from, whether the one at hand is still of that, and how notebooks find it. */
import { existsSync, lstatSync, mkdirSync, readdirSync, readFileSync, realpathSync } from "node:fs";
import path from "node:path";
import { bridgePackage, linkFolder } from "../setup/links.mjs";
import { remove } from "../setup/patient-files.cjs";
import { inRoot } from "../setup/places.mjs";
import { samePath } from "../setup/same-path.cjs";
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
 * @param {typeof linkFolder} [link]
 */
export const linkLibrary = (modules, link) => linkPackage(dist, path.join(modules, "evenground"), link);

/**
 * Lets what lies beside it import a package by its name.
 *
 * @param {string} target  the package's folder
 * @param {string} place  where it is looked for; what is there is exchanged
 * @param {typeof linkFolder} [link]
 */
export function linkPackage(target, place, link = linkFolder) {
  const found = lstatSync(place, { throwIfNoEntry: false });
  if (found?.isSymbolicLink() && existsSync(place) && samePath(realpathSync(place), realpathSync(target)))
    return;
  if (found) remove(place);
  mkdirSync(path.dirname(place), { recursive: true });
  if (!link(target, place)) bridgePackage(target, place);
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
