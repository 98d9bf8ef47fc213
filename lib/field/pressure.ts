/**
 * Complex pressure of point sources in free field, at many places and frequencies: Σ a e^{-jkr}/r.
 */

import type { Point } from "../acoustics/point";
import type { Complexes } from "../numeric/complexes";
import { pathSum } from "./path-sum/path-sum";
import type { PathSum } from "./path-sum/types";

/** A point source and what it sends out: complex pressure at 1 m, one value per frequency. */
export interface PointSource extends Complexes {
  readonly point: Point;
}

/** Complex pressures, row by row: frequency f at place p stands at p · frequencies + f. */
export type PressureTable = Complexes;

/**
 * Complex pressure at every place and frequency.
 *
 * @param sources  point sources
 * @param points  places, metres
 * @param frequencies  hertz
 * @param options  `speedOfSound` in metres per second (343.2); `sum`, the hot loop to use (the fastest)
 * @returns pressures, unit of the sources' at 1 m
 * @throws RangeError when a source's values are not as many as the frequencies, or a place is where a source is
 */
export function pressureAt(
  sources: readonly PointSource[],
  points: readonly Point[],
  frequencies: Float64Array,
  { speedOfSound = 343.2, sum: makeSum = pathSum }: PressureOptions = {},
): PressureTable {
  const n = frequencies.length;
  const sum = makeSum(
    frequencies.map((f) => (2 * Math.PI * f) / speedOfSound),
    sources.length,
  );
  sources.forEach((source, s) => {
    if (source.re.length !== n || source.im.length !== n) {
      throw new RangeError(`source ${s} has ${source.re.length} values, expected ${n}, one per frequency`);
    }
    sum.weightRe.set(source.re, s * sum.stride);
    sum.weightIm.set(source.im, s * sum.stride);
  });
  const re = new Float64Array(points.length * n);
  const im = new Float64Array(points.length * n);
  for (let p = 0; p < points.length; p++) {
    sum.re.fill(0);
    sum.im.fill(0);
    for (let s = 0; s < sources.length; s++) {
      const a = sources[s].point;
      const b = points[p];
      const r = Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z);
      if (r === 0)
        throw new RangeError(`place ${p} is where source ${s} is, expected some distance between them`);
      sum.add(s, r);
    }
    re.set(sum.re.subarray(0, n), p * n);
    im.set(sum.im.subarray(0, n), p * n);
  }
  return { re, im };
}

export interface PressureOptions {
  readonly speedOfSound?: number;
  readonly sum?: (waveNumber: Float64Array, rows: number) => PathSum;
}
