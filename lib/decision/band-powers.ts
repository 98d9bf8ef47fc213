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
import { type Band, thirdOctaves } from "../acoustics/bands";
import type { Response } from "../acoustics/response";
import type { Survey } from "../survey/survey";
import { trustedFrequencies } from "./trust";

/** Band powers, one row per position and one column per band, row after row. */
export interface BandPowers {
  readonly bands: readonly Band[];
  readonly positions: number;
  /** Mean square of mains (with fills), unit of the survey squared. */
  readonly mains: Float64Array;
  /** Mean of Re(mains · subs*), the part by which they help or hinder each other; 0 where a phase is unknown. */
  readonly cross: Float64Array;
  /** Mean square of subs. */
  readonly subs: Float64Array;
}

/** Whether subs are turned over and how much later they are, against the survey as it stands. */
export interface SubSetting {
  /** 1 as surveyed, −1 turned over. */
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
 *   unless a band has no others
 * @returns mains, cross and subs per position and band
 * @throws RangeError when a response holds a number that is not finite, or stands on other frequencies
 */
export function bandPowers(
  survey: Survey,
  bands: readonly Band[],
  setting: SubSetting & { readonly coherenceLimit?: number } = {},
): BandPowers {
  const { frequency, mains, subs, fills } = survey;
  const rows = survey.positions.length;
  const weights = bands.map((band) => bandWeights(frequency, band));
  const first = Math.min(...weights.map((w) => w.start));
  const last = Math.max(...weights.map((w) => w.start + w.weight.length));
  const out: BandPowers = {
    bands,
    positions: rows,
    mains: new Float64Array(rows * bands.length),
    cross: new Float64Array(rows * bands.length),
    subs: new Float64Array(rows * bands.length),
  };
  const turn = rotation(frequency, setting);
  const a = new Float64Array(frequency.length);
  const b = new Float64Array(frequency.length);
  const c = new Float64Array(frequency.length);
  for (let row = 0; row < rows; row++) {
    powersAt(mains[row], subs[row], fills?.[row], turn, first, last, a, b, c);
    const trusted = trustedFrequencies(mains[row], subs[row], setting.coherenceLimit ?? 0);
    for (let k = 0; k < bands.length; k++) {
      const { start, weight } = trusted ? onlyTrusted(weights[k], trusted) : weights[k];
      let sa = 0;
      let sb = 0;
      let sc = 0;
      for (let i = 0; i < weight.length; i++) {
        sa += weight[i] * a[start + i];
        sb += weight[i] * b[start + i];
        sc += weight[i] * c[start + i];
      }
      if (!Number.isFinite(sa + sb + sc)) {
        throw new RangeError(
          `position "${survey.positions[row].id}" has a response that is not a finite number around ${bands[k].nominal} Hz`,
        );
      }
      const at = row * bands.length + k;
      out.mains[at] = sa;
      out.cross[at] = sb;
      out.subs[at] = sc;
    }
  }
  return out;
}

/**
 * The third octaves from one nominal mid-band frequency to another that a survey's frequencies cover.
 *
 * @param frequency  the survey's frequencies, hertz, ascending
 * @param from  lowest nominal mid-band frequency, hertz
 * @param to  highest nominal mid-band frequency, hertz
 * @param required  name of the band for the message when not all of it is covered; leave out to take what there is
 * @throws RangeError when `required` is given and a third octave is missing
 */
export function coveredThirds(frequency: Float64Array, from: number, to: number, required?: string): Band[] {
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
    const asked = from === to ? `${from} Hz` : `${from} to ${to} Hz`;
    throw new RangeError(
      `${required} needs the third octaves at ${asked}, but the survey reaches from ${round(low)} to ${round(high)} Hz`,
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
    const share = ((from + to) / 2 - x0) / (x1 - x0);
    weight[i - start] += ((to - from) * (1 - share)) / (upper - lower);
    weight[i + 1 - start] += ((to - from) * share) / (upper - lower);
  }
  return { start, weight };
}

/** A complex number per frequency. */
interface Factor {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

function rotation(frequency: Float64Array, { polarity = 1, delay = 0 }: SubSetting): Factor | undefined {
  if (polarity !== 1 && polarity !== -1) {
    throw new RangeError(`polarity is ${polarity}, expected 1 or -1`);
  }
  if (!Number.isFinite(delay)) throw new RangeError(`delay is ${delay}, expected seconds`);
  if (polarity === 1 && delay === 0) return undefined;
  return {
    re: frequency.map((f) => polarity * Math.cos(2 * Math.PI * f * delay)),
    im: frequency.map((f) => -polarity * Math.sin(2 * Math.PI * f * delay)),
  };
}

/** Powers over frequency at one position; the plain case, which is that of models, in a loop of its own. */
function powersAt(
  mains: Response,
  subs: Response,
  fills: Response | undefined,
  turn: Factor | undefined,
  first: number,
  last: number,
  a: Float64Array,
  b: Float64Array,
  c: Float64Array,
): void {
  const fillsHavePhase = fills && !fills.magnitudeOnly && !mains.magnitudeOnly;
  const front = fillsHavePhase ? added(mains, fills) : mains;
  const back = turn ? turned(subs, turn) : subs;
  plainPowers(front.re, front.im, back.re, back.im, first, last, a, b, c);
  if (fills && !fillsHavePhase) {
    for (let i = first; i < last; i++) a[i] += fills.re[i] * fills.re[i] + fills.im[i] * fills.im[i];
  }
  if (mains.magnitudeOnly || subs.magnitudeOnly) b.fill(0, first, last);
  for (const [diffuse, to] of [
    [mains.diffuse, a],
    [fills?.diffuse, a],
    [subs.diffuse, c],
  ] as const) {
    if (diffuse) for (let i = first; i < last; i++) to[i] += diffuse[i];
  }
}

function plainPowers(
  mr: Float64Array,
  mi: Float64Array,
  sr: Float64Array,
  si: Float64Array,
  first: number,
  last: number,
  a: Float64Array,
  b: Float64Array,
  c: Float64Array,
): void {
  for (let i = first; i < last; i++) {
    a[i] = mr[i] * mr[i] + mi[i] * mi[i];
    b[i] = mr[i] * sr[i] + mi[i] * si[i];
    c[i] = sr[i] * sr[i] + si[i] * si[i];
  }
}

function added(x: Response, y: Response): Factor {
  return { re: x.re.map((v, i) => v + y.re[i]), im: x.im.map((v, i) => v + y.im[i]) };
}

function turned({ re, im }: Response, turn: Factor): Factor {
  return {
    re: re.map((v, i) => v * turn.re[i] - im[i] * turn.im[i]),
    im: re.map((v, i) => v * turn.im[i] + im[i] * turn.re[i]),
  };
}

/** Weights of the trusted frequencies alone, or all where a band has none. */
export function onlyTrusted(weights: BandWeights, trusted: Uint8Array): BandWeights {
  const kept = weights.weight.map((w, i) => w * trusted[weights.start + i]);
  const total = kept.reduce((sum, w) => sum + w, 0);
  return total > 0 ? { start: weights.start, weight: kept.map((w) => w / total) } : weights;
}

function nearest(frequency: Float64Array, wanted: number): number {
  let best = 0;
  for (let i = 1; i < frequency.length; i++) {
    if (Math.abs(frequency[i] - wanted) < Math.abs(frequency[best] - wanted)) best = i;
  }
  return best;
}

const round = (x: number): number => Number(x.toPrecision(4));
