/**
 * The surfaces that stop waves: the venue's boundaries, those around it that nearly meet a neighbour drawn on to it, and its
 * cavities as what they are, a box behind an opening in its wall.
 */
import { add, dot, type Point, scale } from "../../acoustics/point";
import type { BandValues, Cavity, Venue } from "../../venue/venue";
import { heightAbove, localPoint, type Rectangle, rectangle } from "../paths/rectangle";
import { adjoining, edgesOf, gapOf, NEAR, wallsOf } from "../paths/walls";

export interface Surface {
  readonly name: string;
  readonly rectangle: Rectangle;
  readonly absorption: BandValues;
  /** Number of the venue's boundary that it is part of; undefined where it is none's. */
  readonly boundary?: number;
}

type SurfaceVenue = Pick<Venue, "boundaries" | "cavities" | "audience"> & {
  readonly sources: readonly { readonly point: Point }[];
};

/** @throws RangeError when a rectangle has a side of no length */
export function surfacesOf(venue: SurfaceVenue): Surface[] {
  const walls = wallsOf(venue);
  const boundaries = walls.slice(0, venue.boundaries.length);
  const points = [
    ...venue.audience.flatMap((area) => area.corners),
    ...venue.sources.map((source) => source.point),
  ];
  return [
    ...boundaries.flatMap((wall, index) => {
      const holes = walls.filter((w) => w.host === index).map((w) => w.rectangle);
      const others = boundaries.map((w) => w.rectangle).filter((r) => r !== wall.rectangle);
      const whole = isShell(wall.rectangle, points) ? drawnOn(wall.rectangle, others) : wall.rectangle;
      return without(whole, holes).map((r) => ({
        name: wall.name,
        rectangle: r,
        absorption: wall.absorption,
        boundary: index,
      }));
    }),
    ...venue.cavities.flatMap((cavity) => boxBehind(cavity, venue)),
  ];
}

/**
 * A rectangle drawn on, at each edge that no neighbour touches, to the plane of the nearest: an edge of a block ends at the
 * block, and beyond the neighbour it would stick out into the air.
 */
function drawnOn(r: Rectangle, others: readonly Rectangle[]): Rectangle {
  const sides = [adjoining(r, others, 1), adjoining(r, others, -1)];
  const [u0, u1, v0, v1] = edgesOf(r).map(({ from, to, outward }, edge) => {
    const missing = sides
      .flatMap((side) => side[edge])
      .map((other) =>
        Math.max(0, ...[from, to].map((end) => -heightAbove(other, end) / dot(other.normal, outward))),
      );
    const nearest = Math.min(...missing);
    return nearest <= gapOf(r) ? nearest : 0;
  });
  return part(r, -u0, r.width + u1, -v0, r.height + v1);
}

/** Whether all that sounds and listens lies on one side: what does stands in the room, and has air at its edges. */
function isShell(r: Rectangle, points: readonly Point[]): boolean {
  const sides = new Set(
    points
      .map((p) => heightAbove(r, p))
      .filter((h) => Math.abs(h) > NEAR)
      .map(Math.sign),
  );
  return sides.size < 2;
}

function part(r: Rectangle, u0: number, u1: number, v0: number, v1: number): Rectangle {
  const at = (u: number, v: number): Point => add(r.origin, add(scale(r.u, u), scale(r.v, v)));
  return rectangle([at(u0, v0), at(u1, v0), at(u1, v1), at(u0, v1)]);
}

/** What holes leave of a rectangle, as rectangles. */
function without(r: Rectangle, holes: readonly Rectangle[]): Rectangle[] {
  let left = [r];
  for (const hole of holes) {
    left = left.flatMap((piece) => {
      const corners = [
        [0, 0],
        [hole.width, hole.height],
      ].map(([u, v]) => localPoint(piece, add(hole.origin, add(scale(hole.u, u), scale(hole.v, v)))));
      const [a, b] = [Math.min(corners[0].u, corners[1].u), Math.max(corners[0].u, corners[1].u)];
      const [c, d] = [Math.min(corners[0].v, corners[1].v), Math.max(corners[0].v, corners[1].v)];
      const { width, height } = piece;
      const least = 1e-3;
      return [
        [0, a, 0, height],
        [b, width, 0, height],
        [Math.max(0, a), Math.min(width, b), 0, c],
        [Math.max(0, a), Math.min(width, b), d, height],
      ]
        .map(([u0, u1, v0, v1]) => [
          Math.max(0, u0),
          Math.min(width, u1),
          Math.max(0, v0),
          Math.min(height, v1),
        ])
        .filter(([u0, u1, v0, v1]) => u1 - u0 > least && v1 - v0 > least)
        .map(([u0, u1, v0, v1]) => part(piece, u0, u1, v0, v1));
    });
  }
  return left;
}

/** Floor, roof, sides and end of a cavity; it lies on the side of its opening where the audience isn't. */
export function boxBehind(cavity: Cavity, { audience }: Pick<Venue, "audience">): Surface[] {
  const opening = rectangle(cavity.opening, `opening of "${cavity.name}"`);
  const people = audience.flatMap((area) => area.corners);
  const towards = people.reduce((sum, p) => sum + heightAbove(opening, p), 0) > 0 ? -1 : 1;
  const deep = scale(opening.normal, towards * cavity.depth);
  const { origin, u, v, width, height } = opening;
  const [a, b, c, d] = [
    origin,
    add(origin, scale(u, width)),
    add(add(origin, scale(u, width)), scale(v, height)),
    add(origin, scale(v, height)),
  ];
  const face = (p: Point, q: Point): Rectangle => rectangle([p, q, add(q, deep), add(p, deep)]);
  return [
    face(a, b),
    face(b, c),
    face(c, d),
    face(d, a),
    rectangle([add(a, deep), add(b, deep), add(c, deep), add(d, deep)]),
  ].map((r) => ({ name: cavity.name, rectangle: r, absorption: cavity.absorption }));
}
