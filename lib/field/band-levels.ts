import { type Band, bandPower } from "../acoustics/bands/bands";
import { referencePressure, toDecibel } from "../acoustics/level/decibel";
import { power, sumResponses } from "../acoustics/response";
import type { Position } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { type FieldOptions, responder } from "./model-survey";

/** Levels by position and band: band b at position p stands at p · bands + b. */
export interface ModelBandLevels {
  readonly bands: readonly Band[];
  /** dB re 20 µPa per third-octave band: the mean over the band. */
  readonly level: Float64Array;
}

/**
 * Band levels at many positions, without keeping a response of any of them.
 *
 * @param venue  the venue
 * @param positions  where to compute
 * @param groups  what sounds; several sum by amplitude and phase
 * @param bands  as `thirdOctaves` or `octaves` gives them
 * @param options  as for `modelSurvey`
 * @returns one level per position and band; −Infinity where nothing sounds
 * @throws RangeError when no group is named, or a band has no part within the frequencies
 */
export function modelBandLevels(
  venue: Venue,
  positions: readonly Position[],
  groups: readonly Source["group"][],
  bands: readonly Band[],
  options: FieldOptions = {},
): ModelBandLevels {
  if (groups.length === 0) throw new RangeError("no group is named, expected mains, subs or fills");
  const voices = groups.map((group) => responder(venue, group, options));
  const level = new Float64Array(positions.length * bands.length);
  positions.forEach(({ point }, p) => {
    const response = voices.map((at) => at(point)).reduce((a, b) => sumResponses(a, b));
    const meanSquare = power(response);
    bands.forEach(({ lower, upper }, b) => {
      const mean = bandPower(response.frequency, meanSquare, lower, upper);
      level[p * bands.length + b] = toDecibel(mean / referencePressure ** 2);
    });
  });
  return { bands, level };
}
