/**
 * How sure a measured response is, from its coherence and the number of averages behind it.
 */
import { requirePositive, requireWithin } from "../guard/arguments";

/**
 * Standard error of the magnitude of a transfer function, relative to the magnitude; that of the phase in radians is
 * the same number while it is small.
 *
 * Noise at the microphone alone is meant: errors that do not change from average to average, such as a reflection or a
 * wrong delay, do not show in it. A coherence of 0 gives Infinity: nothing is known.
 *
 * @param coherence  magnitude-squared coherence, 0…1
 * @param averages  effective number of independent averages, > 0
 * @returns relative standard error, 0 or more: 0.1 is about 0.9 dB
 * @throws RangeError when the coherence lies outside 0…1 or the number of averages is not positive
 * @source Bendat and Piersol, Random Data, 4th ed. (2010), eq. 9.90: √(1 − γ²) / (|γ| √(2 n)) (from memory); check: tests/acoustics/uncertainty.test.ts
 */
export function responseError(coherence: number, averages: number): number {
  requireWithin("coherence", coherence, 0, 1);
  requirePositive("number of averages", averages);
  return Math.sqrt((1 - coherence) / (coherence * 2 * averages));
}
