/**
 * Levels in bands from a measured response, each with how sure it is and how much of its band was fit to be used.
 */
import type { Band } from "../../acoustics/bands/bands";
import { toDecibel } from "../../acoustics/level/decibel";
import { power, type Response } from "../../acoustics/response";
import { responseError } from "../../acoustics/uncertainty";
import { coherentPart } from "./coherence-limit";

/** The level of a response in one band. */
export interface BandLevel {
  readonly band: Band;
  /** Power mean over log frequency, dB re 1 of the response's unit (for pascals add 94 dB for sound pressure level). */
  readonly level: number;
  /** Standard error from coherence and averages, dB; 0 where nothing was measured that would tell. */
  readonly standardError: number;
  /** Share of the band, on a log axis, that was measured with enough coherence. */
  readonly fraction: number;
  /** False where too little of the band may be used: the level is then of all data and must not carry a decision. */
  readonly usable: boolean;
}

export interface BandLevelOptions {
  /** Data of less coherence are left out, 0…1. Default 0.5. */
  readonly coherenceLimit?: number;
  /** Least fraction of a band that must be usable, 0…1. Default 0.5. */
  readonly minimumFraction?: number;
  /**
   * Hertz within which neighbouring frequencies share their errors: the noise bandwidth of the analysis (1.5 bins for a Hann
   * window). Without it all errors of a band are taken as one, which is the widest they can be.
   */
  readonly resolution?: number;
}

/**
 * Level of each band.
 *
 * The error of a squared magnitude is twice that of the magnitude; over a band errors add by their correlation,
 * taken to fall from 1 to 0 over `resolution`.
 *
 * @param response  any response
 * @param bands     bands to report; those outside the response's frequencies are left out
 * @param options   coherence limit, least share, resolution
 * @throws RangeError when the limit isn't within 0…1
 * @source Bendat and Piersol, Random Data, chapter 9: random error of frequency response magnitude
 */
export function bandLevels(
  response: Response,
  bands: readonly Band[],
  { coherenceLimit = 0.5, minimumFraction = 0.5, resolution = Infinity }: BandLevelOptions = {},
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
    const errors = used.map(({ i, w }) => ({ f: frequency[i], e: w * squareError(response, i) }));
    const error = mean > 0 ? Math.sqrt(correlatedSum(errors, resolution)) / total / mean : 0;
    return [
      {
        band,
        level: toDecibel(mean),
        standardError: (10 / Math.LN10) * error,
        fraction: Math.min(1, fraction),
        usable: enough,
      },
    ];
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

/** Standard error of |H|²; never more than |H|² itself, as where the coherence is 0. */
function squareError({ re, im, coherence, averages }: Response, i: number): number {
  if (!coherence || !averages) return 0;
  const square = re[i] ** 2 + im[i] ** 2;
  if (!(averages[i] > 0)) return square;
  return square * Math.min(1, 2 * responseError(coherence[i], averages[i]));
}

/** Variance of a sum of errors whose correlation falls in a straight line from 1 to 0 over `resolution` hertz. */
function correlatedSum(errors: readonly { f: number; e: number }[], resolution: number): number {
  if (resolution === Infinity) return errors.reduce((sum, { e }) => sum + e, 0) ** 2;
  let variance = 0;
  errors.forEach((a, k) => {
    variance += a.e ** 2;
    for (let m = k + 1; m < errors.length && errors[m].f - a.f < resolution; m++) {
      variance += 2 * a.e * errors[m].e * (1 - (errors[m].f - a.f) / resolution);
    }
  });
  return variance;
}
