/**
 * The gain and delay that bring one response nearest to another.
 */
import type { Response } from "../../acoustics/response";
import { type Complexes, complexes, delayFactor, sumWithout } from "../../numeric/complexes";

/** A change that a response underwent. */
export interface Change {
  /** Factor on the amplitude. */
  readonly gain: number;
  /** Seconds, positive later. */
  readonly delay: number;
}

/**
 * Gain and delay of `source` that bring it nearest to `target`, by weighted least squares: with C(τ) the weighted correlation at
 * a delay and E the weighted energy of the source, the best gain is C/E, and the best delay the one with the largest C.
 *
 * @param target   what it should become
 * @param source   on the same frequencies
 * @param weights  one per frequency, 0 or more
 * @param free     whether gain and delay may differ from 1 and 0; a delay is looked for within ± 30 ms
 */
export function fitChange(
  target: Response,
  source: Response,
  weights: Float64Array,
  free: { readonly gain: boolean; readonly delay: boolean },
): Change {
  const { frequency } = source;
  let energy = 0;
  let highest = 0;
  const cross = complexes(frequency.length);
  for (let i = 0; i < frequency.length; i++) {
    const w = weights[i];
    energy += w * (source.re[i] ** 2 + source.im[i] ** 2);
    cross.re[i] = w * (target.re[i] * source.re[i] + target.im[i] * source.im[i]);
    cross.im[i] = w * (target.im[i] * source.re[i] - target.re[i] * source.im[i]);
  }
  // Frequencies where the source hardly speaks say nothing of its delay, but would make the scan fine and long.
  const floor = energy * 1e-4;
  let tail = 0;
  for (let i = frequency.length - 1; i >= 0 && highest === 0; i--) {
    tail += weights[i] * (source.re[i] ** 2 + source.im[i] ** 2);
    if (tail > floor) highest = frequency[i];
  }
  const heard = frequency.filter((f) => f <= highest);
  const delay = free.delay && heard.length > 0 ? bestDelay(heard, cross, 1 / (8 * highest)) : 0;
  const gain = free.gain && energy > 0 ? Math.max(1e-3, sumWithout(delay, heard, cross) / energy) : 1;
  return { gain, delay };
}

/** The delay of the largest correlation: a scan in steps that can't miss a peak, then a search by halves. */
function bestDelay(frequency: Float64Array, cross: Complexes, scan: number): number {
  let best = scanned(frequency, cross, scan);
  let bestValue = sumWithout(best, frequency, cross);
  for (let width = scan / 2; width > 1e-8; width /= 2) {
    for (const delay of [best - width, best + width]) {
      const value = sumWithout(delay, frequency, cross);
      if (value > bestValue) {
        best = delay;
        bestValue = value;
      }
    }
  }
  return best;
}

/** Both directions at once, each frequency's phasor turned on by multiplication, which is several times faster than its cosine. */
function scanned(frequency: Float64Array, { re, im }: Complexes, scan: number): number {
  const n = frequency.length;
  const { re: stepCos, im: stepSin } = delayFactor(frequency, -scan);
  const cos = new Float64Array(n).fill(1);
  const sin = new Float64Array(n);
  let best = 0;
  let bestValue = -Infinity;
  for (let step = 0; step * scan <= longestDelay; step++) {
    let even = 0;
    let odd = 0;
    for (let i = 0; i < n; i++) {
      const c = cos[i];
      const s = sin[i];
      even += re[i] * c;
      odd += im[i] * s;
      cos[i] = c * stepCos[i] - s * stepSin[i];
      sin[i] = s * stepCos[i] + c * stepSin[i];
    }
    const value = even + Math.abs(odd);
    if (value > bestValue) {
      bestValue = value;
      best = odd < 0 ? step * scan : -step * scan;
    }
  }
  return best;
}

const longestDelay = 0.03;
