/**
 * Levels in bands from a measured response, of what was coherent enough.
 */
import type { Band } from "../../acoustics/bands/bands";
import { toDecibel } from "../../acoustics/level/decibel";
import { power, type Response } from "../../acoustics/response";
import { coherentPart } from "./coherence-limit";

/** The level of a response in one band. */
export interface BandLevel {
  readonly band: Band;
  /** Power mean over log frequency, dB re 1 of the response's unit (for pascals add 94 dB for sound pressure level). */
  readonly level: number;
  /** False where too little of the band may be used: the level is then of all data and must not carry a decision. */
  readonly usable: boolean;
}

export interface BandLevelOptions {
  /** Data of less coherence are left out, 0…1. Default 0.5. */
  readonly coherenceLimit?: number;
  /** Least fraction of a band that must be usable, 0…1. Default 0.5. */
  readonly minimumFraction?: number;
}

/**
 * Level of each band.
 *
 * @param response  any response
 * @param bands     bands to report; those outside the response's frequencies are left out
 * @param options   coherence limit, least fraction
 * @throws RangeError when the limit isn't within 0…1
 */
export function bandLevels(
  response: Response,
  bands: readonly Band[],
  { coherenceLimit = 0.5, minimumFraction = 0.5 }: BandLevelOptions = {},
): BandLevel[] {
  const { frequency } = response;
  const meanSquare = power(response);
  const { usable } = coherentPart(response, coherenceLimit);
  return bands.flatMap((band) => {
    const weights = bandWeights(frequency, band.lower, band.upper);
    if (weights.length === 0) return [];
    const good = weights.filter(({ i }) => usable[i] === 1);
    const fraction = good.reduce((sum, { w }) => sum + w, 0);
    const enough = fraction > 0 && fraction >= minimumFraction;
    const used = enough ? good : weights;
    const total = used.reduce((sum, { w }) => sum + w, 0);
    const mean = used.reduce((sum, { i, w }) => sum + w * meanSquare[i], 0) / total;
    return [{ band, level: toDecibel(mean), usable: enough }];
  });
}

/**
 * How much each frequency counts in the power mean of a band, power running straight over log frequency between points.
 *
 * @returns indices and weights of sum 1; empty where the band has no part within the grid
 */
export function bandWeights(
  frequency: Float64Array,
  lower: number,
  upper: number,
): { i: number; w: number }[] {
  const sums = new Map<number, number>();
  let width = 0;
  for (let i = firstAtOrBelow(frequency, lower); i + 1 < frequency.length && frequency[i] < upper; i++) {
    const a = Math.log(frequency[i]);
    const b = Math.log(frequency[i + 1]);
    const left = Math.max(a, Math.log(lower));
    const right = Math.min(b, Math.log(upper));
    if (right <= left) continue;
    const middle = ((left + right) / 2 - a) / (b - a);
    sums.set(i, (sums.get(i) ?? 0) + (right - left) * (1 - middle));
    sums.set(i + 1, (sums.get(i + 1) ?? 0) + (right - left) * middle);
    width += right - left;
  }
  return Array.from(sums, ([i, w]) => ({ i, w: w / width }));
}

function firstAtOrBelow(frequency: Float64Array, f: number): number {
  let low = 0;
  let high = frequency.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (frequency[middle] <= f) low = middle;
    else high = middle;
  }
  return low;
}
