/**
 * Resampling by a ratio close to 1, band-limited.
 */
import { requireWithin } from "../../guard/arguments";
import { sampleAt } from "./interpolate-samples";

/**
 * Reads a recording at another speed: sample n of the result is the recording at sample n · ratio.
 *
 * For small corrections of a clock; no filter guards against aliasing.
 *
 * @param samples  the recording
 * @param ratio  input samples per output sample, 0.98 … 1.02; above 1 the result is shorter
 * @returns as many samples as the recording covers
 * @throws RangeError when the ratio is out of range
 * @source band-limited interpolation, a sinc under a Kaiser window: Oppenheim and Schafer, Discrete-Time Signal Processing, section 7.5; check: tests/measurement/delay/drift.test.ts
 * @example
 * measure.resample(new Float64Array(1001), 1.01).length // 991
 */
export function resample(samples: Float64Array, ratio: number): Float64Array {
  requireWithin("ratio of sample rates", ratio, 0.98, 1.02);
  const result = new Float64Array(Math.floor((samples.length - 1) / ratio) + 1);
  for (let n = 0; n < result.length; n++) result[n] = sampleAt(samples, n * ratio);
  return result;
}
