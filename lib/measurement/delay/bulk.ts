/**
 * The delay that a response has on the whole, and how to take it out.
 */
import type { Response } from "../../acoustics/response";
import { complexes, delayFactor, product, sumWithout } from "../../numeric/complexes";

/**
 * The delay that, taken out, makes neighbouring points agree best in phase.
 *
 * Steps of log frequency differ in hertz, so that small steps say which of many delays it is, and large ones say it
 * exactly. On equal steps, as of a transform, it is known only modulo 1 / step, and the smallest is taken.
 *
 * @param response  with phase, at least two frequencies
 * @returns seconds; 0 for a response that is 0
 */
export function bulkDelay({ frequency, re, im }: Response): number {
  const n = frequency.length - 1;
  const step = new Float64Array(n);
  const cross = complexes(n);
  for (let i = 0; i < n; i++) {
    const r = re[i] * re[i + 1] + im[i] * im[i + 1];
    const q = re[i] * im[i + 1] - im[i] * re[i + 1];
    // Square root: strong points count more than weak ones, without a few of them deciding alone.
    const weight = Math.sqrt(Math.hypot(r, q)) * Math.log(frequency[i + 1] / frequency[i]);
    const size = Math.hypot(r, q) || 1;
    step[i] = frequency[i + 1] - frequency[i];
    cross.re[i] = (r / size) * weight;
    cross.im[i] = (q / size) * weight;
  }
  const agreement = (delay: number): number => sumWithout(delay, step, cross);
  const narrowest = step.reduce((a, b) => Math.min(a, b));
  const widest = step.reduce((a, b) => Math.max(a, b));
  return highest(agreement, Math.min(1, 0.5 / narrowest), widest);
}

/**
 * A response later by some seconds: each frequency turned back by its share.
 *
 * @param response  with phase
 * @param seconds   positive is later
 */
export const delayed = (response: Response, seconds: number): Response => ({
  frequency: response.frequency,
  ...product(response, delayFactor(response.frequency, seconds)),
});

/** Place of the highest value within ± limit: a scan in steps that can't miss a peak, then a search by halves. */
function highest(value: (x: number) => number, limit: number, widestStep: number): number {
  const scan = Math.max(1 / (8 * widestStep), limit / 20_000);
  let best = 0;
  let bestValue = value(0);
  for (let x = scan; x <= limit; x += scan) {
    for (const candidate of [x, -x]) {
      const v = value(candidate);
      if (v > bestValue) {
        best = candidate;
        bestValue = v;
      }
    }
  }
  for (let width = scan / 2; width > 1e-9; width /= 2) {
    for (const candidate of [best - width, best + width]) {
      const v = value(candidate);
      if (v > bestValue) {
        best = candidate;
        bestValue = v;
      }
    }
  }
  return best;
}
