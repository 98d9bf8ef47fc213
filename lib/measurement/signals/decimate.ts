/**
 * A recording at a lower rate, for what is asked of low frequencies alone.
 */

import { fill } from "../spectra/lagged";
import { workspace } from "../spectra/workspace";

/** Samples of the result that are made at once, a multiple of four. */
const BLOCK = 1024;
/** Taps of the filter on either side, for each sample that is skipped. */
const REACH = 8;

/**
 * Every so-manieth sample, after a lowpass: true within 0.2 dB to 0.7 of half the new rate.
 *
 * @param samples  the recording
 * @param factor  samples per sample of the result, a whole number, 1 or more
 * @returns as many samples as fit, the first in time with the recording's first; beyond its ends it counts as silent
 * @source windowed sinc: Oppenheim and Schafer, Discrete-Time Signal Processing, sections 4.6 and 7.5; check: tests/measurement/signals/decimate.test.ts
 */
export function decimate(samples: Float64Array, factor: number): Float64Array {
  if (factor === 1) return samples;
  const half = REACH * factor;
  const shape = Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const x = (0.9 * (i - half)) / factor;
    const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    return sinc * (0.54 + 0.46 * Math.cos((Math.PI * (i - half)) / half));
  });
  const sum = shape.reduce((a, b) => a + b, 0);
  const count = shape.length + 1; // two at a time
  const { code, doubles, release } = workspace(BLOCK * (factor + 1) + 2 * count, 3);
  const taps = doubles(count);
  taps.set(shape.map((x) => x / sum));
  const input = doubles(BLOCK * factor + count);
  const result = doubles(BLOCK);
  const out = new Float64Array(Math.ceil(samples.length / factor));
  for (let n = 0; n < out.length; n += BLOCK) {
    fill(input, samples, n * factor - half, input.length);
    code.filtered(input.byteOffset, taps.byteOffset, count, factor, result.byteOffset, BLOCK);
    out.set(result.subarray(0, out.length - n), n);
  }
  release();
  return out;
}
