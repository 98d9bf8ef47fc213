/** By how much groups are louder than the model says, by bands: what is thought beforehand, and once some were heard. */
import { cholesky } from "../numeric/cholesky";
import { conditional } from "../numeric/conditional";
import { LEVEL_ERROR } from "./discrepancy";

/** Levels of mains, then of subs, dB more than the model, each at all `bands`. */
export interface Gains {
  readonly mean: Float64Array;
  /** A draw, from as many normal numbers as `mean` has. */
  readonly draw: (normal: () => number) => Float64Array;
}

/** What was heard of one band of a group: dB more than the model, and its variance. */
export interface HeardBand {
  readonly group: number;
  readonly band: number;
  readonly more: number;
  readonly variance: number;
  /** Of the error that all bands of a group with the same part have in common. */
  readonly part: string;
  readonly common: number;
}

/**
 * Gaussian of the gains given what was heard.
 *
 * @param bands  middle frequencies, hertz
 * @param both  standard deviation of the level of both groups together, dB
 * @source conditional normal distribution, any textbook of statistics; check: tests/estimate/gains.test.ts
 */
export function gainsGiven(
  bands: readonly number[],
  heard: readonly HeardBand[],
  both: number = LEVEL_ERROR.both,
): Gains {
  const { group, bands: own, width } = LEVEL_ERROR;
  const n = 2 * bands.length;
  const covariance = (i: number, j: number): number => {
    const [g, h] = [i, j].map((k) => (k < bands.length ? 0 : 1));
    const octaves = Math.log2(bands[i % bands.length] / bands[j % bands.length]);
    return both ** 2 + (g === h ? group ** 2 + own ** 2 * Math.exp(-0.5 * (octaves / width) ** 2) : 0);
  };
  const index = heard.map(({ group: g, band }) => g * bands.length + band);
  const m = heard.length;
  /** With what was heard after the gains: the gain of its band, and the error that it shares. */
  const withHeard = (i: number, j: number): number => {
    const [a, b] = [heard[i - n], heard[j - n]];
    const shares = a && b && a.group === b.group && a.part === b.part;
    return covariance(a ? index[i - n] : i, b ? index[j - n] : j) + (shares ? a.common : 0);
  };
  const { weights } = conditional(
    n,
    index.map((_, a) => n + a),
    withHeard,
    (a) => heard[a].variance,
  );
  const mean = new Float64Array(n);
  const left = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const weight = weights.subarray(i * m, (i + 1) * m);
    mean[i] = weight.reduce((sum, w, a) => sum + w * heard[a].more, 0);
    for (let j = 0; j < n; j++)
      left[i * n + j] =
        covariance(i, j) -
        weight.reduce((sum, w, a) => sum + w * covariance(j, index[a]), 0) +
        (i === j ? 1e-9 * (1 + both ** 2) : 0);
  }
  const spread = cholesky(left, n);
  return {
    mean,
    draw: (normal) => {
      const free = Float64Array.from({ length: n }, normal);
      return mean.map((value, i) => {
        let sum = value;
        for (let k = 0; k <= i; k++) sum += spread[i * n + k] * free[k];
        return sum;
      });
    },
  };
}
