/**
 * One reflection: where it seems to come from, and the comb of notches and peaks that it cuts into the direct sound.
 *
 * All notches and peaks hold for a reflection that keeps the polarity of the sound (a hard surface).
 */

import { requireInteger, requirePositive } from "../../guard/arguments";
import { amplitudeToDecibel, decibelToAmplitude } from "../level/decibel";
import { add, distance, dot, norm, type Point, scale, subtract } from "../point";

/** A plane through `point`, perpendicular to `normal`. */
export interface Plane {
  /** Any point of the plane, metres. */
  readonly point: Point;
  /** A direction perpendicular to the plane: any length above 0, to either side. */
  readonly normal: Point;
}

/**
 * Image of a point in a plane: where its reflection seems to come from.
 *
 * @param point  metres
 * @param plane  the mirror
 * @returns metres
 * @throws RangeError when the plane's normal has no length
 * @source Kuttruff, Room Acoustics, image sources (from memory); check: tests/acoustics/reflection/reflection.test.ts
 */
export function imagePoint(point: Point, plane: Plane): Point {
  const length = norm(plane.normal);
  requirePositive("length of the plane's normal", length);
  const offset = dot(subtract(point, plane.point), plane.normal) / length ** 2;
  return add(point, scale(plane.normal, -2 * offset));
}

/**
 * Extra length of the path that a plane reflects, such as floor or wall, relative to the direct path.
 *
 * @param source  metres
 * @param receiver  metres, on the same side of the plane as the source
 * @param plane  the mirror
 * @returns metres, 0 or more
 * @throws RangeError when the plane's normal has no length, or source and receiver lie on different sides
 * @source Kuttruff, Room Acoustics, image sources (from memory); check: tests/acoustics/reflection/reflection.test.ts
 * @example
 * const floor = { point: { x: 0, y: 0, z: 0 }, normal: { x: 0, y: 0, z: 1 } };
 * acoustics.reflection.pathDifference({ x: 0, y: 0, z: 3 }, { x: 8, y: 0, z: 3 }, floor) // 2
 */
export function pathDifference(source: Point, receiver: Point, plane: Plane): number {
  const side = (p: Point): number => dot(subtract(p, plane.point), plane.normal);
  if (side(source) * side(receiver) < 0) {
    throw new RangeError(
      "source and receiver lie on different sides of the plane: nothing is reflected between them",
    );
  }
  return Math.max(0, distance(imagePoint(source, plane), receiver) - distance(source, receiver));
}

/**
 * Frequencies at which a reflection cancels the direct sound.
 *
 * The two arrive in opposite phase where the path difference is an odd number of half wavelengths.
 *
 * @param pathDifference  extra length of the reflected path, metres, > 0
 * @param speedOfSound  metres per second
 * @param upTo  highest frequency needed, hertz
 * @returns notch frequencies in ascending order, hertz
 * @throws RangeError when an argument is not positive
 * @source Kuttruff, Room Acoustics, comb filter of a single reflection (from memory); check: tests/acoustics/reflection/reflection.test.ts
 * @example
 * acoustics.reflection.notches(1.716, 343.2, 400) // [100, 300]
 */
export function notchFrequencies(pathDifference: number, speedOfSound: number, upTo: number): number[] {
  requirePositive("path difference", pathDifference);
  requirePositive("speed of sound", speedOfSound);
  requirePositive("highest frequency", upTo);
  const lowest = speedOfSound / (2 * pathDifference);
  const count = Math.max(0, Math.floor((upTo / lowest - 1) / 2 + 1 + 1e-9));
  requireInteger("number of frequencies in the series", count, 0, 1e6);
  return Array.from({ length: count }, (_, i) => (1 + 2 * i) * lowest);
}

/**
 * How deep the notches and how high the peaks of a comb filter are, relative to the direct sound alone.
 *
 * @param levelDifference  by how much the reflection is weaker than the direct sound, dB; its sign is ignored
 * @returns dB: `notch` below 0 (−Infinity where both are as strong), `peak` above 0, and `ripple` from one to the other
 * @throws RangeError when the difference is not a number
 * @source sum and difference of two amplitudes; check: tests/acoustics/reflection/reflection.test.ts
 * @example
 * acoustics.reflection.combDepth(6).peak // 3.53
 */
export function combDepth(levelDifference: number): { notch: number; peak: number; ripple: number } {
  const ratio = decibelToAmplitude(-Math.abs(levelDifference));
  const notch = amplitudeToDecibel(1 - ratio);
  const peak = amplitudeToDecibel(1 + ratio);
  return { notch, peak, ripple: peak - notch };
}

/**
 * Path difference that a notch at this frequency tells of.
 *
 * @param frequency  of the notch, hertz, > 0
 * @param speedOfSound  metres per second
 * @param order  1 (default) for the lowest notch of the series, 2 for the next, …
 * @returns metres
 * @throws RangeError when frequency or speed is not positive or the order is not a whole number from 1
 * @source inverse of the comb filter's notch series; check: tests/acoustics/reflection/reflection.test.ts
 */
export function pathDifferenceOfNotch(frequency: number, speedOfSound: number, order = 1): number {
  requirePositive("frequency", frequency);
  requirePositive("speed of sound", speedOfSound);
  requireInteger("order of the notch", order, 1, 1e6);
  return ((2 * order - 1) * speedOfSound) / (2 * frequency);
}

/**
 * Distance of a wall behind a source whose reflection makes a notch straight ahead.
 *
 * The sound travels to the wall and back, so the wall stands an odd number of quarter wavelengths behind.
 *
 * @param frequency  of the notch, hertz, > 0
 * @param speedOfSound  metres per second
 * @param order  1 (default) for the lowest notch of the series, 2 for the next, …
 * @returns metres from the acoustic centre to the wall
 * @throws RangeError when frequency or speed is not positive or the order is not a whole number from 1
 * @source common practice, no source; check: tests/acoustics/reflection/reflection.test.ts
 * @example
 * acoustics.reflection.wallDistance(60, 343.2) // 1.43
 */
export function wallDistanceOfNotch(frequency: number, speedOfSound: number, order = 1): number {
  return pathDifferenceOfNotch(frequency, speedOfSound, order) / 2;
}
