// @ts-check
/** What students must not know: the variants in which they are marked, and the word beside their points. */
import { randomBytes, randomInt } from "node:crypto";
import { chmodSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";

/** @typedef {{ word: string, variants: Record<string, number[]> }} Secret */

/** Rooms in which each exercise is marked. */
const ROOMS = 3;

/**
 * The secret of one assignment; drawn at its first release and kept in the instructor's folder.
 *
 * @param {string} folder  the instructor's
 * @param {import("./assignments.mjs").Assignment} assignment
 * @param {any} library  the built library
 * @returns {Secret}
 */
export function secretOf(folder, assignment, library) {
  const file = path.join(folder, "secret.json");
  /** @type {Record<string, Secret>} */
  const all = existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : {};
  const known = all[assignment.name];
  const same = known && assignment.exercises.every(({ id }) => known.variants[id]?.length === ROOMS);
  if (same) return known;
  const drawn = assignment.exercises.map((one) => [one.id, draw(one, library)]);
  const secret = { word: randomBytes(12).toString("hex"), variants: Object.fromEntries(drawn) };
  writeFileSync(file, `${JSON.stringify({ ...all, [assignment.name]: secret }, null, 2)}\n`, { mode: 0o600 });
  chmodSync(file, 0o600);
  return secret;
}

/**
 * Variants in which the worked solution passes, since a room that no careful procedure can decide is no fair one, and in
 * which the answer of one is not good enough for all.
 *
 * @param {import("./assignments.mjs").SetExercise} one
 * @param {any} library
 * @returns {number[]}
 */
function draw(one, library) {
  const decide = workedWay(one, library);
  for (let tries = 0; tries < 20; tries++) {
    /** @type {number[]} */
    const drawn = [];
    /** @type {Set<string>} */
    const answers = new Set();
    for (let rooms = 0; drawn.length < ROOMS && rooms < 12; rooms++) {
      const variant = randomInt(1000, 1_000_000);
      const examined = library.examine(one.id, [variant], (/** @type {any} */ room) => {
        const answer = decide(room);
        if (answers.size < ROOMS) answers.add(JSON.stringify(answer));
        return answer;
      });
      if (examined.passed) drawn.push(variant);
    }
    if (drawn.length < ROOMS) continue;
    const [first] = [...answers];
    // Where the worked solution says the same everywhere, such as places for microphones, that is the answer.
    if (answers.size === 1 && first.startsWith("[")) return drawn;
    if (library.examine(one.id, drawn, () => JSON.parse(first)).score < 70) return drawn;
  }
  throw new Error(`no fair rooms were found for ${one.id}`);
}

/**
 * The worked solution as a function.
 *
 * @param {import("./assignments.mjs").SetExercise} one
 * @param {any} library
 * @returns {(one: any) => unknown}
 */
export function workedWay({ solution }, library) {
  const names = Object.keys(library).filter((name) => new RegExp(`\\b${name}\\b`).test(solution));
  return new Function(...names, "one", solution).bind(undefined, ...names.map((name) => library[name]));
}
