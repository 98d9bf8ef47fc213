/** The band in which mains and subs both matter, so that their phases do. */
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
 * Overlap of mains and subs over some positions: around the frequency where they are equally loud, as far as the
 * softer one is at most `within` dB below the other, dips of a third octave apart. At 10 dB it can still add or take 2.4 or 3.3 dB.
 *
 * @param survey  a survey
 * @param weights  per position; 0 leaves one out
 * @param gain  of the subs, ratio
 * @param filters  tried on either side
 * @param within  dB
 * @param limits  where to look, hertz
 * @returns the band and the crossover frequency
 * @throws RangeError when the two never come that near, or meet only where both are silent
 */
export function overlapBand(
  survey: Survey,
  weights: Float64Array,
  gain = 1,
  filters: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] } = {},
  within = 10,
  limits: readonly [number, number] = [25, 300],
): Overlap {
  const { difference, total } = levels(survey, weights, gain, filters);
  const { frequency } = survey;
  const inside: number[] = [];
  frequency.forEach((f, i) => {
    if (f >= limits[0] && f <= limits[1]) inside.push(i);
  });
  const at = crossoverIndex(difference, inside);
  if (at === undefined || !(Math.abs(difference[at]) <= within)) {
    throw new RangeError(
      `mains and subs are nowhere within ${within} dB of each other between ${limits[0]} and ${limits[1]} Hz: there is no overlap to align`,
    );
  }
  const near = inside.filter((i) => Math.abs(Math.log(frequency[i] / frequency[at])) <= Math.log(DIP) / 2);
  const loudest = (some: readonly number[]) => Math.max(...some.map((i) => total[i]));
  const below = loudest(inside) - loudest(near);
  if (below > GAP) {
    throw new RangeError(
      `mains and subs meet ${Math.round(below)} dB below their level, at ${Math.round(frequency[at])} Hz: a dip, and no overlap to align`,
    );
  }
  let low = at;
  let high = at;
  for (let i = at; i >= inside[0] && frequency[i] * DIP >= frequency[low]; i--) {
    if (Math.abs(difference[i]) <= within) low = i;
  }
  for (let i = at; i <= inside[inside.length - 1] && frequency[i] <= frequency[high] * DIP; i++) {
    if (Math.abs(difference[i]) <= within) high = i;
  }
  return { lower: frequency[low], upper: frequency[high], crossover: frequency[at] };
}

/** A dip of one of the two, at one position, ends no overlap: up to a third octave. */
const DIP = 2 ** (1 / 3);

/** Meeting this far below the loudest frequency is no crossover but a gap, dB. */
const GAP = 25;

/** Subs over mains, and both together by power, at each frequency, dB, from the weighted mean squares. */
function levels(
  survey: Survey,
  weights: Float64Array,
  gain: number,
  filters: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] },
): { difference: Float64Array; total: Float64Array } {
  const onMains = filterResponse(filters.mains ?? [], survey.frequency);
  const onSubs = filterResponse(filters.subs ?? [], survey.frequency);
  const difference = new Float64Array(survey.frequency.length);
  const total = new Float64Array(survey.frequency.length);
  for (let i = 0; i < total.length; i++) {
    let m2 = 0;
    let s2 = 0;
    for (let row = 0; row < weights.length; row++) {
      if (weights[row] === 0) continue;
      const m = survey.mains[row];
      const s = survey.subs[row];
      m2 += weights[row] * (m.re[i] ** 2 + m.im[i] ** 2);
      s2 += weights[row] * (s.re[i] ** 2 + s.im[i] ** 2);
    }
    m2 *= onMains.re[i] ** 2 + onMains.im[i] ** 2;
    s2 *= gain * gain * (onSubs.re[i] ** 2 + onSubs.im[i] ** 2);
    difference[i] = 10 * Math.log10((s2 + 1e-300) / (m2 + 1e-300));
    total[i] = 10 * Math.log10(m2 + s2 + 1e-300);
  }
  return { difference, total };
}

/** Where subs hand over to mains: the highest frequency with the subs on top below it; else the nearest approach. */
function crossoverIndex(difference: Float64Array, inside: readonly number[]): number | undefined {
  for (let k = inside.length - 1; k > 0; k--) {
    const i = inside[k];
    if (difference[i] <= 0 && difference[i - 1] > 0) {
      return Math.abs(difference[i]) < Math.abs(difference[i - 1]) ? i : i - 1;
    }
  }
  let best: number | undefined;
  for (const i of inside) {
    if (best === undefined || Math.abs(difference[i]) < Math.abs(difference[best])) best = i;
  }
  return best;
}
