/** What a set of deviations means for the people: how far off they are, and how many are near enough. */
import type { Position } from "../../survey/survey";
import { type AudienceParts, audienceParts } from "./audience";

export interface AudienceSummary {
  /** Weighted mean of the deviation: positive is too much bass on the whole. */
  readonly mean_db: number;
  /** Half of the people have more bass than this, half have less. */
  readonly median_db: number;
  /** Weighted mean of the size of the deviation. */
  readonly meanAbsolute_db: number;
  /** Root of the weighted mean square of the deviation. */
  readonly rms_db: number;
  /** Largest size of a deviation. */
  readonly worst_db: number;
  /** Fraction of the people within ±3 dB of the target, 0…1. */
  readonly within3dB_fraction: number;
  /** Fraction of the people within ±6 dB of the target, 0…1. */
  readonly within6dB_fraction: number;
  /** Mean deviation of the tenth of the people nearest the stage. */
  readonly front_db: number;
  /** The same of the tenth around the middle. */
  readonly middle_db: number;
  /** The same of the tenth farthest back. */
  readonly back_db: number;
  /** front_db − back_db */
  readonly frontToBack_db: number;
}

/**
 * Summary of deviations over the audience.
 *
 * @param positions  the survey's positions
 * @param weights  share of the audience per position, summing to 1
 * @param deviation  deviation per position, dB
 * @param parts  front, middle and back, where they are known already
 */
export function summarise(
  positions: readonly Position[],
  weights: Float64Array,
  deviation: Float64Array,
  parts: AudienceParts = audienceParts(positions, weights),
): AudienceSummary {
  let mean = 0;
  let absolute = 0;
  let square = 0;
  let worst = 0;
  let within3 = 0;
  let within6 = 0;
  for (let i = 0; i < weights.length; i++) {
    const w = weights[i];
    if (w === 0) continue;
    const size = Math.abs(deviation[i]);
    mean += w * deviation[i];
    absolute += w * size;
    square += w * size * size;
    if (size > worst) worst = size;
    if (size <= 3) within3 += w;
    if (size <= 6) within6 += w;
  }
  const front = meanOver(parts.front, weights, deviation);
  const back = meanOver(parts.back, weights, deviation);
  return {
    mean_db: mean,
    median_db: weightedMedian(deviation, weights),
    meanAbsolute_db: absolute,
    rms_db: Math.sqrt(square),
    worst_db: worst,
    within3dB_fraction: Math.min(1, within3),
    within6dB_fraction: Math.min(1, within6),
    front_db: front,
    middle_db: meanOver(parts.middle, weights, deviation),
    back_db: back,
    frontToBack_db: front - back,
  };
}

/** Weighted mean over some of the positions. */
export function meanOver(
  indices: readonly number[],
  weights: Float64Array,
  values: ArrayLike<number>,
): number {
  let sum = 0;
  let total = 0;
  for (const i of indices) {
    sum += weights[i] * values[i];
    total += weights[i];
  }
  return sum / total;
}

/**
 * Weighted median: the value with at most half of the weight on either side; midway where a whole stretch qualifies.
 *
 * @param values  one per position
 * @param weights  not negative, some positive
 */
export function weightedMedian(values: ArrayLike<number>, weights: ArrayLike<number>): number {
  const order = Array.from(values, (_, i) => i)
    .filter((i) => weights[i] > 0)
    .sort((i, j) => values[i] - values[j]);
  const total = order.reduce((sum, i) => sum + weights[i], 0);
  let sum = 0;
  for (let k = 0; k < order.length; k++) {
    sum += weights[order[k]];
    if (Math.abs(sum - total / 2) < 1e-12 * total && k + 1 < order.length) {
      return (values[order[k]] + values[order[k + 1]]) / 2;
    }
    if (sum > total / 2) return values[order[k]];
  }
  return values[order[order.length - 1]];
}
