/** Four corners: are they a floor to stand on, are they a rectangle? */
import type { Point } from "../acoustics/point";
import { add, cross, distance, dot, norm, scale, subtract } from "../acoustics/point";
import type { WriteLength } from "./file/units";

export type Corners = readonly [Point, Point, Point, Point];

const FLAT = 0.01; // metres by which a corner written by hand may be off

/** Area of a planar quadrilateral, square metres: half the cross product of its diagonals. */
export function quadArea([a, b, c, d]: Corners): number {
  return norm(cross(subtract(c, a), subtract(d, b))) / 2;
}

/** How far a rectangle is from a point along a direction, in its lengths, negative behind the point; NaN where it is not met. */
export function distanceAlong(
  { corners }: { readonly corners: Corners },
  p: Point,
  direction: Point,
): number {
  const [u, v] = [subtract(corners[1], corners[0]), subtract(corners[3], corners[0])];
  const normal = cross(u, v);
  const slope = dot(direction, normal);
  if (Math.abs(slope) < 1e-3 * norm(normal)) return Number.NaN;
  const along = dot(subtract(corners[0], p), normal) / slope;
  const from = subtract(add(p, scale(direction, along)), corners[0]);
  const [s, t] = [dot(from, u) / dot(u, u), dot(from, v) / dot(v, v)];
  return s >= 0 && s <= 1 && t >= 0 && t <= 1 ? along : Number.NaN;
}

/** Height of a rectangle straight above or below a point, metres, below negative; NaN where it is not there. */
export const heightOver = (rectangle: { readonly corners: Corners }, p: Point): number =>
  distanceAlong(rectangle, p, { x: 0, y: 0, z: 1 });

/** What keeps four corners from being a flat floor, or undefined. */
export function floorFault(corners: Corners, write: WriteLength): string | undefined {
  if (quadArea(corners) < 0.01) return "has no floor to stand on, expected four corners apart";
  const off = offPlane(corners);
  if (off > FLAT) {
    return `is bent: a corner is ${write(off)} off the plane of the others, expected a flat area`;
  }
  return isConvex(corners) ? undefined : "has crossed or hollow edges, expected its corners in order around";
}

/** What keeps four corners from being a rectangle, or undefined. */
export function rectangleFault([a, b, c, d]: Corners, write: WriteLength): string | undefined {
  if (Math.min(distance(a, b), distance(b, c)) < FLAT)
    return "has two corners at one point, expected a rectangle";
  const skew = Math.max(
    norm(subtract(subtract(b, a), subtract(c, d))),
    Math.abs(distance(a, c) - distance(b, d)),
  );
  if (skew <= FLAT) return undefined;
  return `is no rectangle: opposite edges or diagonals differ by ${write(skew)}, expected four right angles`;
}

/** Greatest distance of a corner from the plane through its neighbours and the one across, metres. */
function offPlane([a, b, c, d]: Corners): number {
  const normal = cross(subtract(c, a), subtract(d, b));
  return Math.abs(dot(normal, subtract(b, a))) / norm(normal);
}

function isConvex(corners: Corners): boolean {
  const turns = corners.map((corner, i) => {
    const next = corners[(i + 1) % 4];
    return cross(subtract(next, corner), subtract(corners[(i + 2) % 4], next));
  });
  return turns.every((turn) => turns.every((other) => dot(turn, other) >= -1e-9));
}
