/** What a listener gets in a third octave, reverberation included, and how sure that is. */
import { type Band, thirdOctaves } from "../../acoustics/bands/bands";
import { power, type Response } from "../../acoustics/response";
import { requireWithin } from "../../guard/arguments";
import { normalQuantile } from "../../numeric/statistics";
import { bandWeights } from "./band-levels";

/** The level in a third octave, dB re 1 of the response's unit. */
export interface ThirdOctaveLevel {
  readonly band: Band;
  readonly level: number;
  /** Limits that hold the level with the given probability, dB. */
  readonly lower: number;
  readonly upper: number;
}

/** No lower limit is followed further down than this share of the power. */
const LEAST = 1e-3;

/**
 * Level that a listener gets in each third octave, all reverberation included, with the band that holds it.
 *
 * A band around a response within its windows says nothing of what comes later than they reach: of a hall's whole response only a
 * part lies in it. The level in a third octave has all of it. Its error falls with bandwidth and time, and rises where the signal
 * has gaps between its frequencies, as music has.
 *
 * @param response  measured, with the error of its power, as the responses of `measure.show` are
 * @param options  lowest and highest nominal band, hertz (25 to 16 000 by default), and probability (0.95 by default)
 * @returns level and limits per band, dB re 1 of the response's unit; bands outside the response's frequencies are left out
 * @throws RangeError when the response has no error of its power, or the probability lies outside 0.5 to 0.9999
 * @source Bendat and Piersol, Random Data, 4th ed. (2010), 9.2 (from memory); check: tests/measurement/transfer/third-octave-levels.test.ts
 */
export function thirdOctaveLevels(
  response: Response,
  {
    from = 25,
    to = 16_000,
    probability = 0.95,
  }: {
    /** Lowest nominal third octave, hertz. Default 25. */
    readonly from?: number;
    /** Highest nominal third octave, hertz. Default 16 000. */
    readonly to?: number;
    /** That the band holds the level, 0.5 to 0.9999. Default 0.95. */
    readonly probability?: number;
  } = {},
): ThirdOctaveLevel[] {
  requireWithin("probability", probability, 0.5, 0.9999);
  const { powerError } = response;
  if (!powerError) throw new RangeError("response has no error of its power: measure it with `measure.show`");
  const z = normalQuantile(0.5 + probability / 2);
  const meanSquare = power(response);
  return thirdOctaves(from, to).flatMap((band) => {
    const weights = bandWeights(response.frequency, band.lower, band.upper);
    if (weights.length < 2) return [];
    let [mean, variance] = [0, 0];
    for (const { i, w } of weights) {
      mean += w * meanSquare[i];
      variance += (w * powerError[i]) ** 2;
    }
    if (!(mean > 0)) return [];
    const half = (z * Math.sqrt(variance)) / mean;
    const level = 10 * Math.log10(mean);
    const lower = level + 10 * Math.log10(Math.max(LEAST, 1 - half));
    return [{ band, level, lower, upper: level + 10 * Math.log10(1 + half) }];
  });
}
