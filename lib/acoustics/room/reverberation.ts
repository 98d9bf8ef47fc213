/**
 * Reverberation of a room from its volume and what absorbs in it. The level of its diffuse field is in diffuse-field.ts.
 */
import { requirePositive, requireWithin } from "../../guard/arguments";

export interface Surface {
  /** square metres */
  readonly area: number;
  /** Energy absorption 0…1 */
  readonly absorption: number;
}

export interface DecayOptions {
  /** metres per second */
  readonly speedOfSound?: number;
  /** Attenuation by the air, dB per metre, as `acoustics.air.absorption` gives it. */
  readonly airAbsorption?: number;
}

/**
 * Equivalent absorption area: the open window that would absorb as much as all surfaces together.
 *
 * @param surfaces  areas and their absorption
 * @returns square metres
 * @throws RangeError when an area is negative or an absorption outside 0…1
 * @source ISO 354 and Sabine; check: tests/acoustics/room/reverberation.test.ts
 */
export function equivalentAbsorptionArea(surfaces: readonly Surface[]): number {
  return surfaces.reduce((sum, { area, absorption }, i) => {
    requireWithin(`surfaces[${i}].area`, area, 0, Number.MAX_VALUE);
    requireWithin(`surfaces[${i}].absorption`, absorption, 0, 1);
    return sum + area * absorption;
  }, 0);
}

/**
 * Reverberation time by Sabine.
 *
 * Fair where the mean absorption is below about 0.2 and spread evenly; too long above, where `eyring` is closer.
 *
 * @param volume  cubic metres, > 0
 * @param absorptionArea  equivalent absorption area of all surfaces, square metres, > 0 unless the air absorbs
 * @param options  speed of sound (343.2 m/s) and absorption of the air (0)
 * @returns seconds
 * @throws RangeError when an argument is not positive
 * @source Kuttruff, Room Acoustics, T = 24 ln 10 V/(c (A + 4 m V)) (from memory); check: tests/acoustics/room/reverberation.test.ts
 * @example
 * acoustics.room.sabine(10000, 800) // 2.01
 */
export function sabine(volume: number, absorptionArea: number, options: DecayOptions = {}): number {
  return decay(volume, absorptionArea, options);
}

/**
 * Reverberation time by Eyring: for rooms with more absorption than Sabine's formula bears.
 *
 * @param volume  cubic metres, > 0
 * @param surface  area of all surfaces together, square metres, > 0
 * @param meanAbsorption  their area-weighted mean, 0…1
 * @param options  speed of sound (343.2 m/s) and absorption of the air (0)
 * @returns seconds, 0 for a mean absorption of 1
 * @throws RangeError when an argument is out of its range, or nothing absorbs
 * @source Eyring, Reverberation time in "dead" rooms, J. Acoust. Soc. Am. 1 (1930), 217-241; Kuttruff, Room Acoustics (from memory); check: tests/acoustics/room/reverberation.test.ts
 * @example
 * acoustics.room.eyring(10000, 3400, 0.2) // 2.12
 */
export function eyring(
  volume: number,
  surface: number,
  meanAbsorption: number,
  options: DecayOptions = {},
): number {
  requirePositive("surface", surface);
  requireWithin("mean absorption", meanAbsorption, 0, 1);
  if (meanAbsorption === 1) return 0;
  return decay(volume, -surface * Math.log1p(-meanAbsorption), options);
}

/**
 * Equivalent absorption area, air included, of a room with this reverberation time, by Sabine.
 *
 * @param volume  cubic metres, > 0
 * @param reverberationTime  seconds, > 0
 * @param speedOfSound  metres per second, 343.2 by default
 * @returns square metres
 * @throws RangeError when an argument is not positive
 * @source ISO 354, A = 55.3 V/(c T); check: tests/acoustics/room/reverberation.test.ts
 * @example
 * acoustics.room.absorptionArea(10000, 2) // 805
 */
export function absorptionAreaOfReverberation(
  volume: number,
  reverberationTime: number,
  speedOfSound = 343.2,
): number {
  requirePositive("volume", volume);
  requirePositive("reverberation time", reverberationTime);
  requirePositive("speed of sound", speedOfSound);
  return (24 * Math.LN10 * volume) / (speedOfSound * reverberationTime);
}

/**
 * Schroeder frequency: above it so many modes overlap that a room may be treated by statistics.
 *
 * @param reverberationTime  seconds, > 0
 * @param volume  cubic metres, > 0
 * @returns hertz
 * @throws RangeError when an argument is not positive
 * @source Schroeder and Kuttruff, J. Acoust. Soc. Am. 34 (1962), 76-80, 2000 (T/V)^½; check: tests/acoustics/room/reverberation.test.ts
 * @example
 * acoustics.room.schroeder(2, 10000) // 28.3
 */
export function schroederFrequency(reverberationTime: number, volume: number): number {
  requirePositive("reverberation time", reverberationTime);
  requirePositive("volume", volume);
  return 2000 * Math.sqrt(reverberationTime / volume);
}

function decay(
  volume: number,
  area: number,
  { speedOfSound = 343.2, airAbsorption = 0 }: DecayOptions,
): number {
  requirePositive("volume", volume);
  requirePositive("speed of sound", speedOfSound);
  requireWithin("air absorption", airAbsorption, 0, Number.MAX_VALUE);
  const energyPerMetre = (airAbsorption * Math.LN10) / 10;
  const total = area + 4 * energyPerMetre * volume;
  requirePositive("equivalent absorption area", total);
  return (24 * Math.LN10 * volume) / (speedOfSound * total);
}
