/**
 * Models of one venue whose values differ a little, as a fit tries them.
 *
 * Paths are walked only where something stands or travels otherwise. What changes levels alone, the absorption of
 * boundaries, the drive of a group, the room, acts on sums over paths that are kept: exactly, for along one chain of
 * walls it is a common factor.
 */

import type { Position, Survey } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { type ChainField, chainField } from "./group-field";
import { type FieldOptions, responseOf, roomField, settled, surveyOf } from "./model-survey";
import { chainFactors } from "./path-weights";

/**
 * Makes the function that models a venue and those like it at the same positions.
 *
 * @param positions  where to compute
 * @param options  as for `modelSurvey`
 * @returns from a venue to what `modelSurvey` would return
 * @source check: tests/field/model-family.test.ts, against `modelSurvey`
 */
export function modelFamily(
  positions: readonly Position[],
  options: FieldOptions = {},
): (venue: Venue) => Survey {
  const known = new Map<string, Walk>();
  return (venue) =>
    surveyOf(venue, positions, settled("mains", options).frequency, (group) => {
      const settings = settled(group, options);
      const sources = venue.sources.filter((s) => s.group === group);
      const key = geometryOf(venue, sources, group);
      let walk = known.get(key);
      let change = walk && commonChange(walk.drives, drives(sources, settings.frequency));
      if (!walk || !change) {
        walk = walkPaths(venue, sources, positions, settings);
        change = undefined;
      }
      // The walks used last stay.
      known.delete(key);
      known.set(key, walk);
      if (known.size > MOST_KEPT) known.delete(known.keys().next().value as string);
      return responses(walk, venue, sources, positions, settings, change);
    });
}

/** Walks kept: of three groups, each as it is and with something moved. */
const MOST_KEPT = 9;

interface Complexes {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

interface Walk extends Omit<ChainField, "at"> {
  readonly drives: readonly Complexes[];
  /** For each position, the sum over the paths of each chain that is heard. */
  readonly heard: readonly (readonly (Complexes & { readonly chain: number })[])[];
}

function walkPaths(
  venue: Venue,
  sources: readonly Source[],
  positions: readonly Position[],
  settings: Required<FieldOptions>,
): Walk {
  const { walls, chains, at } = chainField(venue, sources, settings);
  const heard = positions.map(({ point }) => {
    const sums: (Complexes & { chain: number })[] = [];
    at(point, (chain, re, im) => sums.push({ chain, re: re.slice(), im: im.slice() }));
    return sums;
  });
  return { walls, chains, drives: drives(sources, settings.frequency), heard };
}

function responses(
  { walls, chains, heard }: Walk,
  venue: Venue,
  sources: readonly Source[],
  positions: readonly Position[],
  settings: Required<FieldOptions>,
  change: Complexes | undefined,
) {
  const { frequency } = settings;
  const current = walls.map((wall, i) => ({ ...wall, absorption: (venue.boundaries[i] ?? wall).absorption }));
  const factors = chainFactors(chains, current, frequency);
  const reverberant = roomField(venue, sources, settings);
  return positions.map(({ point }, p) => {
    const re = new Float64Array(frequency.length);
    const im = new Float64Array(frequency.length);
    for (const sum of heard[p]) {
      const factor = factors[sum.chain];
      for (let f = 0; f < sum.re.length; f++) {
        re[f] += factor[f] * sum.re[f];
        im[f] += factor[f] * sum.im[f];
      }
    }
    if (change) multiply(re, im, change);
    return responseOf(frequency, re, im, reverberant?.(point).slice());
  });
}

/** All that decides where paths run and what they weigh, but for drive and absorption. */
function geometryOf(venue: Venue, sources: readonly Source[], group: string): string {
  return JSON.stringify([
    group,
    venue.air,
    venue.boundaries.map((b) => b.corners),
    venue.cavities,
    sources.map(({ point, axis, up, pattern }) => [point, axis, up, pattern]),
  ]);
}

const drives = (sources: readonly Source[], frequency: Float64Array): Complexes[] =>
  sources.map((source) => drive(source, frequency));

/** The complex factor by which all drives have changed alike; undefined where they have not. */
function commonChange(before: readonly Complexes[], after: readonly Complexes[]): Complexes | undefined {
  if (before.length === 0) return undefined;
  const [old, now] = [before[0], after[0]];
  const size = old.re.map((x, f) => x * x + old.im[f] * old.im[f]);
  const change = {
    re: size.map((s, f) => (now.re[f] * old.re[f] + now.im[f] * old.im[f]) / s),
    im: size.map((s, f) => (now.im[f] * old.re[f] - now.re[f] * old.im[f]) / s),
  };
  const alike = before.every(({ re, im }, i) => {
    const expected = { re: re.slice(), im: im.slice() };
    multiply(expected.re, expected.im, change);
    return expected.re.every((x, f) => {
      const [a, b] = [after[i].re[f], after[i].im[f]];
      return Math.abs(x - a) + Math.abs(expected.im[f] - b) <= 1e-9 * (Math.abs(a) + Math.abs(b));
    });
  });
  return alike ? change : undefined;
}

function multiply(re: Float64Array, im: Float64Array, by: Complexes): void {
  for (let f = 0; f < re.length; f++) {
    const x = re[f];
    re[f] = x * by.re[f] - im[f] * by.im[f];
    im[f] = x * by.im[f] + im[f] * by.re[f];
  }
}
