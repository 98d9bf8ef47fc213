/**
 * The diffuse field of a room beside the direct sound of a steady source.
 */

import { requirePositive } from "../../guard/arguments";
import { absorptionAreaOfReverberation } from "./reverberation";

/**
 * Critical distance: where direct sound and diffuse field are as strong.
 *
 * @param absorptionArea  equivalent absorption area, square metres, > 0
 * @param directivityFactor  of the source toward the listener: 1 (default) for all directions alike, 10^(DI/10) on axis
 * @returns metres
 * @throws RangeError when an argument is not positive
 * @source Kuttruff, Room Acoustics, r = (γA/16π)^½ (from memory); check: tests/acoustics/room/diffuse-field.test.ts
 * @example
 * acoustics.room.criticalDistance(400, 5) // 6.31
 */
export function criticalDistance(absorptionArea: number, directivityFactor = 1): number {
  requirePositive("absorption area", absorptionArea);
  requirePositive("directivity factor", directivityFactor);
  return Math.sqrt((directivityFactor * absorptionArea) / (16 * Math.PI));
}

/** Mean squares of direct sound and diffuse field, relative to the direct sound at 1 m of the same source all round. */
export interface SteadyField {
  /** Direct sound, a ratio of mean squares. */
  readonly direct: number;
  /** Diffuse field, a ratio of mean squares. */
  readonly diffuse: number;
}

/** As `SteadyField`, with the diffuse field parted at 80 ms after the direct sound. */
export interface BarronField extends SteadyField {
  /** Reflections within 80 ms after the direct sound, a ratio of mean squares. */
  readonly early: number;
  /** What comes later, a ratio of mean squares. */
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
 * @source Barron and Lee, Energy relations in concert auditoriums I, J. Acoust. Soc. Am. 84 (1988), 618-628: relative to 10 m, d = 100/r², e = (31200 T/V) e^{-0.04 r/T} (1 − e^{-1.11/T}), l = (31200 T/V) e^{-0.04 r/T} e^{-1.11/T}; check: tests/acoustics/room/diffuse-field.test.ts
 * @example
 * const { direct, diffuse } = acoustics.room.directAndDiffuse(10, 10000, 2);
 * acoustics.level.ofPower(diffuse / direct) // 7
 */
export function barronRevised(
  distance: number,
  volume: number,
  reverberationTime: number,
  {
    directivityFactor = 1,
    speedOfSound = 340,
  }: {
    /** Of the source toward the listener: 1 for all directions alike, 10^(DI/10) on axis. */
    directivityFactor?: number;
    /** metres per second */
    speedOfSound?: number;
  } = {},
): BarronField {
  requirePositive("distance", distance);
  requirePositive("directivity factor", directivityFactor);
  const area = absorptionAreaOfReverberation(volume, reverberationTime, speedOfSound);
  const decayPerSecond = (6 * Math.LN10) / reverberationTime;
  const diffuse = ((16 * Math.PI) / area) * Math.exp((-decayPerSecond * distance) / speedOfSound);
  const late = diffuse * Math.exp(-decayPerSecond * 0.08);
  return { direct: directivityFactor / distance ** 2, diffuse, early: diffuse - late, late };
}
