// @ts-check
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";

/** @typedef {{ registry: string, name: string, version: string, licence: string, part: string }} Licensed */

/**
 * The packages of a folder's lock that are installed here.
 *
 * @param {string} folder  with package-lock.json and node_modules
 * @returns {Licensed[]}
 */
export function npmLicences(folder) {
  const { packages } = JSON.parse(readFileSync(path.join(folder, "package-lock.json"), "utf8"));
  return Object.entries(packages).flatMap(([where, { dev, devOptional }]) => {
    const file = path.join(folder, where, "package.json");
    if (where === "" || !existsSync(file)) return [];
    const { name, version, license, licenses } = JSON.parse(readFileSync(file, "utf8"));
    const licence = textOf(license ?? licenses);
    return [{ registry: "npm", name, version, licence, part: dev || devOptional ? "tests" : "course" }];
  });
}

/**
 * @param {any} license  as a package may write it: text, an object, a list of these
 * @returns {string}
 */
const textOf = (license) =>
  Array.isArray(license)
    ? license.map(textOf).join(" OR ")
    : typeof license === "object" && license
      ? String(license.type)
      : String(license ?? "none named");
