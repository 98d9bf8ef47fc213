/**
 * Response and harmonic distortion over frequency, from a deconvolved sweep.
 */

import type { Response } from "../../acoustics/response";
import { requireInteger } from "../../guard/arguments";
import type { SweepResponse } from "./sweep";

/**
 * Transfer function from one order's impulse response; order 1 is the linear one.
 *
 * @param sweep  from `deconvolveSweep`
 * @param frequency  hertz, ascending, within the sweep's band (for order N: N times the frequency played)
 * @param options  order, and seconds of impulse response to use (1 unless said)
 * @returns a ratio, phase counted from delay 0; no coherence, since a sweep is one average
 * @source discrete-time Fourier transform at each frequency
 */
export function sweepTransferFunction(
  sweep: SweepResponse,
  frequency: Float64Array,
  { order = 1, seconds = 1 }: { readonly order?: number; readonly seconds?: number } = {},
): Response {
  requireInteger("harmonic order", order, 1, 99);
  const { samples, origin } = sweep.part(order, seconds);
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  for (let i = 0; i < frequency.length; i++) {
    const angle = (-2 * Math.PI * frequency[i]) / sweep.sampleRate;
    const [stepRe, stepIm] = [Math.cos(angle), Math.sin(angle)];
    let [c, s] = [Math.cos(-angle * origin), Math.sin(-angle * origin)];
    for (const v of samples) {
      re[i] += v * c;
      im[i] += v * s;
      [c, s] = [c * stepRe - s * stepIm, s * stepRe + c * stepIm];
    }
  }
  return { frequency, re, im };
}

/**
 * Level of a harmonic against the fundamental that made it, over the frequency played.
 *
 * @param sweep  from `deconvolveSweep`
 * @param frequency  frequencies played, hertz; `order` times each must lie within the sweep's band
 * @param order  2 or more
 * @returns dB, negative where the harmonic is weaker; noise sets its floor
 * @source Farina, AES 108th Convention (2000), preprint 5093
 */
export function harmonicLevel(sweep: SweepResponse, frequency: Float64Array, order: number): Float64Array {
  requireInteger("harmonic order", order, 2, 99);
  const played = sweepTransferFunction(sweep, frequency);
  const harmonic = sweepTransferFunction(
    sweep,
    frequency.map((f) => order * f),
    { order },
  );
  return frequency.map((_, i) => {
    const ratio = (harmonic.re[i] ** 2 + harmonic.im[i] ** 2) / (played.re[i] ** 2 + played.im[i] ** 2);
    return 10 * Math.log10(Math.max(ratio, 1e-30));
  });
}
