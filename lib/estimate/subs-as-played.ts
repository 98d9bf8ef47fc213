/**
 * The subs in the polarity and with the delay in which they played: a processor's settings are seldom in a drawing, and one cable
 * turns the polarity of all.
 *
 * Relative to the mains, whose arrival a broad band tells, the microphones' subs are held against the model's. What a drawing lacks
 * makes each microphone agree a little less, and not all with the same other delay.
 */
import { type Complexes, delayFactor, product, sumWithout } from "../numeric/complexes";
import type { Survey } from "../survey/survey";
import { crossOf, nearest } from "./to-model-time";

/** Where the mains tell an arrival, and where the subs play, hertz. */
const BAND = { mains: [60, 1000], subs: [25, 120] } as const;
/** Delays that are tried, seconds: beyond them the subs would be heard as late. */
const MOST_DELAY = 0.02;
const STEP = 0.00025;

/** How subs played relative to a drawing. */
export interface PlayedSubs {
  /** −1 where they were inverted. */
  readonly polarity: 1 | -1;
  /** Seconds later. */
  readonly delay: number;
}

/**
 * @param model  the survey of a model
 * @param measured  on the same frequencies
 * @param at  for each measured position its number in the model
 * @returns as drawn, unless the microphones agree on another setting by more than chance
 */
export function subsAsPlayed(model: Survey, measured: Survey, at: readonly number[]): PlayedSubs {
  const { frequency } = model;
  const crosses = at.flatMap((i, k): { arrival: number; cross: Complexes; whole: number }[] => {
    const [mains, subs] = [measured.mains[k], measured.subs[k]];
    if (mains.magnitudeOnly || subs.magnitudeOnly) return [];
    const arrival = nearest(frequency, crossOf(frequency, [[model.mains[i], mains]], BAND.mains));
    const cross = crossOf(frequency, [[model.subs[i], subs]], BAND.subs);
    return [
      { arrival, cross, whole: cross.re.reduce((sum, x, n) => sum + Math.hypot(x, cross.im[n]), 1e-30) },
    ];
  });
  if (crosses.length === 0) return asDrawn;
  /** 1 where all are alike, about 0 where they have nothing in common, −1 where they are inverted. */
  const agreement = (delay: number): number =>
    crosses.reduce(
      (sum, { arrival, cross, whole }) => sum + sumWithout(arrival + delay, frequency, cross) / whole,
      0,
    ) / crosses.length;
  // Of a few microphones some agree by chance.
  let best = { ...asDrawn, agrees: agreement(0) + 1 / Math.sqrt(crosses.length) };
  for (let n = Math.round(-MOST_DELAY / STEP); n * STEP <= MOST_DELAY; n++) {
    const found = agreement(n * STEP);
    if (Math.abs(found) > best.agrees)
      best = { agrees: Math.abs(found), delay: n * STEP, polarity: found > 0 ? 1 : -1 };
  }
  return { polarity: best.polarity, delay: best.delay };
}

/** The model with its subs as they played. */
export function withPlayedSubs(model: Survey, { polarity, delay }: PlayedSubs): Survey {
  if (polarity === 1 && delay === 0) return model;
  const factor = delayFactor(model.frequency, delay, polarity);
  return { ...model, subs: model.subs.map((r) => ({ ...r, ...product(r, factor) })) };
}

export const asDrawn: PlayedSubs = { polarity: 1, delay: 0 };
