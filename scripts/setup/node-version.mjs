// @ts-check
import { SetupError } from "./setup-error.mjs";

/** The first of each long-lived line that our packages take; whatever comes after the last line is taken too. */
const oldest = [
  [20, 19],
  [22, 12],
];

/**
 * Refuses a Node.js that is too old, before anything is installed with it.
 *
 * @param {string} [version]
 */
export function requireNode(version = process.versions.node) {
  const [major, minor] = version.split(".").map(Number);
  const [newestMajor] = /** @type {number[]} */ (oldest.at(-1));
  if (major > newestMajor || oldest.some(([line, first]) => major === line && minor >= first)) return;
  throw new SetupError(
    `Node.js ${version} is too old: install version 24 or newer from nodejs.org, then run this again.`,
  );
}
