/** The rooms in which a class is marked: drawn from a key that nobody else has, and the same for everyone. */
import { createHmac } from "node:crypto";
import * as library from "../../../lib";
import { entryOf } from "../../../lib/lesson/exercises/catalogue";
import { exerciseIn, type Room, roomOf } from "../../../lib/lesson/exercises/exercise";
import type { Candidate } from "../../../lib/lesson/exercises/grade";
import type { Answer, Judge, Task } from "../../../lib/lesson/exercises/task";
import { normalFrom } from "../../../lib/numeric/random";
import type { SetExercise } from "./assignments";
import { blindShare } from "./blind";

/** A room with what the worked solution earns there, 0 to 100: more than that nobody can be asked for. */
export interface MarkedRoom {
  readonly room: Room;
  readonly worked: number;
}

/** The rooms of one exercise, and what can be had in them without looking at any. */
export interface HiddenRooms {
  readonly rooms: readonly MarkedRoom[];
  /** What the best answer that knows none of them earns on average, 0 to 1: credit begins there. */
  readonly blind: number;
}

/** Rooms in which each exercise is marked. */
export const ROOMS = 12;
/** Of one building, whose low band is computed once: what was left wrong in it is drawn anew for each. */
const OF_A_BUILDING = 4;
/** Draws before a way is thought to be unable to pass. */
const MOST = 160;

/**
 * Rooms in which the worked solution passes, since a room that no careful procedure can decide is no fair one, and whose
 * answers are balanced: as many up as down, normal as inverted, and no place the best more often than others.
 *
 * @param key  at least 16 random bytes; the same key draws the same rooms. A number of 32 bits, such as variants have, could be
 *   found by trying, from the drawing alone
 */
export function drawRooms(one: SetExercise, key: Uint8Array, count = ROOMS): HiddenRooms {
  const decide = workedWay(one);
  const rooms: MarkedRoom[] = [];
  const drawn = new Map<string, number>();
  for (let i = 0; rooms.length < count && i < MOST; i++) {
    const room = secretRoom(one.id, key, i);
    const { name, of } = sideOf(room.task, room.judgeWith([]));
    const already = drawn.get(name) ?? 0;
    if (already >= Math.ceil(count / of)) continue;
    const trial = exerciseIn(room);
    const { score, passed } = trial.check(decide(trial));
    if (!passed) continue;
    rooms.push({ room, worked: score });
    drawn.set(name, already + 1);
  }
  if (rooms.length < count) throw new Error(`no ${count} fair rooms were found for ${one.id}`);
  return { rooms, blind: blindShare(rooms) };
}

/** Which of the answers there are the best one is, and how many of them there are. */
function sideOf({ choices }: Pick<Task, "choices">, { best }: Judge): { name: string; of: number } {
  const sign = (x: number) => (x < 0 ? "down" : "up");
  if (choices) return { name: String(best), of: choices.length };
  if (typeof best === "number") return { name: sign(best), of: 2 };
  const { place, polarity, offset } = best as Extract<Answer, { place?: string }> & {
    polarity?: string;
    offset?: number;
  };
  return place === undefined ? { name: `${polarity} ${sign(offset ?? 0)}`, of: 4 } : { name: place, of: 6 };
}

function secretRoom(id: SetExercise["id"], key: Uint8Array, i: number): Room {
  const label = `${id} ${i}`;
  const building = `${id} building ${Math.floor(i / OF_A_BUILDING)}`;
  return roomOf(
    entryOf(id),
    0,
    drawsOf(key, label),
    (group, position) => normalFrom(drawsOf(key, `${label} noise ${group} ${position}`)),
    drawsOf(key, building),
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
export const workedWay = ({ solution }: Pick<SetExercise, "solution">) => wayFrom(solution);

/** A function of the exercise, `one`, from its body. */
export function wayFrom(body: string): (one: Candidate) => unknown {
  const used = Object.entries(library).filter(([name]) => new RegExp(`\\b${name}\\b`).test(body));
  const decide = new Function(...used.map(([name]) => name), "one", body);
  return (one) => decide(...used.map(([, value]) => value), one);
}
