/** Where things point: unit vectors from the angles that people use. */
import type { Orientation } from "../acoustics/directivity/pattern";
import type { Point } from "../acoustics/point";
import { add, cross, scale } from "../acoustics/point";

/**
 * Axis and upward direction of a cabinet.
 *
 * @param horizontal  degrees from straight to the back of the room, toward house left positive
 * @param down  degrees below the horizontal
 * @returns two unit vectors square to each other
 */
export function orientation(horizontal: number, down: number): Orientation {
  const h = (horizontal * Math.PI) / 180;
  const d = (down * Math.PI) / 180;
  return {
    axis: { x: Math.cos(d) * Math.cos(h), y: Math.cos(d) * Math.sin(h), z: -Math.sin(d) },
    up: { x: Math.sin(d) * Math.cos(h), y: Math.sin(d) * Math.sin(h), z: Math.cos(d) },
  };
}

/** A step from a point, in the cabinet's own directions: forward along its axis, toward its left, and up. */
export function step(
  from: Point,
  { axis, up }: Orientation,
  by: { forward?: number; left?: number; up?: number },
): Point {
  const left = cross(up, axis); // house left for an axis to the back of the room
  return [scale(axis, by.forward ?? 0), scale(left, by.left ?? 0), scale(up, by.up ?? 0)].reduce(add, from);
}

/** The mirror image on the other side of the centre line. */
export const mirrored = (p: Point): Point => ({ x: p.x, y: p.y === 0 ? 0 : -p.y, z: p.z });
