import { add, type Point, scale } from "../acoustics/point";
import type { Source } from "./venue";

/**
 * Where a source sounds from: before the middle of its front, along its axis, by its `centre`.
 *
 * A closed box that is small against the wavelength sounds like a point that lies before its front, for what the front sends back has to
 * go round it. Toward all sides the sound is then late by the distance from there.
 *
 * @param source  with the middle of its front, its axis and its centre
 * @returns metres
 * @source Vanderkooy, The acoustic center: a new concept for loudspeakers at low frequencies, AES Convention 121 (2006), paper 6912
 *   (from memory); check: tests/venue/centre.test.ts
 */
export function acousticCentre({
  point,
  axis,
  centre = 0,
}: Pick<Source, "point" | "axis" | "centre">): Point {
  return centre === 0 ? point : add(point, scale(axis, centre));
}
