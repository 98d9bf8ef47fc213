/** Levels as figures show them: in decibels, with the words for the axis. */

import { smoothPower } from "../../../acoustics/bands/smoothing";
import { power, type Response } from "../../../acoustics/response";
import type { Survey } from "../../../survey/survey";

/** Nothing is drawn lower than this below the loudest: it keeps the notch of a model from filling the figure. */
const deepest = 80;

/**
 * Level of a response at each of its frequencies.
 *
 * @param response  of a survey
 * @param quantity  of that survey
 * @param smoothing  of an octave: 3 for thirds; 0 for none
 * @returns dB re 20 µPa, or dB for a ratio
 */
export function levelOverFrequency(
  response: Response,
  quantity: Survey["quantity"],
  smoothing: number,
): Float64Array {
  const raw = power(response);
  const square = smoothing > 0 ? smoothPower(response.frequency, raw, smoothing) : raw;
  const reference = quantity === "pressure" ? 20e-6 ** 2 : 1;
  const floor = square.reduce((max, p) => Math.max(max, p), 0) * 10 ** (-deepest / 10) || 1e-30;
  return square.map((p) => 10 * Math.log10(Math.max(p, floor) / reference));
}

/** What a level is called on an axis. */
export const levelTitle = (quantity: Survey["quantity"]): string =>
  quantity === "pressure" ? "Level per third-octave band<br>(dB re 20 µPa)" : "Level (dB re the signal sent)";
