/** What microphones heard, brought to the time of a model: each has a clock, or a reference, of its own. */
import { later, type Response } from "../acoustics/response";
import { type Complexes, complexes, delayFactor, product } from "../numeric/complexes";
import type { Survey } from "../survey/survey";
import { FIELD_BELOW } from "./discrepancy";

/** What was heard at one position. */
export interface Heard {
  readonly mains: Response;
  readonly subs: Response;
}

const groups = ["mains", "subs"] as const;

/**
 * Turns what each microphone heard, of both groups alike, by the time that brings it nearest to the model.
 *
 * @param model  the survey of a model
 * @param measured  on the same frequencies
 * @param at  for each measured position its number in the model
 */
export function toModelTime(model: Survey, measured: Survey, at: readonly number[]): Heard[] {
  const { frequency } = model;
  return at.map((i, k) => {
    const heard = { mains: measured.mains[k], subs: measured.subs[k] };
    if (groups.some((g) => heard[g].magnitudeOnly)) return heard;
    const cross = crossOf(
      frequency,
      groups.map((g) => [model[g][i], heard[g]] as const),
      [0, 2 * FIELD_BELOW],
    );
    const delay = nearest(frequency, cross);
    return { mains: later(heard.mains, -delay), subs: later(heard.subs, -delay) };
  });
}

/** What pairs of a model's and a heard response have in common in a band of frequencies: the second over the first, by its phase. */
export function crossOf(
  frequency: Float64Array,
  pairs: readonly (readonly [Response, Response])[],
  [from, to]: readonly [number, number],
): Complexes {
  const cross = complexes(frequency.length);
  for (const [m, h] of pairs) {
    frequency.forEach((f, n) => {
      if (f < from || f > to) return;
      const size = Math.sqrt((m.re[n] ** 2 + m.im[n] ** 2) * (h.re[n] ** 2 + h.im[n] ** 2)) || 1;
      // Half by its size: neither the loudest band nor a dip decides alone.
      cross.re[n] += (m.re[n] * h.re[n] + m.im[n] * h.im[n]) / Math.sqrt(size);
      cross.im[n] += (m.re[n] * h.im[n] - m.im[n] * h.re[n]) / Math.sqrt(size);
    });
  }
  return cross;
}

/** The delay, seconds, within 0.3 s, at which two series of products agree most. */
export function nearest(frequency: Float64Array, cross: Complexes): number {
  const isHeard = (_: number, n: number) => cross.re[n] !== 0 || cross.im[n] !== 0;
  const heard = frequency.filter(isHeard);
  // Turned from delay to delay, all at once.
  const { re, im } = product(
    { re: cross.re.filter(isHeard), im: cross.im.filter(isHeard) },
    delayFactor(heard, FARTHEST),
  );
  const { re: cos, im: sin } = delayFactor(heard, -STEP);
  let best = 0;
  let most = Number.NEGATIVE_INFINITY;
  for (let s = 0; s * STEP <= 2 * FARTHEST; s++) {
    let sum = 0;
    for (let k = 0; k < re.length; k++) {
      const [x, y] = [re[k], im[k]];
      sum += x;
      re[k] = x * cos[k] - y * sin[k];
      im[k] = x * sin[k] + y * cos[k];
    }
    if (sum > most) [most, best] = [sum, s * STEP - FARTHEST];
  }
  return best;
}

/** Delays that are tried, seconds. */
const FARTHEST = 0.3;
const STEP = 0.00025;
