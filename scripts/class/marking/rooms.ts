/** The rooms in which a class is marked: drawn from a key that nobody else has, and the same for everyone. */
import { createHmac } from "node:crypto";
import * as library from "../../../lib";
import { entryOf } from "../../../lib/lesson/exercises/catalogue";
import { type Exercise, exerciseIn, type Room, roomOf } from "../../../lib/lesson/exercises/exercise";
import { normalFrom } from "../../../lib/numeric/random";
import type { SetExercise } from "./assignments";

/** A room with what the worked solution earns there, 0 to 100: more than that nobody can be asked for. */
export interface MarkedRoom {
  readonly room: Room;
  readonly worked: number;
}

/** Rooms in which each exercise is marked. */
const ROOMS = 3;

/**
 * Rooms in which the worked solution passes, since a room that no careful procedure can decide is no fair one, and in
 * which the answer of one is not good enough for all.
 *
 * @param key  at least 16 random bytes; the same key draws the same rooms. A number of 32 bits, such as variants have, could be
 *   found by trying, from the drawing alone
 */
export function drawRooms(one: SetExercise, key: Uint8Array): MarkedRoom[] {
  const decide = workedWay(one);
  for (let tries = 0; tries < 20; tries++) {
    const drawn: MarkedRoom[] = [];
    const answers = new Set<string>();
    for (let i = 0; drawn.length < ROOMS && i < 12; i++) {
      const room = secretRoom(one.id, key, `${tries} ${i}`);
      const trial = exerciseIn(room);
      const answer = decide(trial);
      const { score, passed } = trial.check(answer);
      if (!passed) continue;
      if (answers.size < ROOMS) answers.add(JSON.stringify(answer));
      drawn.push({ room, worked: score });
    }
    if (drawn.length < ROOMS) continue;
    const [first] = [...answers];
    // Where the worked solution says the same everywhere, such as positions for microphones, that is the answer.
    if (answers.size === 1 && first.startsWith("[")) return drawn;
    const same = drawn.map(({ room }) => exerciseIn(room).check(JSON.parse(first)).score);
    if (same.reduce((sum, score) => sum + score, 0) / ROOMS < 70) return drawn;
  }
  throw new Error(`no fair rooms were found for ${one.id}`);
}

function secretRoom(id: SetExercise["id"], key: Uint8Array, which: string): Room {
  const label = `${id} ${which}`;
  return roomOf(entryOf(id), 0, drawsOf(key, label), (group, position) =>
    normalFrom(drawsOf(key, `${label} noise ${group} ${position}`)),
  );
}

/**
 * Numbers evenly spread over 0…1, 1 excluded, that only who has the key can make.
 *
 * @source HMAC (RFC 2104) with SHA-256 in counter mode, as NIST SP 800-108 has it
 */
export function drawsOf(key: Uint8Array, label: string): () => number {
  let counter = 0;
  let block = Buffer.alloc(0);
  return () => {
    if (block.length < 8) block = createHmac("sha256", key).update(`${label} ${counter++}`).digest();
    const high = block.readUInt32BE(0) >>> 5;
    const low = block.readUInt32BE(4) >>> 6;
    block = block.subarray(8);
    return (high * 2 ** 26 + low) / 2 ** 53;
  };
}

/** The worked solution as a function. */
export function workedWay({ solution }: Pick<SetExercise, "solution">): (one: Exercise) => unknown {
  const used = Object.entries(library).filter(([name]) => new RegExp(`\\b${name}\\b`).test(solution));
  const decide = new Function(...used.map(([name]) => name), "one", solution);
  return (one) => decide(...used.map(([, value]) => value), one);
}
