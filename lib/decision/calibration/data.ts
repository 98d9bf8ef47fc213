/**
 * What a calibration compares at each position: levels of mains and subs in third-octave bands, and how far the two agree in phase.
 *
 * Levels and agreement change smoothly with every uncertain value, which pressures at single frequencies, with their notches,
 * do not.
 */

import type { Response } from "../../acoustics/response";
import { responseError } from "../../acoustics/uncertainty";
import type { Survey } from "../../survey/survey";
import { bandPowers, bandWeights, coveredThirdOctaves, span } from "../balance/band-powers";

export interface CalibrationData {
  /** One value per datum; NaN where a survey does not have it. */
  readonly value: Float64Array;
  /** Standard deviation of each, same unit: dB, or a share for the agreement. */
  readonly error: Float64Array;
  /** Data per position: datum d of row p stands at p · perPosition + d. */
  readonly perPosition: number;
}

export interface DataOptions {
  /** Lowest and highest nominal third octave of the low end, hertz. Default 31.5 and 125. */
  readonly lowRange?: readonly [number, number];
  /** Lowest and highest nominal third octave of the mains' mid band, hertz. Default 500 and 2000. */
  readonly midBand?: readonly [number, number];
  /** By how much a model that is right differs from a measurement without noise, dB in a third-octave band. Default 0.7. */
  readonly levelError?: number;
}

/**
 * Data of a survey.
 *
 * @param survey  measured or modelled
 * @param options  bands and the error of the model
 * @returns values with their errors; those of mains or subs that are 25 dB below the other are left out
 */
export function calibrationData(
  survey: Survey,
  { lowRange = [31.5, 125], midBand = [500, 2000], levelError = 0.7 }: DataOptions = {},
): CalibrationData {
  const thirds = coveredThirdOctaves(survey.frequency, lowRange[0], lowRange[1]);
  const mid = span(coveredThirdOctaves(survey.frequency, midBand[0], midBand[1], "the mid band"));
  const powers = bandPowers(survey, thirds, { mainsBand: mid });
  const n = thirds.length;
  const perPosition = 3 * n + 1;
  const value = new Float64Array(survey.positions.length * perPosition).fill(Number.NaN);
  const error = new Float64Array(value.length).fill(1);
  survey.positions.forEach((_, row) => {
    const start = row * perPosition;
    const set = (d: number, x: number, deviation: number): void => {
      if (!Number.isFinite(x)) return;
      value[start + d] = x;
      error[start + d] = deviation;
    };
    for (let k = 0; k < n; k++) {
      const m = powers.mains[row * n + k];
      const s = powers.subs[row * n + k];
      const mError = Math.hypot(levelError, noise(survey.mains[row], thirds[k]));
      const sError = Math.hypot(levelError, noise(survey.subs[row], thirds[k]));
      if (m > s * WEAK) set(k, 10 * Math.log10(m), mError);
      if (s > m * WEAK) set(n + k, 10 * Math.log10(s), sError);
      const cross = powers.cross[row * n + k];
      if (m > s * HEARD && s > m * HEARD && cross !== 0) {
        set(2 * n + k, cross / Math.sqrt(m * s), Math.hypot(mError, sError) / DB_PER_RADIAN);
      }
    }
    set(
      3 * n,
      10 * Math.log10(powers.mainsAlone[row]),
      Math.hypot(levelError, noise(survey.mains[row], mid)),
    );
  });
  return { value, error, perPosition };
}

/** Power ratios below which a part says nothing, and below which the phase between parts does not matter. */
const WEAK = 10 ** -2.5;
const HEARD = 10 ** -1.2;
/** A relative error of amplitude turns the phase by as much in radians as it changes the level in nepers. */
const DB_PER_RADIAN = 20 / Math.LN10;

/** Standard error of a band's level from coherence and averages, dB: neighbours in a band go together. */
function noise(response: Response, band: { readonly lower: number; readonly upper: number }): number {
  const { coherence, averages, frequency } = response;
  if (!coherence || !averages) return 0;
  const { start, weight } = bandWeights(frequency, { exact: 0, nominal: 0, ...band });
  let error = 0;
  weight.forEach((w, k) => {
    const i = start + k;
    if (averages[i] > 0) error += w * responseError(Math.max(1e-4, Math.min(1, coherence[i])), averages[i]);
  });
  return Math.min(10, DB_PER_RADIAN * error);
}
