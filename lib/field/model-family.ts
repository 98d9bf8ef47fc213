/**
 * Models of one venue whose values differ a little, as a fit tries them, their low band by waves where the venue's is.
 *
 * Waves are computed for one venue alone. What a changed value does to them is taken from the paths: by how much it changes their
 * power, diffuse field and all, a third of an octave around each frequency, and by how much it turns the drive.
 */
import { power, type Response } from "../acoustics/response";
import { type Complexes, multiply } from "../numeric/complexes";
import type { Position, Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import { drive } from "./drive";
import { wavesOf } from "./hand-over";
import { responseOf } from "./model-survey";
import { type FieldOptions, settled } from "./options";
import { pathFamily } from "./path-family";
import type { Waves } from "./waves/low-band";

/**
 * Makes the function that models a venue and those like it at the same positions.
 *
 * @param nominal  the venue whose waves are computed
 * @param positions  where to compute
 * @param options  as for `modelSurvey`
 * @returns from a venue to what `modelSurvey` would return: exactly for the nominal one, and wherever the low band is by paths
 * @source check: tests/field/model-family.test.ts, against `modelSurvey`
 */
export function modelFamily(
  nominal: Venue,
  positions: readonly Position[],
  options: FieldOptions = {},
): (venue: Venue) => Survey {
  const paths = pathFamily(positions, { ...options, lowBand: "paths" });
  const { lowBand, frequency, cavities } = settled(nominal, "mains", options);
  if (lowBand === "paths") return paths;
  const places = positions.map((p) => p.point);
  const before = paths(nominal);
  const groups = (["mains", "subs", "fills"] as const).flatMap((group) => {
    const [first, ...others] = nominal.sources.filter((s) => s.group === group);
    const waves = first && wavesOf(nominal, [first, ...others], places, { frequency, cavities });
    const former = before[group]?.map(power);
    if (!waves || !former) return [];
    return [{ group, heard: places.map(waves), former, driven: drive(first, frequency) }];
  });
  return (venue) => {
    const survey = paths(venue);
    const joined = groups.map(({ group, heard, former, driven }) => {
      const sources = venue.sources.filter((s) => s.group === group);
      const turn = turned(driven, drive(sources[0], frequency));
      const responses = (survey[group] ?? []).map((response, i) =>
        withWaves(response, heard[i], former[i], turn),
      );
      return [group, responses] as const;
    });
    return { ...survey, ...Object.fromEntries(joined) };
  };
}

function withWaves(
  response: Response,
  heard: Waves | undefined,
  former: Float64Array,
  turn: Complexes,
): Response {
  const { frequency, re, im, diffuse } = response;
  if (!heard) return response;
  const { first } = heard;
  const waves = { first, re: heard.re.slice(), im: heard.im.slice() };
  const change = aroundEach(frequency, power(response), former);
  const part = (of: Float64Array) =>
    of.slice(first, first + waves.re.length).map((x, i) => x * change[first + i]);
  multiply(waves, { re: part(turn.re), im: part(turn.im) });
  return responseOf(frequency, re.slice(), im.slice(), diffuse?.slice(), waves);
}

/** Factor from one pressure to another, by their powers a third of an octave around each frequency. */
function aroundEach(frequency: Float64Array, now: Float64Array, before: Float64Array): Float64Array {
  const third = 2 ** (1 / 6);
  let from = 0;
  let to = 0;
  let a = 0;
  let b = 0;
  return frequency.map((f) => {
    for (; to < frequency.length && frequency[to] <= f * third; to++) {
      a += now[to];
      b += before[to];
    }
    for (; frequency[from] < f / third; from++) {
      a -= now[from];
      b -= before[from];
    }
    return b > 0 && a > 0 ? Math.sqrt(a / b) : 1;
  });
}

/** By what phase a drive has turned, as a factor of magnitude 1. */
function turned(before: Complexes, now: Complexes): Complexes {
  const re = now.re.map((x, f) => x * before.re[f] + now.im[f] * before.im[f]);
  const im = now.im.map((y, f) => y * before.re[f] - now.re[f] * before.im[f]);
  const size = re.map((x, f) => Math.hypot(x, im[f]) || 1);
  return { re: re.map((x, f) => x / size[f]), im: im.map((y, f) => y / size[f]) };
}
