/**
 * Band powers of mains and subs as a quadratic in the subs' gain.
 *
 * With the subs' gain g (a ratio), the mean square of the sum in a band is
 *
 *     |m + g s|² averaged = a + 2 g b + g² c,    a = mean |m|², b = mean Re(m s*), c = mean |s|²
 *
 * because averaging over frequency is linear. Three numbers a place and band hold all that a change of the subs'
 * level can do there, phase included; trying another level costs no walk over the frequencies.
 */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import { type Complexes, complexes, delayFactor } from "../../numeric/complexes";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { trustedFrequencies } from "./coherent-frequencies";

/** Band powers, one row per position and one column per band, row after row. */
export interface BandPowers {
  readonly bands: readonly Band[];
  /** Mean square of mains (with fills), unit of the survey squared. */
  readonly mains: Float64Array;
  /** Mean of Re(mains · subs*), the part by which they help or hinder each other; 0 where a phase is unknown. */
  readonly cross: Float64Array;
  /** Mean square of subs. */
  readonly subs: Float64Array;
  /** Mean square of mains in the one band more that was asked for, one number per position; else empty. */
  readonly mainsAlone: Float64Array;
}

/** Whether subs are inverted and how much later they are, relative to the survey as it stands. */
export interface SubSetting {
  /** 1 as measured, −1 inverted. */
  readonly polarity?: 1 | -1;
  /** Extra delay of the subs, seconds, positive is later. */
  readonly delay?: number;
}

/**
 * Band powers of a survey.
 *
 * Within a band the power is averaged over log frequency, so that the result does not depend on the grid.
 *
 * @param survey  a survey; its fills, where it has them, count with the mains
 * @param bands  bands in hertz, each at least partly on the survey's frequencies
 * @param setting  polarity and delay of the subs; frequencies below `coherenceLimit` are left out of a band's mean,
 *   unless a band has no others; `mainsBand`, one more band in which the mains alone are wanted
 * @returns mains, cross and subs per position and band, and the mains of that one band
 * @throws RangeError when a response holds a number that is not finite, or stands on other frequencies
 */
export function bandPowers(
  survey: Survey,
  bands: readonly Band[],
  setting: SubSetting & { readonly coherenceLimit?: number; readonly mainsBand?: Band } = {},
): BandPowers {
  const { frequency, subs } = survey;
  const { coherenceLimit = 0, mainsBand } = setting;
  const rows = survey.positions.length;
  const weights = bands.map((band) => bandWeights(frequency, band));
  const out: BandPowers = {
    bands,
    mains: new Float64Array(rows * bands.length),
    cross: new Float64Array(rows * bands.length),
    subs: new Float64Array(rows * bands.length),
    mainsAlone: new Float64Array(mainsBand ? rows : 0),
  };
  const aloneWeights = mainsBand && bandWeights(frequency, mainsBand);
  const turn = rotation(frequency, setting);
  const ranges = [...weights, ...(aloneWeights ? [aloneWeights] : [])];
  const scratch = {
    front: { ...complexes(frequency.length), diffuse: new Float64Array(frequency.length), ranges },
    back: complexes(frequency.length),
  };
  for (let row = 0; row < rows; row++) {
    const front = mainsWithFills(survey, row, scratch.front);
    const { magnitudeOnly, re, im, diffuse } = subs[row];
    const back = turn ? rotated({ re, im }, turn, ranges, scratch.back) : { re, im };
    const phaseKnown = !front.magnitudeOnly && !magnitudeOnly;
    const trusted =
      coherenceLimit > 0
        ? trustedFrequencies(mainsWithFills(survey, row), subs[row], coherenceLimit)
        : undefined;
    for (let k = 0; k < bands.length; k++) {
      const inBand = trusted ? onlyTrusted(weights[k], trusted) : weights[k];
      const at = row * bands.length + k;
      sumsInBand(front.re, front.im, back.re, back.im, inBand, out, at);
      if (!phaseKnown) out.cross[at] = 0;
      if (front.diffuse) out.mains[at] += weightedSum(front.diffuse, inBand);
      if (diffuse) out.subs[at] += weightedSum(diffuse, inBand);
      if (!Number.isFinite(out.mains[at] + out.cross[at] + out.subs[at])) refuse(survey, row, bands[k]);
    }
    if (!mainsBand || !aloneWeights) continue;
    const inBand = trusted ? onlyTrusted(aloneWeights, trusted) : aloneWeights;
    out.mainsAlone[row] = meanSquare(front.re, front.im, inBand);
    if (front.diffuse) out.mainsAlone[row] += weightedSum(front.diffuse, inBand);
    if (!Number.isFinite(out.mainsAlone[row])) refuse(survey, row, mainsBand);
  }
  return out;
}

function refuse(survey: Survey, row: number, band: Band): never {
  throw new RangeError(
    `position "${survey.positions[row].id}" has a response that is not a finite number around ${band.nominal} Hz`,
  );
}

/**
 * The third-octave bands from one nominal mid-band frequency to another that a survey's frequencies cover.
 *
 * @param frequency  the survey's frequencies, hertz, ascending
 * @param from  lowest nominal mid-band frequency, hertz
 * @param to  highest nominal mid-band frequency, hertz
 * @param required  name of the band for the message when not all of it is covered; leave out to take what there is
 * @throws RangeError when `required` is given and a third-octave band is missing
 */
export function coveredThirdOctaves(
  frequency: Float64Array,
  from: number,
  to: number,
  required?: string,
): Band[] {
  if (!(from > 0 && to >= from)) {
    throw new RangeError(
      `${required ?? "band"} is ${from} to ${to} Hz, expected two positive frequencies, the lower first`,
    );
  }
  if (frequency.length === 0) throw new RangeError("the survey has no frequencies");
  const low = frequency[0];
  const high = frequency[frequency.length - 1];
  const all = thirdOctaves(from, Math.max(to, from * 1.001));
  // A mid-band frequency is nominal on many grids, up to 1.3 % from the exact one.
  const covered = all.filter((t) => low <= t.exact * 1.013 && high >= t.exact / 1.013);
  if (required !== undefined && (covered.length < all.length || all.length === 0)) {
    const preferred = from === to ? `${from} Hz` : `${from} to ${to} Hz`;
    throw new RangeError(
      `${required} needs the third-octave bands at ${preferred}, but the survey reaches from ${round(low)} to ${round(high)} Hz`,
    );
  }
  return covered;
}

/** One band that spans several neighbouring ones. */
export function span(bands: readonly Band[]): Band {
  const lower = bands[0].lower;
  const upper = bands[bands.length - 1].upper;
  const exact = Math.sqrt(lower * upper);
  return { exact, nominal: Number(exact.toPrecision(3)), lower, upper };
}

/** Weights, summing to 1, that average over log frequency the straight lines between grid points in a band. */
export interface BandWeights {
  /** Index of the first grid point that counts. */
  readonly start: number;
  readonly weight: Float64Array;
}

export function bandWeights(frequency: Float64Array, band: Band): BandWeights {
  const n = frequency.length;
  const first = frequency[0] > 0 ? 0 : 1;
  const lower = Math.log(Math.max(band.lower, frequency[first]));
  const upper = Math.log(Math.min(band.upper, frequency[n - 1]));
  if (!(upper > lower)) return { start: nearest(frequency, band.nominal), weight: new Float64Array([1]) };
  let start = first;
  while (start < n - 2 && Math.log(frequency[start + 1]) <= lower) start++;
  let end = start + 1;
  while (end < n - 1 && Math.log(frequency[end]) < upper) end++;
  const weight = new Float64Array(end - start + 1);
  for (let i = start; i < end; i++) {
    const x0 = Math.log(frequency[i]);
    const x1 = Math.log(frequency[i + 1]);
    const from = Math.max(x0, lower);
    const to = Math.min(x1, upper);
    if (to <= from) continue;
    // The integral of a straight line is its length times its value in the middle.
    const fraction = ((from + to) / 2 - x0) / (x1 - x0);
    weight[i - start] += ((to - from) * (1 - fraction)) / (upper - lower);
    weight[i + 1 - start] += ((to - from) * fraction) / (upper - lower);
  }
  return { start, weight };
}

/**
 * The factor on the subs' response that a setting means, over frequency; undefined where it changes nothing.
 *
 * @throws RangeError when the polarity is neither 1 nor −1, or the delay is no number
 */
export function rotation(
  frequency: Float64Array,
  { polarity = 1, delay = 0 }: SubSetting,
): Complexes | undefined {
  if (polarity !== 1 && polarity !== -1) {
    throw new RangeError(`polarity is ${polarity}, expected 1 or -1`);
  }
  if (!Number.isFinite(delay)) throw new RangeError(`delay is ${delay}, expected seconds`);
  if (polarity === 1 && delay === 0) return undefined;
  return delayFactor(frequency, delay, polarity);
}

/** Weighted sums of |m|², Re(m s*) and |s|² over a band, in one pass. */
function sumsInBand(
  mr: Float64Array,
  mi: Float64Array,
  sr: Float64Array,
  si: Float64Array,
  { start, weight }: BandWeights,
  out: BandPowers,
  at: number,
): void {
  let a = 0;
  let b = 0;
  let c = 0;
  for (let k = 0, i = start; k < weight.length; k++, i++) {
    const w = weight[k];
    a += w * (mr[i] * mr[i] + mi[i] * mi[i]);
    b += w * (mr[i] * sr[i] + mi[i] * si[i]);
    c += w * (sr[i] * sr[i] + si[i] * si[i]);
  }
  out.mains[at] = a;
  out.cross[at] = b;
  out.subs[at] = c;
}

function meanSquare(re: Float64Array, im: Float64Array, { start, weight }: BandWeights): number {
  let sum = 0;
  for (let k = 0, i = start; k < weight.length; k++, i++) sum += weight[k] * (re[i] * re[i] + im[i] * im[i]);
  return sum;
}

function weightedSum(values: Float64Array, { start, weight }: BandWeights): number {
  let sum = 0;
  for (let k = 0; k < weight.length; k++) sum += weight[k] * values[start + k];
  return sum;
}

/** Multiplies within the ranges alone, into `out`. */
function rotated(x: Complexes, by: Complexes, ranges: readonly BandWeights[], out: Complexes): Complexes {
  for (const { start, weight } of ranges) {
    for (let i = start; i < start + weight.length; i++) {
      out.re[i] = x.re[i] * by.re[i] - x.im[i] * by.im[i];
      out.im[i] = x.re[i] * by.im[i] + x.im[i] * by.re[i];
    }
  }
  return out;
}

/** Weights of the trusted frequencies alone, or all where a band has none. */
export function onlyTrusted(weights: BandWeights, trusted: Uint8Array): BandWeights {
  const counted = weights.weight.map((w, i) => w * trusted[weights.start + i]);
  const total = counted.reduce((sum, w) => sum + w, 0);
  return total > 0 ? { start: weights.start, weight: counted.map((w) => w / total) } : weights;
}

function nearest(frequency: Float64Array, wanted: number): number {
  let best = 0;
  for (let i = 1; i < frequency.length; i++) {
    if (Math.abs(frequency[i] - wanted) < Math.abs(frequency[best] - wanted)) best = i;
  }
  return best;
}

const round = (x: number): number => Number(x.toPrecision(4));
