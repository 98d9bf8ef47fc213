/** What microphones heard, brought to the time of a model: each has a clock, or a reference, of its own. */
import type { Response } from "../acoustics/response";
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
    const cross = { re: new Float64Array(frequency.length), im: new Float64Array(frequency.length) };
    for (const g of groups) {
      const [m, h] = [model[g][i], heard[g]];
      frequency.forEach((f, n) => {
        if (f > 2 * FIELD_BELOW) return;
        const size = Math.sqrt((m.re[n] ** 2 + m.im[n] ** 2) * (h.re[n] ** 2 + h.im[n] ** 2)) || 1;
        // Half by its size: neither the loudest band nor a dip decides alone.
        cross.re[n] += (m.re[n] * h.re[n] + m.im[n] * h.im[n]) / Math.sqrt(size);
        cross.im[n] += (m.re[n] * h.im[n] - m.im[n] * h.re[n]) / Math.sqrt(size);
      });
    }
    const delay = nearest(frequency, cross);
    return { mains: turned(heard.mains, delay), subs: turned(heard.subs, delay) };
  });
}

/** The delay, seconds, within 0.3 s, at which two series of products agree most. */
function nearest(frequency: Float64Array, cross: { re: Float64Array; im: Float64Array }): number {
  const agree = (delay: number): number =>
    frequency.reduce((sum, f, n) => {
      const turn = 2 * Math.PI * f * delay;
      return sum + cross.re[n] * Math.cos(turn) + cross.im[n] * Math.sin(turn);
    }, 0);
  let best = 0;
  let most = Number.NEGATIVE_INFINITY;
  for (let delay = -0.3; delay <= 0.3; delay += 0.00025) {
    const found = agree(-delay);
    if (found > most) [most, best] = [found, delay];
  }
  return best;
}

/** A response earlier by a delay. */
function turned(response: Response, delay: number): Response {
  const { frequency, re, im } = response;
  const turn = (n: number) => 2 * Math.PI * frequency[n] * delay;
  return {
    ...response,
    re: re.map((x, n) => x * Math.cos(turn(n)) - im[n] * Math.sin(turn(n))),
    im: re.map((x, n) => x * Math.sin(turn(n)) + im[n] * Math.cos(turn(n))),
  };
}
