/**
 * Equivalent level and noise dose.
 *
 * These are recommendations for orientation: what the law of the place demands stands above them, and only a
 * calibrated meter at the ear decides.
 */

import { requireInteger, requirePositive } from "../../guard/arguments";
import { fromDecibel, meanLevel, toDecibel } from "./decibel";

export interface ExposureCriterion {
  /** Who recommends what, in words. */
  readonly name: string;
  /** A-weighted equivalent level that uses up the whole dose in `duration`, dB. */
  readonly level: number;
  /** seconds */
  readonly duration: number;
  /** By how much the level may rise when the time is halved, dB. */
  readonly exchangeRate: number;
}

/** Recommended exposure limit for people at work. @source NIOSH publication 98-126 (1998), 1.1 */
export const nioshCriterion: ExposureCriterion = {
  name: "NIOSH 1998: 85 dB(A) over 8 hours, 3 dB exchange rate",
  level: 85,
  duration: 8 * 3600,
  exchangeRate: 3,
};

/**
 * Highest A-weighted equivalent level over any 15 minutes for an audience, dB.
 * @source WHO, Global standard for safe listening venues and events (2022), feature 1
 */
export const whoVenueLimit = { name: "WHO 2022: 100 dB LAeq,15 min", level: 100, window: 15 * 60 };

/**
 * Equivalent level of a sequence of levels: the constant level with the same energy.
 *
 * @param levels  dB, at least one
 * @param durations  seconds each lasts; all alike when left out
 * @returns dB
 * @throws RangeError when the numbers differ or are 0, or when the durations sum to nothing
 * @source IEC 61672-1:2013, 3.9; check: tests/acoustics/level/dose.test.ts
 * @example
 * acoustics.dose.equivalentLevel([100, 94]) // 97.96
 */
export function equivalentLevel(levels: ArrayLike<number>, durations?: ArrayLike<number>): number {
  return meanLevel(levels, durations);
}

/**
 * Highest equivalent level over any window of a sequence of levels.
 *
 * @param levels  equivalent levels of equal, adjoining intervals, dB
 * @param window  how many intervals the window spans, at most as many as there are levels
 * @returns dB
 * @throws RangeError when the window is not a whole number from 1 to the number of levels
 * @source WHO, Global standard for safe listening venues and events (2022), with its 15 minutes; check: tests/acoustics/level/dose.test.ts
 */
export function highestEquivalentLevel(levels: ArrayLike<number>, window: number): number {
  requireInteger("window", window, 1, levels.length);
  let highest = 0;
  for (let start = 0; start + window <= levels.length; start++) {
    let sum = 0;
    for (let i = start; i < start + window; i++) sum += fromDecibel(levels[i]);
    highest = Math.max(highest, sum);
  }
  return toDecibel(highest / window);
}

/**
 * Time in which a level uses up the whole dose.
 *
 * @param level  A-weighted equivalent level, dB
 * @param criterion  the recommendation; by default that of NIOSH, 85 dB(A) over 8 hours and 3 dB less for twice the time.
 *   Local law rules.
 * @returns seconds
 * @source NIOSH publication 98-126 (1998), table 1-1; check: tests/acoustics/level/dose.test.ts
 * @example
 * acoustics.dose.allowedTime(94) / 3600 // 1
 */
export function allowedTime(level: number, criterion: ExposureCriterion = nioshCriterion): number {
  return criterion.duration / 2 ** ((level - criterion.level) / criterion.exchangeRate);
}

/**
 * Noise dose of a level over a time: 100 % is all that the recommendation allows in a day.
 *
 * @param level  A-weighted equivalent level, dB
 * @param duration  seconds, > 0
 * @param criterion  the recommendation; NIOSH when left out. Local law rules.
 * @returns percent
 * @throws RangeError when the duration is not positive
 * @source NIOSH publication 98-126 (1998), 1.1; check: tests/acoustics/level/dose.test.ts
 */
export function noiseDose(
  level: number,
  duration: number,
  criterion: ExposureCriterion = nioshCriterion,
): number {
  requirePositive("duration", duration);
  return (100 * duration) / allowedTime(level, criterion);
}
