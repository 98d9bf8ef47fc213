/**
 * Equivalent level, and how long one may listen to it.
 *
 * These are recommendations for orientation: what the law of the place demands stands above them, and only a
 * calibrated meter at the ear decides.
 */

import { meanLevel } from "./decibel";

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
