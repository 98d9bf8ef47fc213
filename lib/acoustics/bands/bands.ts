/**
 * Frequency bands: third octaves by the standard, logarithmic grids, and the level of a band.
 */

import { requireInteger, requirePositive, requireSameLength } from "../../guard/arguments";
import { referencePressure, toDecibel } from "../level/decibel";

export interface Band {
  /** Mid-band frequency, hertz, by which to compute. */
  readonly exact: number;
  /** Rounded mid-band frequency, hertz, by which to name the band. */
  readonly nominal: number;
  /** Lower band edge, hertz. */
  readonly lower: number;
  /** Upper band edge, hertz. */
  readonly upper: number;
}

export interface BandOptions {
  /** 10: an octave is 10^0.3, the standard's only choice since 2014; 2: an octave is 2, as older instruments have it. */
  readonly base?: 10 | 2;
}

/**
 * Third-octave bands whose nominal mid-band frequency lies within the limits.
 *
 * @param from  hertz, > 0, included
 * @param to  hertz, included
 * @param options  the octave's ratio: base 10 by default
 * @returns bands in ascending order, each with its frequencies in hertz
 * @throws RangeError when the limits are not positive or not in order
 * @source IEC 61260-1:2014, 5.2 to 5.6 and annex E; check: tests/acoustics/bands/bands.test.ts
 * @example
 * acoustics.bands.thirdOctaves(31.5, 100).map((band) => band.nominal) // [31.5, 40, 50, 63, 80, 100]
 */
export function thirdOctaves(from: number, to: number, { base = 10 }: BandOptions = {}): Band[] {
  requireLimits(from, to);
  const octave = base === 10 ? 10 ** 0.3 : 2;
  const indexOf = (f: number): number => (3 * Math.log(f / 1000)) / Math.log(octave);
  const bands: Band[] = [];
  for (let x = Math.floor(indexOf(from)) - 1; x <= Math.ceil(indexOf(to)) + 1; x++) {
    const exact = 1000 * octave ** (x / 3);
    const nominal = preferred(x);
    if (nominal < from || nominal > to) continue;
    bands.push({ exact, nominal, lower: exact * octave ** (-0.5 / 3), upper: exact * octave ** (0.5 / 3) });
  }
  return bands;
}

/**
 * Frequencies at equal steps on a logarithmic axis.
 *
 * @param from  first frequency, hertz, > 0
 * @param to  last frequency, hertz, > from
 * @param count  how many, at least 2
 * @returns hertz, ascending; first and last are exactly the limits
 * @throws RangeError when the limits are not positive and in order, or the count is not a whole number from 2 to 10⁷
 * @source geometric sequence; check: tests/acoustics/bands/bands.test.ts
 * @example
 * acoustics.bands.grid(20, 2000, 3) // [20, 200, 2000]
 */
export function logGrid(from: number, to: number, count: number): Float64Array {
  requireLimits(from, to);
  requireInteger("number of frequencies", count, 2, 1e7);
  const ratio = Math.log(to / from);
  return Float64Array.from({ length: count }, (_, i) =>
    i === count - 1 ? to : from * Math.exp((ratio * i) / (count - 1)),
  );
}

/**
 * Level of a band from a response on a finer grid: the power mean over logarithmic frequency within the band.
 *
 * For a response to pink noise, with equal power in each third-octave band, this is the level per third-octave band and does
 * not depend on the grid.
 *
 * @param frequency  hertz, ascending
 * @param power  mean square at each frequency, unit squared
 * @param lower  lower band edge, hertz, > 0
 * @param upper  upper band edge, hertz
 * @param reference  level 0 dB, unit of the response: 20 µPa for pressure; give 1 for a ratio
 * @returns dB re `reference`
 * @throws RangeError when lengths differ, the band has no part within the grid, or the reference is not positive
 * @source definition of a band level by IEC 61260-1 for pink noise; check: tests/acoustics/bands/bands.test.ts
 */
export function bandLevel(
  frequency: ArrayLike<number>,
  power: ArrayLike<number>,
  lower: number,
  upper: number,
  reference = referencePressure,
): number {
  requirePositive("reference", reference);
  return toDecibel(bandPower(frequency, power, lower, upper) / reference ** 2);
}

/**
 * Power mean of a response over logarithmic frequency within a band.
 *
 * Between grid points the power runs straight over the logarithm of frequency. The part of a band outside the grid
 * is left out of the mean.
 *
 * @param frequency  hertz, ascending; a first point at 0 Hz is ignored
 * @param power  mean square at each frequency
 * @param lower  lower band edge, hertz, > 0
 * @param upper  upper band edge, hertz
 * @returns mean square, unit of `power`
 * @throws RangeError when lengths differ or the band has no part within the grid
 */
export function bandPower(
  frequency: ArrayLike<number>,
  power: ArrayLike<number>,
  lower: number,
  upper: number,
): number {
  requireSameLength("frequency", frequency, "power", power);
  requireLimits(lower, upper);
  const first = frequency[0] > 0 ? 0 : 1;
  const last = frequency.length - 1;
  let from = lowerBound(frequency, lower, first, last);
  let sum = 0;
  let width = 0;
  for (; from < last && frequency[from] < upper; from++) {
    const a = Math.log(frequency[from]);
    const b = Math.log(frequency[from + 1]);
    const left = Math.max(a, Math.log(lower));
    const right = Math.min(b, Math.log(upper));
    if (right <= left) continue;
    const slope = (power[from + 1] - power[from]) / (b - a);
    sum += (right - left) * (power[from] + slope * ((left + right) / 2 - a));
    width += right - left;
  }
  if (width === 0) {
    throw new RangeError(
      `band ${lower} to ${upper} Hz has no part within the grid of ${frequency[first]} to ${frequency[last]} Hz`,
    );
  }
  return sum / width;
}

/** Index of the last grid point at or below f, at least `first`. */
function lowerBound(frequency: ArrayLike<number>, f: number, first: number, last: number): number {
  let low = first;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (frequency[middle] <= f) low = middle;
    else high = middle;
  }
  return low;
}

/** Preferred number for the third-octave band at 1000·10^(x/10) Hz. */
function preferred(x: number): number {
  const series = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];
  const decade = Math.floor(x / 10);
  return Number((series[x - 10 * decade] * 10 ** (decade + 3)).toPrecision(3));
}

function requireLimits(from: number, to: number): void {
  requirePositive("lower frequency", from);
  if (!(to > from && to < Infinity)) {
    throw new RangeError(`upper frequency is ${to}, expected a number above the lower one, ${from}`);
  }
}
