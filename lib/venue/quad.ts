/** Places over a quadrilateral of floor. */
import type { Point } from "../acoustics/point";

/** Corners in order around: front left, front right, back right, back left. */
export type Quad = readonly [Point, Point, Point, Point];

/**
 * A place over a quadrilateral.
 *
 * @param corners  in order around
 * @param across  from the first corner (0) to the second (1)
 * @param deep  from the first edge (0) to the opposite one (1)
 */
export function quadAt([a, b, c, d]: Quad, across: number, deep: number): Point {
  const mix = (p: Point, q: Point, t: number): Point => ({
    x: p.x + (q.x - p.x) * t,
    y: p.y + (q.y - p.y) * t,
    z: p.z + (q.z - p.z) * t,
  });
  return mix(mix(a, b, across), mix(d, c, across), deep);
}
