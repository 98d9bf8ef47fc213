/**
 * Mains against subs at each position, kept as a complex cross spectrum, so that a delay of the subs is a turn of its
 * phase and nothing else has to be computed again.
 */
import type { Processing } from "../../acoustics/filters/filter";
import { filterResponse } from "../../acoustics/filters/response";
import type { Response } from "../../acoustics/response";
import { type Complexes, complexes, delayFactor, product } from "../../numeric/complexes";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { bandWeights, onlyTrusted } from "../balance/band-powers";
import { trustedFrequencies } from "../balance/coherent-frequencies";

export interface CrossSpectrum {
  /** Frequencies of the columns, hertz. */
  readonly frequency: Float64Array;
  readonly rows: number;
  /** Weighted mains · subs*, row after row; its sum over a row is the mean over log frequency within the band. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Mean square of mains (with fills) and of subs in the band, per row: coherent parts only. */
  readonly mains: Float64Array;
  readonly subs: Float64Array;
  /** Mean of (|mains| + |subs|)² in the band, per row: what perfect alignment at every frequency would give. */
  readonly ideal: Float64Array;
}

export interface CrossOptions {
  /** Factor on the subs, ratio. Default 1. */
  readonly gain?: number;
  /** Magnitude-squared coherence below which a measured frequency does not count, 0…1. Default 0: all count. */
  readonly coherenceLimit?: number;
  /** Processing that is tried on either side, on top of what the survey holds. */
  readonly filters?: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] };
}

/**
 * Cross spectrum of mains and subs within a band.
 *
 * Fills count with the mains. Diffuse sound, and fills without a phase, have none to align and are left out.
 *
 * @param survey  a survey
 * @param rows  which positions, by index; each needs a phase
 * @param band  hertz
 * @param options  gain of the subs, filters on either side
 * @throws RangeError when a position has no phase
 */
export function crossSpectrum(
  survey: Survey,
  rows: readonly number[],
  band: { readonly lower: number; readonly upper: number },
  options: CrossOptions = {},
): CrossSpectrum {
  const { gain = 1, filters = {}, coherenceLimit = 0 } = options;
  const span = { ...band, exact: Math.sqrt(band.lower * band.upper), nominal: 0 };
  const inBand = bandWeights(survey.frequency, span);
  const { start } = inBand;
  const n = inBand.weight.length;
  const frequency = survey.frequency.slice(start, start + n);
  const through = (chain: readonly Processing[] = []) =>
    chain.length > 0 ? filterResponse(chain, frequency) : undefined;
  const onMains = through(filters.mains);
  const onSubs = through(filters.subs);
  const scratch = {
    ...complexes(survey.frequency.length),
    diffuse: new Float64Array(survey.frequency.length),
    ranges: [inBand],
  };
  const out: CrossSpectrum = {
    frequency,
    rows: rows.length,
    re: new Float64Array(rows.length * n),
    im: new Float64Array(rows.length * n),
    mains: new Float64Array(rows.length),
    subs: new Float64Array(rows.length),
    ideal: new Float64Array(rows.length),
  };
  rows.forEach((position, row) => {
    const mains = mainsWithFills(survey, position, coherenceLimit > 0 ? undefined : scratch);
    const subs = survey.subs[position];
    requirePhase(survey.positions[position].id, [mains, subs]);
    const trusted = trustedFrequencies(mains, subs, coherenceLimit);
    const { weight } = trusted ? onlyTrusted(inBand, trusted) : inBand;
    const inside = ({ re, im }: Complexes) => ({
      re: re.subarray(start, start + n),
      im: im.subarray(start, start + n),
    });
    const front = onMains ? product(onMains, inside(mains)) : inside(mains);
    const back = onSubs ? product(onSubs, inside(subs)) : inside(subs);
    fillRow(out, row, weight, front, back, gain);
  });
  return out;
}

/** What adds up to one row. */
function fillRow(
  out: CrossSpectrum,
  row: number,
  weight: Float64Array,
  front: Complexes,
  back: Complexes,
  gain: number,
): void {
  const { re, im } = out;
  const n = weight.length;
  let [mains, subs, ideal] = [0, 0, 0];
  for (let k = 0, at = row * n; k < n; k++, at++) {
    const mr = front.re[k];
    const mi = front.im[k];
    const sr = gain * back.re[k];
    const si = gain * back.im[k];
    const w = weight[k];
    const m2 = mr * mr + mi * mi;
    const s2 = sr * sr + si * si;
    re[at] = w * (mr * sr + mi * si);
    im[at] = w * (mi * sr - mr * si);
    mains += w * m2;
    subs += w * s2;
    ideal += w * (m2 + s2 + 2 * Math.sqrt(m2 * s2));
  }
  out.mains[row] = mains;
  out.subs[row] = subs;
  out.ideal[row] = ideal;
}

/**
 * Band mean of Re(mains · (delayed subs)*) per row: half of what interference adds to the two powers.
 *
 * @param cross  from `crossSpectrum`
 * @param delay  of the subs, seconds, positive is later
 * @param out  where to write, one number per row
 */
export function interference(cross: CrossSpectrum, delay: number, out: Float64Array): Float64Array {
  const n = cross.frequency.length;
  const { re: c, im: s } = delayFactor(cross.frequency, -delay);
  const { re, im, rows } = cross;
  for (let row = 0; row < rows; row++) {
    const at = row * n;
    // Four sums, none of which waits for another.
    let [w, x, y, z] = [0, 0, 0, 0];
    let k = 0;
    for (; k + 1 < n; k += 2) {
      w += re[at + k] * c[k];
      x += im[at + k] * s[k];
      y += re[at + k + 1] * c[k + 1];
      z += im[at + k + 1] * s[k + 1];
    }
    if (k < n) {
      w += re[at + k] * c[k];
      x += im[at + k] * s[k];
    }
    out[row] = w - x + (y - z);
  }
  return out;
}

export function hasPhase(survey: Survey, i: number): boolean {
  return !survey.mains[i].magnitudeOnly && !survey.subs[i].magnitudeOnly;
}

function requirePhase(id: string, responses: readonly Response[]): void {
  if (responses.some((r) => r.magnitudeOnly)) {
    throw new RangeError(`the response at "${id}" has no phase: alignment needs a measurement with phase`);
  }
}
