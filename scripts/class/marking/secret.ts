/** What students must not know: the variants in which they are marked, and the word beside their points. */
import { randomBytes, randomInt } from "node:crypto";
import { chmodSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import * as library from "../../../lib";
import type { Assignment, SetExercise } from "./assignments";

export interface Secret {
  readonly word: string;
  /** Hidden rooms of each exercise. */
  readonly variants: { readonly [exercise: string]: readonly number[] };
}

/** Rooms in which each exercise is marked. */
const ROOMS = 3;

/**
 * The secret of one assignment; drawn at its first release and kept in the instructor's folder.
 *
 * @param folder  the instructor's
 */
export function secretOf(folder: string, assignment: Pick<Assignment, "name" | "exercises">): Secret {
  const file = path.join(folder, "secret.json");
  const all: Record<string, Secret> = existsSync(file) ? JSON.parse(readFileSync(file, "utf8")) : {};
  const known = all[assignment.name];
  const same = known && assignment.exercises.every(({ id }) => known.variants[id]?.length === ROOMS);
  if (same) return known;
  const drawn = assignment.exercises.map((one) => [one.id, draw(one)]);
  const secret = { word: randomBytes(12).toString("hex"), variants: Object.fromEntries(drawn) };
  writeFileSync(file, `${JSON.stringify({ ...all, [assignment.name]: secret }, null, 2)}\n`, { mode: 0o600 });
  chmodSync(file, 0o600);
  return secret;
}

/**
 * Variants in which the worked solution passes, since a room that no careful procedure can decide is no fair one, and in
 * which the answer of one is not good enough for all.
 */
function draw(one: SetExercise): number[] {
  const decide = workedWay(one);
  for (let tries = 0; tries < 20; tries++) {
    const drawn: number[] = [];
    const answers = new Set<string>();
    for (let rooms = 0; drawn.length < ROOMS && rooms < 12; rooms++) {
      const variant = randomInt(1000, 1_000_000);
      const examined = library.course.grade(one.id, [variant], (room) => {
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
    if (library.course.grade(one.id, drawn, () => JSON.parse(first)).score < 70) return drawn;
  }
  throw new Error(`no fair rooms were found for ${one.id}`);
}

/** The worked solution as a function. */
export function workedWay({ solution }: Pick<SetExercise, "solution">): (room: unknown) => unknown {
  const used = Object.entries(library).filter(([name]) => new RegExp(`\\b${name}\\b`).test(solution));
  const decide = new Function(...used.map(([name]) => name), "one", solution);
  return (room) => decide(...used.map(([, value]) => value), room);
}
