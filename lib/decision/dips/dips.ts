/**
 * Dips: where the level over frequency falls below its neighbourhood, at each position and across positions.
 *
 * The level is smoothed a little, its neighbourhood a lot; the neighbourhood is smoothed again with the dips filled in, so
 * that a dip does not lower what it is held against. A slope is no dip: the two share it.
 */

import { smoother } from "../../acoustics/bands/smoothing";
import { power, type Response, sumResponses } from "../../acoustics/response";
import { requirePositive } from "../../guard/arguments";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { groupDips } from "./groups";
import type { CurveDip, Dip, DipGroup, DipOptions, DipPart, DipSearch } from "./result";

export type { CurveDip, Dip, DipGroup, DipOptions, DipPart, DipSearch } from "./result";

/**
 * Dips of a survey: where the level over frequency falls below its neighbourhood, at each position, grouped across positions.
 *
 * The level is smoothed a little, its neighbourhood a lot; the neighbourhood is smoothed again with the dips filled in, so
 * that a dip does not lower what it is compared with. A slope is no dip: the two share it.
 *
 * @param survey  measured or modelled
 * @param options  parts; range, hertz; least depth, dB; smoothing; least coherence, 0…1
 * @returns groups of dips (hertz, dB below the neighbourhood); those that are in the sum only because the subs or the mains
 *   alone have them are not told twice
 * @throws RangeError when an option is not positive, or the frequencies hold no octave of a range
 * @source least depth, smoothing and neighbourhood: common practice, no source; check: tests/decision/dips/dips.test.ts
 * @example
 * const frequency = acoustics.bands.grid(20, 500, 400);
 * const cut = { kind: "peak", frequency: 63, gain: -12, q: 4 } as const;
 * const subs = { frequency, ...acoustics.filters.response(cut, frequency) };
 * const [position] = venues.positions(read.venue("ombrik-cellar"));
 * decide.dips(measure.survey([{ position, mains: subs, subs }])).groups[0].frequency_hz // 63
 */
export function findDips(survey: Survey, options: DipOptions = {}): DipSearch {
  const { parts = ["subs", "mains", "sum"], leastDepth = 4, coherenceLimit = 0.5 } = options;
  requirePositive("least depth", leastDepth);
  const range = { ...RANGE, ...options.range };
  const finder = dipFinder(survey.frequency, options);
  const reasons: string[] = [];
  const found = new Map<DipPart, Dip[]>();
  for (const part of parts) {
    const dips = survey.positions.flatMap((position, row) => {
      const heard = responseOf(survey, part, row);
      if (!heard) return [];
      return finder(power(heard.response), range[part], leastDepth).map((dip): Dip => {
        const coherence = heard.coherence
          ? valueNear(survey.frequency, heard.coherence, dip.frequency_hz)
          : null;
        return {
          part,
          position: position.id,
          row,
          ...dip,
          coherence,
          doubtful: coherence !== null && coherence < coherenceLimit,
        };
      });
    });
    found.set(part, dips);
  }
  const sum = found.get("sum");
  if (sum) found.set("sum", ownDips(sum, [...(found.get("subs") ?? []), ...(found.get("mains") ?? [])]));
  const blind = survey.mains.filter((m, i) => m.magnitudeOnly || survey.subs[i].magnitudeOnly).length;
  if (blind > 0 && parts.includes("sum") && !survey.both) {
    reasons.push(`${blind} of ${survey.positions.length} positions have no phase: their sum is not known.`);
  }
  const groups = [...found.values()].flatMap((dips) => groupDips(dips, survey.positions));
  groups.sort((a, b) => weightOf(b) - weightOf(a));
  const doubtful = [...found.values()].flat().filter((d) => d.doubtful).length;
  if (doubtful > 0) {
    reasons.push(
      `${doubtful} ${doubtful === 1 ? "dip has" : "dips have"} a coherence below ${coherenceLimit}: little signal is left there, so depth and frequency are doubtful.`,
    );
  }
  if (groups.length === 0) reasons.push(`No dip of ${leastDepth} dB or more was found.`);
  return { survey: survey.name, groups, leastDepth_db: leastDepth, range_hz: range, reasons };
}

const RANGE: Readonly<Record<DipPart, readonly [number, number]>> = {
  subs: [25, 160],
  mains: [60, 315],
  sum: [25, 315],
};

/**
 * Makes the function that finds the dips of one curve.
 *
 * @param frequency  hertz, ascending
 * @param options  smoothing and neighbourhood
 * @returns from mean squares, a range and a least depth to the dips
 */
export function dipFinder(
  frequency: Float64Array,
  { smoothing = 12, neighbourhood = 1.5 }: Pick<DipOptions, "smoothing" | "neighbourhood"> = {},
): (power: Float64Array, range: readonly [number, number], leastDepth: number) => CurveDip[] {
  requirePositive("neighbourhood", neighbourhood);
  const fine = smoother(frequency, smoothing);
  const broad = smoother(frequency, 1 / neighbourhood);
  const octaves = frequency.map((f) => Math.log2(f));
  return (meanSquare, [from, to], leastDepth) => {
    const level = fine(meanSquare).map((x) => 10 * Math.log10(Math.max(x, 1e-30)));
    const below = belowNeighbourhood(level, broad);
    const played = playedBand(frequency, level, broad, from, to);
    const dips: CurveDip[] = [];
    for (let i = 1; i < below.length - 1; i++) {
      if (frequency[i] < played[0] || frequency[i] > played[1]) continue;
      if (!(below[i] > below[i - 1] && below[i] >= below[i + 1])) continue;
      if (below[i] < leastDepth || standsOut(below, i) < leastDepth / 2) continue;
      const { shift, top } = peakOf(below[i - 1], below[i], below[i + 1]);
      const step = shift < 0 ? octaves[i] - octaves[i - 1] : octaves[i + 1] - octaves[i];
      dips.push({
        frequency_hz: 2 ** (octaves[i] + shift * step),
        depth_db: top,
        width_octaves: widthOf(below, octaves, i),
      });
    }
    return dips;
  };
}

/**
 * Makes the function that says how far a curve lies below its neighbourhood.
 *
 * @param frequency  hertz, ascending
 * @param options  smoothing and neighbourhood
 * @returns from mean squares to dB, above 0 in a dip, below 0 on a peak
 */
export function depthCurve(
  frequency: Float64Array,
  { smoothing = 12, neighbourhood = 1.5 }: Pick<DipOptions, "smoothing" | "neighbourhood"> = {},
): (power: Float64Array) => Float64Array {
  const fine = smoother(frequency, smoothing);
  const broad = smoother(frequency, 1 / neighbourhood);
  return (meanSquare) =>
    belowNeighbourhood(
      fine(meanSquare).map((x) => 10 * Math.log10(Math.max(x, 1e-30))),
      broad,
    );
}

/** Neighbourhood less level, dB: twice the neighbourhood is drawn anew with what lies below it filled in. */
function belowNeighbourhood(level: Float64Array, broad: (x: Float64Array) => Float64Array): Float64Array {
  let around = broad(level);
  for (let round = 0; round < 3; round++) around = broad(level.map((x, i) => Math.max(x, around[i])));
  return level.map((x, i) => around[i] - x);
}

/** The part of a range where the loudspeaker plays: its smoothed level within this many dB of its highest. */
const PLAYS = 18;

function playedBand(
  frequency: Float64Array,
  level: Float64Array,
  broad: (x: Float64Array) => Float64Array,
  from: number,
  to: number,
): [number, number] {
  const around = broad(level);
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < around.length; i++) {
    if (frequency[i] >= from && frequency[i] <= to) most = Math.max(most, around[i]);
  }
  let low = to;
  let high = from;
  for (let i = 0; i < around.length; i++) {
    if (frequency[i] < from || frequency[i] > to || around[i] < most - PLAYS) continue;
    low = Math.min(low, frequency[i]);
    high = Math.max(high, frequency[i]);
  }
  return [low, high];
}

/** How far a peak stands above the higher one of the two valleys beside it. */
function standsOut(x: Float64Array, i: number): number {
  const valley = (direction: 1 | -1): number => {
    let least = x[i];
    for (let k = i + direction; k >= 0 && k < x.length && x[k] <= x[i]; k += direction)
      least = Math.min(least, x[k]);
    return least;
  };
  return x[i] - Math.max(valley(1), valley(-1));
}

/** Top of the parabola through three points a step apart. */
function peakOf(a: number, b: number, c: number): { shift: number; top: number } {
  const bend = a - 2 * b + c;
  const shift = bend < 0 ? (a - c) / (2 * bend) : 0;
  return { shift, top: b - ((a - c) * shift) / 4 };
}

function widthOf(below: Float64Array, octaves: Float64Array, i: number): number {
  const half = below[i] / 2;
  const edge = (direction: 1 | -1): number => {
    let k = i;
    while (k + direction >= 0 && k + direction < below.length && below[k] > half) k += direction;
    const before = k - direction;
    if (below[k] > half || k === i) return octaves[k];
    const t = (below[before] - half) / (below[before] - below[k]);
    return octaves[before] + t * (octaves[k] - octaves[before]);
  };
  return edge(1) - edge(-1);
}

/** Response of a part at a position, with its coherence; undefined where it can't be known. */
export function responseOf(
  survey: Survey,
  part: DipPart,
  row: number,
): { response: Response; coherence?: Float64Array } | undefined {
  const subs = survey.subs[row];
  if (part === "subs") return { response: subs, coherence: subs.coherence };
  const front = mainsWithFills(survey, row);
  if (part === "mains") return { response: front, coherence: front.coherence };
  const both = survey.both?.[row];
  if (both) return { response: both, coherence: both.coherence };
  if (front.magnitudeOnly || subs.magnitudeOnly) return undefined;
  return { response: sumResponses(front, subs), coherence: lowerCoherence(front, subs) };
}

/** Of two coherences the lower, or the louder part's where the other is ten decibels below it. */
function lowerCoherence(a: Response, b: Response): Float64Array | undefined {
  const x = a.coherence;
  const y = b.coherence;
  if (!x || !y) return x ?? y;
  return x.map((c, i) => {
    const p = a.re[i] ** 2 + a.im[i] ** 2;
    const q = b.re[i] ** 2 + b.im[i] ** 2;
    return p > 10 * q ? c : q > 10 * p ? y[i] : Math.min(c, y[i]);
  });
}

function valueNear(frequency: Float64Array, values: Float64Array, at: number): number {
  let best = 0;
  for (let i = 1; i < frequency.length; i++) {
    if (Math.abs(frequency[i] - at) < Math.abs(frequency[best] - at)) best = i;
  }
  return values[best];
}

/** Dips of the sum that neither part has by itself at that place. */
function ownDips(sum: readonly Dip[], parts: readonly Dip[]): Dip[] {
  return sum.filter(
    (dip) =>
      !parts.some((p) => p.row === dip.row && Math.abs(Math.log2(p.frequency_hz / dip.frequency_hz)) < SAME),
  );
}

/** Octaves within which two dips of one place are one. */
const SAME = 1 / 6;

/** Decibels of dip over all its places. */
function weightOf(group: DipGroup): number {
  return group.dips.reduce((sum, d) => sum + d.depth_db * (d.doubtful ? 0.5 : 1), 0);
}
