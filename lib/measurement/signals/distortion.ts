/**
 * Response and harmonic distortion over frequency, from a deconvolved sweep.
 */

import type { Response } from "../../acoustics/response";
import { requireInteger } from "../../guard/arguments";
import type { SweepResponse } from "./sweep";

/**
 * Transfer function from a deconvolved sweep: the linear response, or that of one harmonic.
 *
 * @param sweep  from `measure.sweep`
 * @param frequency  hertz, ascending, within the sweep's band (for order N: N times the frequency played)
 * @param options  order (1, the linear response, by default), and seconds of impulse response to use (1 by default)
 * @returns a ratio, phase counted from delay 0; no coherence, since a sweep is one average
 * @throws RangeError when the order is not a whole number from 1 to 99
 * @source discrete-time Fourier transform at each frequency; check: tests/measurement/signals/sweep.test.ts
 * @example
 * const sweep = { from: 20, to: 640, seconds: 1, sampleRate: 2000 };
 * const hall = read.venue("pennavoe-assembly-hall");
 * const heard = measure.sweep(predict.sweep(hall, hall.positions[2], sweep, { rest: 0.5 }), sweep);
 * const { re, im } = measure.sweepTransferFunction(heard, Float64Array.of(40, 80, 160));
 * acoustics.level.ofAmplitude(Math.hypot(re[1], im[1]))
 */
export function sweepTransferFunction(
  sweep: SweepResponse,
  frequency: Float64Array,
  {
    order = 1,
    seconds = 1,
  }: {
    /** 1 (default) for the linear response, 2 for the second harmonic, … up to 99. */
    readonly order?: number;
    /** Longest piece of impulse response to use, seconds. Default 1. */
    readonly seconds?: number;
  } = {},
): Response {
  requireInteger("harmonic order", order, 1, 99);
  const { samples, origin } = sweep.part(order, seconds);
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  for (let i = 0; i < frequency.length; i++) {
    // One factor turns the next: of all samples no cosine is computed.
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
 * Level of a harmonic relative to the fundamental that made it, over the frequency played.
 *
 * @param sweep  from `measure.sweep`
 * @param frequency  frequencies played, hertz; `order` times each must lie within the sweep's band
 * @param order  2 for the second harmonic, 3 for the third, … up to 99
 * @returns dB at each frequency, negative where the harmonic is weaker; noise sets its floor
 * @throws RangeError when the order is not a whole number from 2 to 99
 * @source Farina, AES 108th Convention (2000), preprint 5093; check: tests/measurement/signals/sweep.test.ts
 * @example
 * const sweep = { from: 20, to: 640, seconds: 1, sampleRate: 2000 };
 * const hall = read.venue("pennavoe-assembly-hall");
 * const heard = measure.sweep(predict.sweep(hall, hall.positions[2], sweep, { rest: 0.5 }), sweep);
 * measure.harmonics(heard, Float64Array.of(100, 200, 300), 2)
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
