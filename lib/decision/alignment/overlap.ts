/** The band in which mains and subs both matter, so that their phases do. */

import { smoother } from "../../acoustics/bands/smoothing";
import type { Processing } from "../../acoustics/filters/filter";
import { filterResponse } from "../../acoustics/filters/response";
import type { Survey } from "../../survey/survey";

export interface Overlap {
  readonly lower: number;
  readonly upper: number;
  /** Where the two are equally loud, hertz. */
  readonly crossover: number;
}

/**
 * Overlap of mains and subs over some positions: around the frequency where the subs hand over to the mains, as far as the
 * softer one is at most `within` dB below the other, dips of a third octave apart. At 10 dB it can still add or take 2.4 or 3.3 dB.
 *
 * Levels are those of third octaves, so that a dip of one of the two hands nothing over; of several crossings the loudest counts.
 * Of fewer than five positions the band is an octave about it or more.
 *
 * @param survey  a survey
 * @param weights  per position; 0 leaves one out
 * @param options  gain of the subs, filters
 * @returns the band and the crossover frequency
 * @throws RangeError when the two never come that near, or meet only where both are silent
 */
export function overlapBand(
  survey: Survey,
  weights: Float64Array,
  { gain = 1, filters = {} }: OverlapOptions = {},
): Overlap {
  const { difference, total } = levels(survey, weights, gain, filters);
  const { frequency } = survey;
  const inside: number[] = [];
  frequency.forEach((f, i) => {
    if (f >= LIMITS[0] && f <= LIMITS[1]) inside.push(i);
  });
  const at = crossoverIndex({ difference, total }, inside);
  if (at === undefined || !(Math.abs(difference[at]) <= WITHIN)) {
    throw new RangeError(
      `mains and subs are nowhere within ${WITHIN} dB of each other between ${LIMITS[0]} and ${LIMITS[1]} Hz: there is no overlap to align`,
    );
  }
  const loudest = (some: readonly number[]) => Math.max(...some.map((i) => total[i]));
  const sides = [inside.filter((i) => i <= at), inside.filter((i) => i >= at)];
  const below = Math.min(...sides.map(loudest)) - total[at];
  if (below > GAP) {
    throw new RangeError(
      `mains and subs meet ${Math.round(below)} dB below their level, at ${Math.round(frequency[at])} Hz: a dip, and no overlap to align`,
    );
  }
  let low = at;
  let high = at;
  for (let i = at; i >= inside[0] && frequency[i] * DIP >= frequency[low]; i--) {
    if (Math.abs(difference[i]) <= WITHIN) low = i;
  }
  for (let i = at; i <= inside[inside.length - 1] && frequency[i] <= frequency[high] * DIP; i++) {
    if (Math.abs(difference[i]) <= WITHIN) high = i;
  }
  const crossover = frequency[at];
  const few = weights.reduce((count, w) => count + (w > 0 ? 1 : 0), 0) < FEW;
  if (!few) return { lower: frequency[low], upper: frequency[high], crossover };
  return {
    lower: Math.min(frequency[low], Math.max(LIMITS[0], frequency[inside[0]], crossover / HALF_OCTAVE)),
    upper: Math.max(
      frequency[high],
      Math.min(LIMITS[1], frequency[inside[inside.length - 1]], crossover * HALF_OCTAVE),
    ),
    crossover,
  };
}

export interface OverlapOptions {
  /** Of the subs, ratio. Default 1. */
  readonly gain?: number;
  /** Tried on either side. */
  readonly filters?: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] };
}

/** Hertz between which to look, and dB within which both count. */
const LIMITS = [25, 300] as const;
const WITHIN = 10;
/** How far the band of fewer positions than this goes to either side at least: less of one's response is a matter of chance. */
const FEW = 5;
const HALF_OCTAVE = Math.SQRT2;

/** A dip of one of the two, at one position, ends no overlap: up to a third octave. */
const DIP = 2 ** (1 / 3);

/** Meeting this far below the softer of the loudest frequencies on either side is no crossover but a gap, dB. */
const GAP = 25;

interface Levels {
  /** Subs over mains, and both together by power, at each frequency, dB. */
  readonly difference: Float64Array;
  readonly total: Float64Array;
}

/** From the weighted mean squares, by third octaves. */
function levels(
  survey: Survey,
  weights: Float64Array,
  gain: number,
  filters: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] },
): Levels {
  const onMains = filterResponse(filters.mains ?? [], survey.frequency);
  const onSubs = filterResponse(filters.subs ?? [], survey.frequency);
  const count = survey.frequency.length;
  const mains = new Float64Array(count);
  const subs = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let m2 = 0;
    let s2 = 0;
    for (let row = 0; row < weights.length; row++) {
      if (weights[row] === 0) continue;
      const m = survey.mains[row];
      const s = survey.subs[row];
      m2 += weights[row] * (m.re[i] ** 2 + m.im[i] ** 2);
      s2 += weights[row] * (s.re[i] ** 2 + s.im[i] ** 2);
    }
    mains[i] = m2 * (onMains.re[i] ** 2 + onMains.im[i] ** 2);
    subs[i] = s2 * gain * gain * (onSubs.re[i] ** 2 + onSubs.im[i] ** 2);
  }
  const inThirds = smoother(survey.frequency, 3);
  const [m2, s2] = [inThirds(mains), inThirds(subs)];
  return {
    difference: s2.map((s, i) => 10 * Math.log10((s + 1e-300) / (m2[i] + 1e-300))),
    total: s2.map((s, i) => 10 * Math.log10(s + m2[i] + 1e-300)),
  };
}

/** Where subs hand over to mains: of frequencies with the subs on top below, the loudest; else the nearest approach. */
function crossoverIndex({ difference, total }: Levels, inside: readonly number[]): number | undefined {
  const nearer = (i: number) => (Math.abs(difference[i]) < Math.abs(difference[i - 1]) ? i : i - 1);
  const crossings = inside
    .slice(1)
    .filter((i) => difference[i] <= 0 && difference[i - 1] > 0)
    .map(nearer);
  const least = (some: readonly number[], cost: (i: number) => number): number | undefined =>
    some.reduce<number | undefined>(
      (best, i) => (best === undefined || cost(i) < cost(best) ? i : best),
      undefined,
    );
  return least(crossings, (i) => -total[i]) ?? least(inside, (i) => Math.abs(difference[i]));
}
