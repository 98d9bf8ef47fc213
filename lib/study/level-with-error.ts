/** A band's level and how sure it is. */
import { levelInBand, power, type Response } from "../acoustics/response";

/** Lower and upper edge, hertz. */
export type Span = readonly [from: number, to: number];

/** The bands that the balance is of: edges of the third octaves 31.5 to 80 and 500 to 2000. */
export const LOW_BAND: Span = [28.2, 89.1];
export const MID_BAND: Span = [447, 2239];

/**
 * @returns dB re 1 of the response's unit, and its standard error in dB where it was measured: errors of a grid's frequencies are
 *   independent of one another
 */
export function levelWithError(response: Response, [from, to]: Span): { level: number; error?: number } {
  const level = levelInBand(response, from, to, 1);
  const { frequency, powerError } = response;
  if (!powerError) return { level };
  let [sum, variance] = [0, 0];
  power(response).forEach((p, i) => {
    if (frequency[i] < from || frequency[i] > to) return;
    sum += p;
    variance += powerError[i] ** 2;
  });
  return sum > 0 ? { level, error: ((10 / Math.LN10) * Math.sqrt(variance)) / sum } : { level };
}
