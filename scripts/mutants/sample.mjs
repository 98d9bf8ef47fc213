// @ts-check
/**
 * Which mutants are tried, where not all: a seeded sample, or those that survived last time. StrykerJS asks this file as a
 * checker, which is how one mutant can be left out and its neighbours not. In a sample each is taken or left by itself, with
 * the same probability, so it favours no file and no kind of change.
 */
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { hashOf } from "../setup/stamp.mjs";

/**
 * @typedef {{ line: number, column: number }} Place
 * @typedef {{ fileName: string, location: { start: Place, end: Place }, replacement: string }} Mutant
 * @typedef {{ share_percent: number, seed: number, only?: readonly string[] }} Sample  `only`: the keys of those wanted
 *
 * @param {Mutant} mutant
 * @param {Sample} sample
 */
export function isSampled({ fileName, location, replacement }, { share_percent, seed, only }) {
  const file = path.relative(inRoot(), fileName).replaceAll(path.sep, "/");
  const key = keyOf(file, location, replacement);
  if (only) return only.includes(key);
  const hash = hashOf(String(seed), key);
  return Number.parseInt(hash.slice(0, 8), 16) / 2 ** 32 < share_percent / 100;
}

/**
 * What names a mutant for as long as its file stays as it is.
 *
 * @param {string} file  from the repository's root, with slashes
 * @param {Mutant["location"]} location
 * @param {string} [replacement]
 */
export const keyOf = (file, { start, end }, replacement = "") =>
  [file, start.line, start.column, end.line, end.column, replacement].join(" ");

class SampleChecker {
  static inject = /** @type {const} */ (["options"]);

  /** @param {{ sample: Sample }} options */
  constructor({ sample }) {
    this.sample = sample;
  }

  async init() {}

  /** @param {readonly (Mutant & { id: string })[]} mutants */
  async group(mutants) {
    return [mutants.map(({ id }) => id)];
  }

  /** @param {readonly (Mutant & { id: string })[]} mutants */
  async check(mutants) {
    return Object.fromEntries(
      mutants.map((mutant) => [
        mutant.id,
        isSampled(mutant, this.sample)
          ? { status: "passed" }
          : { status: "compileError", reason: "not in the sample" },
      ]),
    );
  }
}

export const strykerPlugins = [{ kind: "Checker", name: "sample", injectableClass: SampleChecker }];
