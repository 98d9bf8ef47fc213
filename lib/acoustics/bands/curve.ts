/**
 * Curves over frequency given by a few points: straight lines between them on a logarithmic frequency axis, constant
 * outside.
 */
import { requireSameLength } from "../../guard/arguments";

/** Level over frequency: straight lines between points on a logarithmic frequency axis, constant outside. */
export interface LevelCurve {
  /** hertz, ascending */
  readonly frequency: readonly number[];
  /** dB */
  readonly level: readonly number[];
}

/** Values by octave band. Straight lines between them on a logarithmic frequency axis, constant outside. */
export interface BandValues {
  /** Mid-band frequencies, hertz, > 0, ascending. */
  readonly frequency: readonly number[];
  /** As many values, all of one unit, whichever it is: absorption 0…1, seconds, dB. */
  readonly value: readonly number[];
}

/**
 * Value of a curve at one frequency.
 *
 * @param at  frequencies of the curve's points, hertz, > 0, ascending
 * @param values  as many, any unit
 * @param frequency  hertz
 * @returns the value, straight over log frequency between two points, that of the nearest end outside
 * @throws RangeError when the numbers of points differ or are 0
 */
export function interpolateLog(at: ArrayLike<number>, values: ArrayLike<number>, frequency: number): number {
  requireSameLength("curve's frequency", at, "its values", values);
  const last = at.length - 1;
  if (frequency <= at[0]) return values[0];
  if (frequency >= at[last]) return values[last];
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (at[middle] <= frequency) low = middle;
    else high = middle;
  }
  const part = Math.log(frequency / at[low]) / Math.log(at[high] / at[low]);
  return values[low] + part * (values[high] - values[low]);
}

/**
 * Level of a curve at one frequency: straight over the logarithm of frequency between two points, that of the nearest end
 * outside.
 *
 * @param curve  levels, dB, at frequencies, hertz, ascending
 * @param frequency  hertz
 * @returns dB
 * @throws RangeError when the numbers of frequencies and levels differ or are 0
 */
export function levelAt(curve: LevelCurve, frequency: number): number {
  return interpolateLog(curve.frequency, curve.level, frequency);
}

/**
 * What values given by octave bands, such as a wall's absorption or a reverberation time, are at any other frequency.
 *
 * Between two bands the value runs straight over the logarithm of frequency; outside it is that of the nearest band.
 *
 * @param bands  mid-band frequencies, hertz, ascending, and as many values
 * @param frequency  hertz
 * @returns the value there, unit of `bands.value`
 * @throws RangeError when the numbers of frequencies and values differ or are 0
 * @source linear interpolation over log frequency: common practice, no source; check: tests/acoustics/bands/curve.test.ts
 * @example
 * const curtain = { frequency: [125, 500], value: [0.2, 0.4] };
 * acoustics.bands.valueAt(curtain, 250) // 0.3
 */
export function valueAt(bands: BandValues, frequency: number): number {
  return interpolateLog(bands.frequency, bands.value, frequency);
}
