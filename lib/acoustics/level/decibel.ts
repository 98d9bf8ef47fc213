/**
 * Ratios and decibels, and how levels add.
 *
 * A power quantity (mean square, energy) takes 10 lg, a field quantity (pressure, voltage) 20 lg. Sound whose
 * phases are unrelated adds by power; copies of one signal add by amplitude and phase.
 */
import { requirePositive, requireSameLength } from "../../guard/arguments";

/** Reference of sound pressure level in air, pascals (ISO 1683). */
export const referencePressure = 20e-6;

/**
 * Level of a ratio of two power quantities.
 *
 * @param powerRatio  ratio of mean squares, powers or energies, 0 or more; 0 gives −Infinity
 * @returns dB
 * @throws RangeError when the ratio is negative or not a number
 * @source ISO 80000-8, level of a power quantity; check: tests/acoustics/level/decibel.test.ts
 * @example
 * acoustics.level.ofPower(2) // 3.01
 */
export function toDecibel(powerRatio: number): number {
  if (!(powerRatio >= 0)) throw new RangeError(`power ratio is ${powerRatio}, expected 0 or more`);
  return 10 * Math.log10(powerRatio);
}

/**
 * Power ratio of a level: the inverse of `toDecibel`.
 *
 * @param level  dB
 * @returns ratio of mean squares, powers or energies
 */
export function fromDecibel(level: number): number {
  return 10 ** (level / 10);
}

/**
 * Level of a ratio of two field quantities, such as sound pressures or voltages.
 *
 * @param ratio  amplitude ratio, its sign is ignored; 0 gives −Infinity
 * @returns dB
 * @throws RangeError when the ratio is not a number
 * @source ISO 80000-8, level of a root-power quantity; check: tests/acoustics/level/decibel.test.ts
 * @example
 * acoustics.level.ofAmplitude(2) // 6.02
 */
export function amplitudeToDecibel(ratio: number): number {
  if (Number.isNaN(ratio)) throw new RangeError("amplitude ratio is NaN, expected a number");
  return 20 * Math.log10(Math.abs(ratio));
}

/**
 * Amplitude ratio of a level: the inverse of `amplitudeToDecibel`.
 *
 * @param level  dB
 * @returns ratio of pressures, voltages or other field quantities, 0 or more
 */
export function decibelToAmplitude(level: number): number {
  return 10 ** (level / 20);
}

/**
 * Sound pressure level of a mean square pressure.
 *
 * @param meanSquare  pascals squared, 0 or more
 * @returns dB re 20 µPa
 * @throws RangeError when the mean square is negative or not a number
 * @source ISO 1683, reference 20 µPa; check: tests/acoustics/level/decibel.test.ts
 */
export function levelOfMeanSquare(meanSquare: number): number {
  return toDecibel(meanSquare / referencePressure ** 2);
}

/**
 * Sound pressure level of a sound pressure.
 *
 * @param rms  root mean square of the pressure, pascals; 0 gives −Infinity
 * @returns dB re 20 µPa
 * @throws RangeError when the pressure is not a number
 * @source ISO 1683, reference 20 µPa; check: tests/acoustics/level/decibel.test.ts
 * @example
 * acoustics.level.ofPressure(1) // 93.98
 */
export function levelOfPressure(rms: number): number {
  return amplitudeToDecibel(rms / referencePressure);
}

/**
 * Level of several sounds together whose phases are unrelated: the sum of their powers.
 *
 * @param levels  dB, at least one
 * @returns dB
 * @throws RangeError when there is no level
 * @source ISO 3740 family, energetic sum of levels; check: tests/acoustics/level/decibel.test.ts
 * @example
 * acoustics.level.sum([90, 90]) // 93.01
 */
export function sumLevels(levels: ArrayLike<number>): number {
  requireSameLength("levels", levels, "levels", levels);
  let sum = 0;
  for (let i = 0; i < levels.length; i++) sum += fromDecibel(levels[i]);
  return toDecibel(sum);
}

/**
 * Level of several copies of one signal together at one frequency: the sum of their complex amplitudes.
 *
 * @param levels  dB, at least one
 * @param phases  radians, as many as levels
 * @returns dB; −Infinity where they cancel
 * @throws RangeError when the numbers of levels and phases differ or are 0
 * @source Kuttruff, Acoustics: An Introduction, superposition of harmonic sound (from memory); check: tests/acoustics/level/decibel.test.ts
 * @example
 * // Two equal subs, 120° apart: no louder than one.
 * acoustics.level.coherentSum([90, 90], [0, (2 * Math.PI) / 3]) // 90
 */
export function sumLevelsCoherent(levels: ArrayLike<number>, phases: ArrayLike<number>): number {
  requireSameLength("levels", levels, "phases", phases);
  let re = 0;
  let im = 0;
  for (let i = 0; i < levels.length; i++) {
    const amplitude = decibelToAmplitude(levels[i]);
    re += amplitude * Math.cos(phases[i]);
    im += amplitude * Math.sin(phases[i]);
  }
  return amplitudeToDecibel(Math.hypot(re, im));
}

/**
 * Mean level by power, weighted: what one place would have that shares out the same energy.
 *
 * @param levels  dB, at least one
 * @param weights  0 or more, as many as levels; all 1 when left out
 * @returns dB
 * @throws RangeError when the numbers differ or are 0, or when no weight is above 0
 * @source ISO 3382-1 and IEC 61672-1, energetic mean; check: tests/acoustics/level/decibel.test.ts
 */
export function meanLevel(levels: ArrayLike<number>, weights?: ArrayLike<number>): number {
  requireSameLength("levels", levels, "weights", weights ?? levels);
  let sum = 0;
  let total = 0;
  for (let i = 0; i < levels.length; i++) {
    const weight = weights ? weights[i] : 1;
    sum += weight * fromDecibel(levels[i]);
    total += weight;
  }
  requirePositive("sum of weights", total);
  return toDecibel(sum / total);
}
