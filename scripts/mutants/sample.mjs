// @ts-check
/**
 * A seeded sample of mutants. StrykerJS asks it as a checker, which is how one mutant can be left out and its neighbours not:
 * each is taken or left by itself, with the same probability, so the sample favours no file and no kind of change.
 */
import path from "node:path";
import { inRoot } from "../setup/places.mjs";
import { hashOf } from "../setup/stamp.mjs";

/**
 * @typedef {{ fileName: string, location: object, replacement: string }} Mutant
 * @typedef {{ share_percent: number, seed: number }} Sample
 *
 * @param {Mutant} mutant
 * @param {Sample} sample
 */
export function isSampled({ fileName, location, replacement }, { share_percent, seed }) {
  const file = path.relative(inRoot(), fileName).replaceAll(path.sep, "/");
  const hash = hashOf(String(seed), file, JSON.stringify(location), replacement);
  return Number.parseInt(hash.slice(0, 8), 16) / 2 ** 32 < share_percent / 100;
}

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
