/**
 * Frequency weightings of sound level meters.
 */

import { requirePositive } from "../../guard/arguments";

/** A: the ear at low level, used for exposure limits; C: nearly flat, keeps the low end; Z: none. */
export type Weighting = "A" | "C" | "Z";

// Pole frequencies of the analytic forms, hertz.
const f1 = 20.598997;
const f2 = 107.65265;
const f3 = 737.86223;
const f4 = 12194.217;

/**
 * Frequency weighting at one frequency: 0 dB at 1 kHz.
 *
 * @param frequency  hertz, > 0
 * @param weighting  "A", "C" or "Z" (none: 0 dB everywhere)
 * @returns dB, to be added to a level
 * @throws RangeError when the frequency is not positive
 * @source IEC 61672-1:2013, annex E, eq. E.1 and E.6; check: tests/acoustics/level/weighting.test.ts
 * @example
 * acoustics.level.weighting(100, "A") // -19.1
 */
export function frequencyWeighting(frequency: number, weighting: Weighting): number {
  requirePositive("frequency", frequency);
  if (weighting === "Z") return 0;
  return analytic(frequency, weighting) - analytic(1000, weighting);
}

function analytic(f: number, weighting: "A" | "C"): number {
  const g = f * f;
  const c = (f4 ** 2 * g) / ((g + f1 ** 2) * (g + f4 ** 2));
  return 20 * Math.log10(weighting === "C" ? c : (c * g) / Math.sqrt((g + f2 ** 2) * (g + f3 ** 2)));
}
