/** Levels that are off from place to place, smoothly: what an absorption that is not as drawn does to the way through a room. */
import { distance, type Point } from "../acoustics/point";
import { conditional } from "../numeric/conditional";
import { PLACE_ERROR } from "./discrepancy";

/** Numbers of standard deviation 1 at places, alike where these are near one another. */
export type PlaceLevels = (heard: readonly number[], normal: (() => number) | undefined) => Float64Array;

/**
 * Makes the function that gives them at all places from those that were heard at some: drawn, or where no normal numbers are
 * given the most likely ones.
 *
 * @param at  places that are heard
 * @source Matheron's rule (what is drawn beforehand, corrected by what was heard) without an error of hearing; check: tests/estimate/place-levels.test.ts
 */
export function placeLevels(points: readonly Point[], at: readonly number[]): PlaceLevels {
  const m = at.length;
  const alike = (i: number, j: number) =>
    Math.exp(-0.5 * (distance(points[i], points[j]) / PLACE_ERROR.metres) ** 2);
  const { weights } = conditional(points.length, at, alike, () => HEARD_ERROR);
  return (heard, normal) => {
    const free = normal ? smooth(points, normal) : new Float64Array(points.length);
    return free.map((x, i) => at.reduce((sum, j, a) => sum + weights[i * m + a] * (heard[a] - free[j]), x));
  };
}

/** Variance of what is heard of a level, in those of the levels. */
const HEARD_ERROR = 0.05;
const WAVES = 48;

/** Drawn beforehand, by cosines whose numbers of waves are those of the bell of `alike`. */
function smooth(points: readonly Point[], normal: () => number): Float64Array {
  const values = new Float64Array(points.length);
  for (let n = 0; n < WAVES; n++) {
    const [x, y, z] = [normal(), normal(), normal()].map((k) => k / PLACE_ERROR.metres);
    const [a, b] = [normal(), normal()].map((c) => c / Math.sqrt(WAVES));
    points.forEach((p, i) => {
      const phase = x * p.x + y * p.y + z * p.z;
      values[i] += a * Math.cos(phase) + b * Math.sin(phase);
    });
  }
  return values;
}
