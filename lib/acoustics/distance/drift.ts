/**
 * How far two sources drift apart in level from one place to another, by distance alone.
 */
import { distance, type Point } from "../point";
import { pointSourceDrop } from "./spreading";

export interface DistanceDrift {
  /** What the mains lose from the first position to the last, dB. */
  readonly mains: number;
  /** What the subs lose, dB. */
  readonly subs: number;
  /** By how much the subs lose more, dB: bass that is short at the last position when both were equal at the first. */
  readonly drift: number;
}

/**
 * Loss of mains and subs between two places, each as a point source in free field.
 *
 * @param mains  where the mains are, metres
 * @param subs  where the subs are, metres
 * @param first  the place where both are set equal, metres
 * @param last  the other place, metres
 * @returns dB: what each loses from the first place to the last, and their difference
 * @throws RangeError when a place lies in a source
 * @source spherical spreading, ISO 9613-2 geometrical divergence; check: tests/acoustics/distance/drift.test.ts
 * @example
 * const [array, sub] = [{ x: 0, y: 0, z: 6 }, { x: 0, y: 0, z: 0 }];
 * acoustics.distance.drift(array, sub, { x: 8, y: 0, z: 0 }, { x: 32, y: 0, z: 0 }).drift // 1.79
 */
export function distanceDrift(mains: Point, subs: Point, first: Point, last: Point): DistanceDrift {
  const loss = (source: Point) => pointSourceDrop(distance(source, first), distance(source, last));
  const [ofMains, ofSubs] = [loss(mains), loss(subs)];
  return { mains: ofMains, subs: ofSubs, drift: ofSubs - ofMains };
}
