/**
 * Models by paths of one venue whose values differ a little, as a fit tries them.
 *
 * Paths are walked only where something stands or travels otherwise. What changes levels alone, the absorption of
 * boundaries, the drive of a group, the room, acts on sums over paths that are kept: exactly, for along one chain of
 * walls it is a common factor.
 */
import type { Response } from "../acoustics/response";
import { type Complexes, multiply } from "../numeric/complexes";
import type { Position, Survey } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { type ChainField, chainField } from "./group-field";
import { latest } from "./latest";
import { responseOf, roomField, surveyOf } from "./model-survey";
import { type FieldOptions, type Settings, settled } from "./options";
import { chainFactors } from "./path-sum/weights";

/**
 * Makes the function that models a venue and those like it at the same positions.
 *
 * @param positions  where to compute
 * @param options  as for `modelSurvey`
 * @returns from a venue to what `modelSurvey` would return by paths alone
 * @source check: tests/field/path-family.test.ts, against `modelSurvey`
 */
export function pathFamily(
  positions: readonly Position[],
  options: FieldOptions = {},
): (venue: Venue) => Survey {
  const walks = latest<Walk>(MOST_KEPT);
  const answers = latest<Response[]>(MOST_KEPT);
  return (venue) =>
    surveyOf(venue, positions, settled(venue, "mains", options).frequency, (group) => {
      const sources = venue.sources.filter((s) => s.group === group);
      const settings = settled(venue, group, options);
      const geometry = geometryOf(venue, sources, group);
      // A fit moves one value at a time, and most of them leave one group or two as they were.
      const all = JSON.stringify([geometry, sources, venue.boundaries, venue.room]);
      return answers(all, () => {
        const now = drives(sources, settings.frequency);
        const fresh = () => walkPaths(venue, sources, positions, settings, now);
        const walk = walks(geometry, fresh);
        if (walk.drives === now) return responses(walk, venue, sources, positions, settings);
        const change = commonChange(walk.drives, now);
        // Where some drives have changed otherwise than others, their paths must be summed anew.
        return responses(change ? walk : fresh(), venue, sources, positions, settings, change);
      });
    });
}

/** Kept: of three groups, each as it is and with something moved. */
const MOST_KEPT = 9;

interface Walk extends Omit<ChainField, "at"> {
  readonly drives: readonly Complexes[];
  /** For each position, the sum over the paths of each chain that is heard; one array for all of a position's. */
  readonly heard: readonly { readonly sums: readonly Sum[]; readonly values: Float64Array }[];
}

/** Where the real parts begin; the imaginary ones come after. */
interface Sum {
  readonly chain: number;
  readonly start: number;
  readonly count: number;
}

function walkPaths(
  venue: Venue,
  sources: readonly Source[],
  positions: readonly Position[],
  settings: Settings,
  drives: readonly Complexes[],
): Walk {
  const { walls, chains, at } = chainField(venue, sources, settings);
  let room = new Float64Array(16 * settings.frequency.length);
  const heard = positions.map(({ point }) => {
    const sums: Sum[] = [];
    let used = 0;
    at(point, (chain, re, im) => {
      const count = re.length;
      if (used + 2 * count > room.length) {
        const larger = new Float64Array(2 * room.length);
        larger.set(room);
        room = larger;
      }
      room.set(re, used);
      room.set(im, used + count);
      sums.push({ chain, start: used, count });
      used += 2 * count;
    });
    return { sums, values: room.slice(0, used) };
  });
  return { walls, chains, drives, heard };
}

function responses(
  { walls, chains, heard }: Walk,
  venue: Venue,
  sources: readonly Source[],
  positions: readonly Position[],
  settings: Settings,
  change?: Complexes,
) {
  const { frequency } = settings;
  const current = walls.map((wall, i) => ({ ...wall, absorption: (venue.boundaries[i] ?? wall).absorption }));
  const factors = chainFactors(chains, current, frequency);
  const reverberant = roomField(venue, sources, settings);
  return positions.map(({ point }, p) => {
    const re = new Float64Array(frequency.length);
    const im = new Float64Array(frequency.length);
    const { sums, values } = heard[p];
    for (const { chain, start, count } of sums) {
      const factor = factors[chain];
      for (let f = 0, at = start; f < count; f++, at++) {
        re[f] += factor[f] * values[at];
        im[f] += factor[f] * values[at + count];
      }
    }
    if (change) multiply({ re, im }, change);
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
    sources.map(({ point, axis, up, pattern, centre }) => [point, axis, up, pattern, centre]),
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
    multiply(expected, change);
    return expected.re.every((x, f) => {
      const [a, b] = [after[i].re[f], after[i].im[f]];
      return Math.abs(x - a) + Math.abs(expected.im[f] - b) <= 1e-9 * (Math.abs(a) + Math.abs(b));
    });
  });
  return alike ? change : undefined;
}
