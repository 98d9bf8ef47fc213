/**
 * Fractional-octave smoothing: at each frequency the mean over a window of constant width on a logarithmic axis.
 *
 * Values run straight over log frequency between grid points, so any grid will do, and a cumulative integral makes
 * the cost of a window independent of its width. Toward both ends the window narrows on both sides alike, so that a
 * slope is left as it is; the first and the last value stay untouched.
 */
import { requirePositive, requireSameLength } from "./range";

/**
 * Smooth the power of a response.
 *
 * This is what an analyser's band of noise would read: notches fill in, the energy of a band is kept.
 *
 * @param frequency  hertz, ascending, uniform or not; a first point at 0 Hz passes unchanged
 * @param power  mean square at each frequency
 * @param n  window of one n-th of an octave: 3 for a third octave; need not be whole
 * @returns mean square, smoothed, on the same frequencies
 * @throws RangeError when lengths differ, n is not positive, or frequencies do not ascend
 * @source Hatziantoniou and Mourjopoulos, Generalized fractional-octave smoothing of audio and acoustic responses, J. Audio Eng. Soc. 48 (2000), 259-280, rectangular window (from memory); check: tests/acoustics/smoothing.test.ts
 */
export function smoothPower(frequency: ArrayLike<number>, power: ArrayLike<number>, n: number): Float64Array {
  return smoother(frequency, n)(power);
}

/**
 * Smooth the real and imaginary part of a response.
 *
 * Sound that arrives later than about n/(0.7 f) is averaged away, as a time window that shortens with frequency
 * would do. Take out the bulk delay first, else the direct sound itself vanishes.
 *
 * @param frequency  hertz, ascending, uniform or not; a first point at 0 Hz passes unchanged
 * @param re  real part at each frequency
 * @param im  imaginary part at each frequency
 * @param n  window of one n-th of an octave: 3 for a third octave; need not be whole
 * @returns real and imaginary part, smoothed, on the same frequencies
 * @throws RangeError when lengths differ, n is not positive, or frequencies do not ascend
 * @source Hatziantoniou and Mourjopoulos, J. Audio Eng. Soc. 48 (2000), 259-280, complex smoothing (from memory); check: tests/acoustics/smoothing.test.ts
 */
export function smoothComplex(
  frequency: ArrayLike<number>,
  re: ArrayLike<number>,
  im: ArrayLike<number>,
  n: number,
): { re: Float64Array; im: Float64Array } {
  const smooth = smoother(frequency, n);
  return { re: smooth(re), im: smooth(im) };
}

/**
 * Prepare smoothing on one grid, to be used for many responses.
 *
 * @param frequency  hertz, ascending, uniform or not; a first point at 0 Hz passes unchanged
 * @param n  window of one n-th of an octave: 3 for a third octave; need not be whole
 * @returns a function from values on that grid to their smoothed values
 * @throws RangeError when n is not positive or frequencies do not ascend
 */
export function smoother(
  frequency: ArrayLike<number>,
  n: number,
): (values: ArrayLike<number>) => Float64Array {
  requirePositive("windows per octave", n);
  const { first, x, low, lowPart, high, highPart, perWidth } = plan(frequency, n);
  const count = x.length;
  const cumulative = new Float64Array(count);
  return (values) => {
    requireSameLength("frequency", frequency, "values", values);
    const result = new Float64Array(count + first);
    if (first) result[0] = values[0];
    // Values are taken relative to the first one: the integral of a small part of a large total keeps its digits.
    const base = values[first];
    for (let i = 1; i < count; i++) {
      const mean = (values[first + i - 1] + values[first + i]) / 2 - base;
      cumulative[i] = cumulative[i - 1] + mean * (x[i] - x[i - 1]);
    }
    const integralTo = (j: number, part: number): number => {
      if (part === 0) return cumulative[j];
      const a = values[first + j];
      const b = values[first + j + 1];
      return cumulative[j] + (x[j + 1] - x[j]) * part * (a - base + ((b - a) * part) / 2);
    };
    for (let i = 0; i < count; i++) {
      result[first + i] =
        perWidth[i] === 0
          ? values[first + i]
          : base + (integralTo(high[i], highPart[i]) - integralTo(low[i], lowPart[i])) * perWidth[i];
    }
    return result;
  };
}

/** For each point the window's ends, each as a grid point and a part of the step after it, and one over its width. */
function plan(frequency: ArrayLike<number>, n: number) {
  const first = frequency[0] === 0 ? 1 : 0;
  const count = frequency.length - first;
  const x = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const f = frequency[first + i];
    if (!(f > 0 && (i === 0 || f > frequency[first + i - 1]))) {
      throw new RangeError(`frequency[${first + i}] is ${f}, expected frequencies above 0 that ascend`);
    }
    x[i] = Math.log(f);
  }
  const low = new Int32Array(count);
  const high = new Int32Array(count);
  const lowPart = new Float64Array(count);
  const highPart = new Float64Array(count);
  const perWidth = new Float64Array(count);
  let a = 0;
  let b = 0;
  for (let i = 0; i < count; i++) {
    const half = Math.min(Math.LN2 / (2 * n), x[i] - x[0], x[count - 1] - x[i]);
    if (half === 0) continue;
    while (a < count - 2 && x[a + 1] <= x[i] - half) a++;
    while (a > 0 && x[a] > x[i] - half) a--;
    while (b < count - 2 && x[b + 1] <= x[i] + half) b++;
    while (b > 0 && x[b] > x[i] + half) b--;
    low[i] = a;
    high[i] = b;
    lowPart[i] = Math.min(1, Math.max(0, (x[i] - half - x[a]) / (x[a + 1] - x[a])));
    highPart[i] = Math.min(1, Math.max(0, (x[i] + half - x[b]) / (x[b + 1] - x[b])));
    perWidth[i] = 1 / (2 * half);
  }
  return { first, x, low, lowPart, high, highPart, perWidth };
}
