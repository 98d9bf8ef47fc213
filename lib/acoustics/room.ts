/**
 * Statistics of a room: reverberation, the diffuse field beside the direct sound, and the room's modes.
 */
import { toDecibel } from "./decibel";
import { requirePositive, requireWithin } from "./range";

export interface Surface {
  /** square metres */
  readonly area: number;
  /** Energy absorption 0…1 */
  readonly absorption: number;
}

export interface DecayOptions {
  /** metres per second */
  readonly speedOfSound?: number;
  /** Attenuation by the air, dB per metre, as `atmosphericAbsorption` gives it. */
  readonly airAbsorption?: number;
}

/**
 * Equivalent absorption area: the open window that would absorb as much as all surfaces together.
 *
 * @param surfaces  areas and their absorption
 * @returns square metres
 * @throws RangeError when an area is negative or an absorption outside 0…1
 * @source ISO 354 and Sabine; check: tests/acoustics/room.test.ts
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
 * @source Kuttruff, Room Acoustics, T = 24 ln 10 V/(c (A + 4 m V)) (from memory); check: tests/acoustics/room.test.ts
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
 * @source Eyring, Reverberation time in "dead" rooms, J. Acoust. Soc. Am. 1 (1930), 217-241; Kuttruff, Room Acoustics (from memory); check: tests/acoustics/room.test.ts
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
 * Equivalent absorption area, air included, that a reverberation time tells of by Sabine.
 *
 * @param volume  cubic metres, > 0
 * @param reverberationTime  seconds, > 0
 * @param speedOfSound  metres per second
 * @returns square metres
 * @throws RangeError when an argument is not positive
 * @source ISO 354, A = 55.3 V/(c T); check: tests/acoustics/room.test.ts
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
 * Critical distance: where direct sound and diffuse field are as strong.
 *
 * @param absorptionArea  equivalent absorption area, square metres, > 0
 * @param directivityFactor  of the source toward the listener: 1 for all directions alike, 10^(DI/10) on axis
 * @returns metres
 * @throws RangeError when an argument is not positive
 * @source Kuttruff, Room Acoustics, r = (γA/16π)^½ (from memory); check: tests/acoustics/room.test.ts
 */
export function criticalDistance(absorptionArea: number, directivityFactor = 1): number {
  requirePositive("absorption area", absorptionArea);
  requirePositive("directivity factor", directivityFactor);
  return Math.sqrt((directivityFactor * absorptionArea) / (16 * Math.PI));
}

/** Mean squares of direct sound and diffuse field, relative to the direct sound at 1 m of the same source all round. */
export interface SteadyField {
  readonly direct: number;
  readonly diffuse: number;
}

/**
 * Direct sound and diffuse field of a steady source, by Hopkins and Stryker: the diffuse field is the same everywhere.
 *
 * Both are mean squares relative to that which a source of the same power, radiating all round, has at 1 m in free
 * field. Their sum is the whole.
 *
 * @param distance  metres, > 0
 * @param roomConstant  S α/(1 − α), square metres, > 0: see `roomConstant`
 * @param directivityFactor  of the source toward the listener
 * @returns mean squares, relative
 * @throws RangeError when an argument is not positive
 * @source Hopkins and Stryker, A proposed loudness-efficiency rating for loudspeakers and the determination of system power requirements for enclosures, Proc. IRE 36 (1948), 315-335; Beranek, Acoustics (from memory): Q/(4πr²) + 4/R; check: tests/acoustics/room.test.ts
 */
export function hopkinsStryker(distance: number, roomConstant: number, directivityFactor = 1): SteadyField {
  requirePositive("distance", distance);
  requirePositive("room constant", roomConstant);
  requirePositive("directivity factor", directivityFactor);
  return { direct: directivityFactor / distance ** 2, diffuse: (16 * Math.PI) / roomConstant };
}

/**
 * Room constant: the absorption area enlarged for what the first reflection has already taken out.
 *
 * @param surface  area of all surfaces together, square metres, > 0
 * @param meanAbsorption  area-weighted mean, above 0 and below 1
 * @returns square metres
 * @throws RangeError when an argument is out of its range
 * @source Beranek, Acoustics, R = S α/(1 − α) (from memory); check: tests/acoustics/room.test.ts
 */
export function roomConstant(surface: number, meanAbsorption: number): number {
  requirePositive("surface", surface);
  requirePositive("mean absorption", meanAbsorption);
  requirePositive("1 − mean absorption", 1 - meanAbsorption);
  return (surface * meanAbsorption) / (1 - meanAbsorption);
}

/** As `SteadyField`, with the diffuse field parted at 80 ms after the direct sound. */
export interface BarronField extends SteadyField {
  /** Reflections within 80 ms after the direct sound. */
  readonly early: number;
  /** What comes later. */
  readonly late: number;
}

/**
 * Direct sound and diffuse field by Barron's revised theory: reflected sound grows weaker with distance.
 *
 * No reflection can arrive before the direct sound, so the decay is counted from there. Fits measured concert halls
 * better than a diffuse field that is the same everywhere. Made for proportionate halls without deep balconies,
 * at distances beyond about a quarter of the critical distance.
 *
 * @param distance  metres, > 0
 * @param volume  cubic metres, > 0
 * @param reverberationTime  seconds, > 0
 * @param options  directivity factor of the source toward the listener (1), speed of sound (340 m/s, as in the paper)
 * @returns mean squares relative to the direct sound at 1 m of the same source all round
 * @throws RangeError when an argument is not positive
 * @source Barron and Lee, Energy relations in concert auditoriums I, J. Acoust. Soc. Am. 84 (1988), 618-628: relative to 10 m, d = 100/r², e = (31200 T/V) e^{-0.04 r/T} (1 − e^{-1.11/T}), l = (31200 T/V) e^{-0.04 r/T} e^{-1.11/T}; check: tests/acoustics/room.test.ts
 */
export function barronRevised(
  distance: number,
  volume: number,
  reverberationTime: number,
  { directivityFactor = 1, speedOfSound = 340 }: { directivityFactor?: number; speedOfSound?: number } = {},
): BarronField {
  requirePositive("distance", distance);
  requirePositive("directivity factor", directivityFactor);
  const area = absorptionAreaOfReverberation(volume, reverberationTime, speedOfSound);
  const decayPerSecond = (6 * Math.LN10) / reverberationTime;
  const diffuse = ((16 * Math.PI) / area) * Math.exp((-decayPerSecond * distance) / speedOfSound);
  const late = diffuse * Math.exp(-decayPerSecond * 0.08);
  return { direct: directivityFactor / distance ** 2, diffuse, early: diffuse - late, late };
}

/**
 * Level of the whole steady field, re the direct sound at 1 m of the same source all round.
 *
 * @param field  direct and diffuse mean squares
 * @returns dB
 */
export function steadyLevel(field: SteadyField): number {
  return toDecibel(field.direct + field.diffuse);
}

/**
 * Schroeder frequency: above it so many modes overlap that a room may be treated by statistics.
 *
 * @param reverberationTime  seconds, > 0
 * @param volume  cubic metres, > 0
 * @returns hertz
 * @throws RangeError when an argument is not positive
 * @source Schroeder and Kuttruff, J. Acoust. Soc. Am. 34 (1962), 76-80, 2000 (T/V)^½; check: tests/acoustics/room.test.ts
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
