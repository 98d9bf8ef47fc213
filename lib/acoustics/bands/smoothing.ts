/**
 * Fractional-octave smoothing: at each frequency the mean over a window of constant width on a logarithmic axis.
 *
 * Values run straight over log frequency between grid points, so any grid will do, and a cumulative integral makes
 * the cost of a window independent of its width. Toward both ends the window narrows on both sides alike, so that a
 * slope is left as it is; the first and the last value stay untouched.
 */
import { requirePositive, requireSameLength } from "../../guard/arguments";

/**
 * Smooth the power of a response.
 *
 * This is what an analyser's band of noise would read: notches fill in, the energy of a band is kept.
 *
 * @param frequency  hertz, ascending, uniform or not; a first point at 0 Hz passes unchanged
 * @param power  mean square at each frequency
 * @param n  window of one n-th of an octave: 3 for a third-octave band; need not be whole
 * @returns mean square, smoothed, on the same frequencies
 * @throws RangeError when lengths differ, n is not positive, or frequencies do not ascend
 * @source Hatziantoniou and Mourjopoulos, Generalized fractional-octave smoothing of audio and acoustic responses, J. Audio Eng. Soc. 48 (2000), 259-280, rectangular window (from memory); check: tests/acoustics/bands/smoothing.test.ts
 */
export function smoothPower(frequency: ArrayLike<number>, power: ArrayLike<number>, n: number): Float64Array {
  return smoother(frequency, n)(power);
}

/**
 * Prepare smoothing on one grid, to be used for many responses.
 *
 * @param frequency  hertz, ascending, uniform or not; a first point at 0 Hz passes unchanged
 * @param n  window of one n-th of an octave: 3 for a third-octave band; need not be whole
 * @returns a function from values on that grid to their smoothed values
 * @throws RangeError when n is not positive or frequencies do not ascend
 */
export function smoother(
  frequency: ArrayLike<number>,
  n: number,
): (values: ArrayLike<number>) => Float64Array {
  requirePositive("windows per octave", n);
  const { first, step, low, high, lowA, lowB, highA, highB, perWidth } = plan(frequency, n);
  const count = perWidth.length;
  const sum = new Float64Array(count);
  const rest = new Float64Array(count);
  return (values) => {
    requireSameLength("frequency", frequency, "values", values);
    const v = Float64Array.from(values).subarray(first);
    // The sum is carried in two numbers, so that a quiet band keeps its digits beside a loud one.
    for (let i = 1; i < count; i++) {
      const area = ((v[i - 1] + v[i]) / 2) * step[i - 1];
      sum[i] = sum[i - 1] + area;
      rest[i] = rest[i - 1] + (area - (sum[i] - sum[i - 1]));
    }
    const result = Float64Array.from(values);
    for (let i = 0; i < count; i++) {
      if (perWidth[i] === 0) continue;
      const a = low[i];
      const b = high[i];
      const whole = sum[b] - sum[a] + (rest[b] - rest[a]);
      const parts = highA[i] * v[b] + highB[i] * v[b + 1] - (lowA[i] * v[a] + lowB[i] * v[a + 1]);
      result[first + i] = (whole + parts) * perWidth[i];
    }
    return result;
  };
}

/**
 * For each point the grid points below the window's two ends, the weights of the values beside each end for the part of
 * the step up to it, and one over the window's width (0 where there is none).
 */
function plan(frequency: ArrayLike<number>, n: number) {
  const x = logarithms(frequency);
  const count = x.length;
  const array = () => new Float64Array(count);
  const [step, lowA, lowB, highA, highB, perWidth] = [array(), array(), array(), array(), array(), array()];
  const low = new Int32Array(count);
  const high = new Int32Array(count);
  for (let i = 1; i < count; i++) step[i - 1] = x[i] - x[i - 1];
  let a = 0;
  let b = 0;
  for (let i = 0; i < count; i++) {
    const half = Math.min(Math.LN2 / (2 * n), x[i] - x[0], x[count - 1] - x[i]);
    if (half === 0) continue;
    // Neither end ever moves back, however the window narrows.
    while (x[a + 1] <= x[i] - half) a++;
    while (b < count - 2 && x[b + 1] <= x[i] + half) b++;
    const lowPart = Math.max(0, x[i] - half - x[a]);
    const highPart = Math.min(step[b], x[i] + half - x[b]);
    low[i] = a;
    high[i] = b;
    lowB[i] = lowPart ** 2 / (2 * step[a]);
    lowA[i] = lowPart - lowB[i];
    highB[i] = highPart ** 2 / (2 * step[b]);
    highA[i] = highPart - highB[i];
    perWidth[i] = 1 / (2 * half);
  }
  return { first: frequency.length - count, step, low, high, lowA, lowB, highA, highB, perWidth };
}

/** Natural logarithms of the frequencies, without a first one at 0 Hz. */
function logarithms(frequency: ArrayLike<number>): Float64Array {
  const first = frequency[0] === 0 ? 1 : 0;
  const x = new Float64Array(frequency.length - first);
  for (let i = 0; i < x.length; i++) {
    const f = frequency[first + i];
    if (!(f > 0 && (i === 0 || f > frequency[first + i - 1]))) {
      throw new RangeError(`frequency[${first + i}] is ${f}, expected frequencies above 0 that ascend`);
    }
    x[i] = Math.log(f);
  }
  return x;
}
