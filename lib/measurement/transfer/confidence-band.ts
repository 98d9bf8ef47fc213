/**
 * The band within which a response lies with a given probability, as far as its windows reach: what comes later, most of a hall at
 * high frequencies, is not in it. The band of the level that a listener gets is that of `third-octave-levels.ts`.
 */

import type { Response } from "../../acoustics/response";
import { requireWithin } from "../../guard/arguments";
import { normalQuantile } from "../../numeric/statistics";

export interface ConfidenceBand {
  /** Magnitude of the response, dB, and the band's limits. */
  readonly level: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Half width of the band of phase, degrees; 180 where nothing is known. */
  readonly phase: Float64Array;
}

/** Below this share of the magnitude the lower limit is not followed: −60 dB stands for nothing known. */
const least = 1e-3;

/**
 * Confidence band of a measured response from its coherence and number of averages.
 *
 * Random error from noise alone, from about 5 averages on. Not in it: window too short for a delay or for a
 * resonance, a reflection, noise that reaches the reference too.
 *
 * @param response  response with coherence and averages
 * @param probability  that the band holds the truth, 0 … 1
 * @returns level and limits in dB, phase in degrees, one value per frequency
 * @throws RangeError when the response carries no coherence or averages, or has fewer than two averages
 * @source Bendat and Piersol, Random Data (4th edition), equation 9.90 and section 9.2.2 (from memory), with the residual's
 * degrees of freedom n − 1 for n and Student's t for the normal law (Abramowitz and Stegun, 26.7.5)
 */
export function confidenceBand(response: Response, probability = 0.95): ConfidenceBand {
  requireWithin("probability", probability, 0.5, 0.9999);
  const { re, im, coherence, averages } = response;
  if (!coherence || !averages) {
    throw new RangeError("response has no coherence or number of averages: its error is not known");
  }
  const level = new Float64Array(re.length);
  const [lower, upper, phase] = [level.slice(), level.slice(), level.slice()];
  for (let i = 0; i < re.length; i++) {
    if (!(averages[i] >= 2)) {
      throw new RangeError(
        `response has ${averages[i]} averages at ${response.frequency[i]} Hz, expected 2 or more`,
      );
    }
    const g = coherence[i];
    const error = Math.sqrt((1 - g) / (2 * g * (averages[i] - 1)));
    const half = g > 0 ? student(probability, 2 * (averages[i] - 1)) * error : Infinity;
    level[i] = 10 * Math.log10(Math.max(re[i] ** 2 + im[i] ** 2, 1e-30));
    lower[i] = level[i] + 20 * Math.log10(Math.max(least, 1 - half));
    upper[i] = level[i] + 20 * Math.log10(Math.min(1 / least, 1 + half));
    phase[i] = half < 1 ? (Math.asin(half) * 180) / Math.PI : 180;
  }
  return { level, lower, upper, phase };
}

/** Two-sided quantile of Student's t, by its series around the normal one. */
function student(probability: number, freedom: number): number {
  const z = normalQuantile(0.5 + probability / 2);
  const first = (z ** 3 + z) / 4;
  const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96;
  const third = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384;
  return z + first / freedom + second / freedom ** 2 + third / freedom ** 3;
}
