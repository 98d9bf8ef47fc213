/**
 * A rectangle in space, with what path tracing needs worked out once.
 */
import { add, cross, dot, norm, type Point, plainPoint, scale, subtract } from "../../acoustics/point";

export interface Rectangle {
  readonly origin: Point;
  /** Unit vectors along the two sides, and their cross product. */
  readonly u: Point;
  readonly v: Point;
  readonly normal: Point;
  /** How far the plane is from the origin of all coordinates, along the normal. */
  readonly offset: number;
  /** Sides along u and v, metres. */
  readonly width: number;
  readonly height: number;
}

/**
 * Rectangle from its corners in order around it.
 *
 * @throws RangeError when a side has no length
 */
export function rectangle(corners: readonly [Point, Point, Point, Point], name = "rectangle"): Rectangle {
  const a = subtract(corners[1], corners[0]);
  const b = subtract(corners[3], corners[0]);
  const width = norm(a);
  const height = norm(b);
  if (!(width > 0 && height > 0)) throw new RangeError(`${name} has a side of no length`);
  const u = scale(a, 1 / width);
  const v = scale(b, 1 / height);
  const origin = plainPoint(corners[0]);
  const normal = cross(u, v);
  return { origin, u, v, normal, offset: dot(origin, normal), width, height };
}

/** Its corners in order around it. */
export function cornersOf(r: Rectangle): [Point, Point, Point, Point] {
  const a = scale(r.u, r.width);
  const b = scale(r.v, r.height);
  return [r.origin, add(r.origin, a), add(add(r.origin, a), b), add(r.origin, b)];
}

/** Height of a point above the rectangle's plane, metres, positive on the side of its normal. */
export function heightAbove(r: Rectangle, p: Point): number {
  return dot(p, r.normal) - r.offset;
}

/** Mirror image of a point in the rectangle's plane. */
export function mirrorPoint(r: Rectangle, p: Point): Point {
  return subtract(p, scale(r.normal, 2 * heightAbove(r, p)));
}

/** Mirror image of a direction. */
export function mirrorDirection(r: Rectangle, d: Point): Point {
  return subtract(d, scale(r.normal, 2 * dot(d, r.normal)));
}

/** A point's place along the rectangle's sides, metres from its first corner. */
export function localPoint(r: Rectangle, p: Point): { u: number; v: number } {
  const d = subtract(p, r.origin);
  return { u: dot(d, r.u), v: dot(d, r.v) };
}
