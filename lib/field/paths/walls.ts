/**
 * The rectangles that paths meet: the venue's boundaries, and the openings of its cavities.
 *
 * Where an edge adjoins another boundary the wave front finds no gap. Room acoustics makes such corners by images:
 * the neighbour mirrors the wall. So a wall goes on, beyond an edge where it meets a neighbour, as its own mirror
 * image, and beyond two such edges without end. Only free edges diffract.
 */
import { add, type Point, scale } from "../../acoustics/point";
import type { BandValues, Cavity, Venue } from "../../venue/venue";
import type { Extent } from "./finite-size";
import { heightAbove, localPoint, type Rectangle, rectangle } from "./rectangle";

export interface Wall {
  readonly name: string;
  readonly rectangle: Rectangle;
  readonly absorption: BandValues;
  /** The cavity whose opening this is; absent for a boundary. */
  readonly cavity?: Cavity;
  /** Index of the boundary that the opening lies in. */
  readonly host?: number;
  /** Seen from the normal's side and from the other. */
  readonly above: Side;
  readonly below: Side;
  /** How far it goes for a wave front that it stands in the way of: shut on either side is shut. */
  readonly screen: Extent;
}

export interface Side {
  /** How far the wall goes for a wave front that meets it. */
  readonly extent: Extent;
  /** Which edges adjoin another boundary there: at u = 0, at u = width, at v = 0, at v = height. */
  readonly joined: readonly [boolean, boolean, boolean, boolean];
}

/**
 * Walls of a venue: boundaries first, in their order, then openings.
 *
 * @throws RangeError when a rectangle has a side of no length
 */
export function wallsOf(venue: Pick<Venue, "boundaries" | "cavities">): Wall[] {
  const boundaries = venue.boundaries.map((b) => ({
    name: b.name,
    rectangle: rectangle(b.corners, `boundary "${b.name}"`),
    absorption: b.absorption,
  }));
  const openings = venue.cavities.map((cavity) => ({
    name: cavity.name,
    rectangle: rectangle(cavity.opening, `opening of "${cavity.name}"`),
    absorption: cavity.absorption,
    cavity,
  }));
  const neighbours = boundaries.map((b) => b.rectangle);
  const sides = (r: Rectangle, isOpening: boolean) => {
    const above = side(r, neighbours, 1, isOpening);
    const below = side(r, neighbours, -1, isOpening);
    return { above, below, screen: union(above.extent, below.extent) };
  };
  return [
    ...boundaries.map((b) => ({ ...b, ...sides(b.rectangle, false) })),
    ...openings.map((o) => {
      const host = neighbours.findIndex((wall) => holds(wall, o.rectangle));
      return { ...o, ...sides(o.rectangle, true), ...(host >= 0 ? { host } : {}) };
    }),
  ];
}

/** Metres within which planes coincide. */
const NEAR = 0.05;
/**
 * Metres within which a neighbour still closes an edge: a quarter wavelength at 43 Hz. Looked for from as far
 * beyond the edge to the wall's middle, at two heights above it; two fifths of the edge must be closed, for real
 * floors and walls seldom meet all along.
 */
const GAP = 2;

function side(r: Rectangle, others: readonly Rectangle[], sign: 1 | -1, isOpening: boolean): Side {
  const neighbours = others.filter((other) => other !== r && !(isOpening && holds(other, r)));
  const [a, b, c, d] = cornersOf(r);
  const edges = [
    [a, d, scale(r.u, -1), r.width],
    [b, c, r.u, r.width],
    [a, b, scale(r.v, -1), r.height],
    [d, c, r.v, r.height],
  ] as const;
  const joined = edges.map(([from, to, outward, across]) => {
    const gap = Math.min(GAP, Math.min(r.width, r.height) / 2);
    const adjoining = [0.05, 0.275, 0.5, 0.725, 0.95].filter((t) => {
      const edge = add(scale(from, 1 - t), scale(to, t));
      const middle = add(edge, scale(outward, -across / 2));
      const beyond = add(edge, scale(outward, gap));
      return [NEAR, gap].some((height) => {
        const lift = scale(r.normal, sign * height);
        return neighbours.some((other) => meets(other, add(beyond, lift), add(middle, lift)));
      });
    });
    return adjoining.length >= 2;
  });
  const [fromU, toU] = range(joined[0], joined[1], r.width);
  const [fromV, toV] = range(joined[2], joined[3], r.height);
  return { extent: { fromU, toU, fromV, toV }, joined: joined as [boolean, boolean, boolean, boolean] };
}

/** True where a rectangle crosses the line between two points, or touches it. */
function meets(r: Rectangle, from: Point, to: Point): boolean {
  const a = heightAbove(r, from);
  const b = heightAbove(r, to);
  if (a * b > 0) return false;
  const fraction = a === b ? 0 : a / (a - b);
  const { u, v } = localPoint(r, add(scale(from, 1 - fraction), scale(to, fraction)));
  return u >= -NEAR && v >= -NEAR && u <= r.width + NEAR && v <= r.height + NEAR;
}

function union(a: Extent, b: Extent): Extent {
  return {
    fromU: Math.min(a.fromU, b.fromU),
    toU: Math.max(a.toU, b.toU),
    fromV: Math.min(a.fromV, b.fromV),
    toV: Math.max(a.toV, b.toV),
  };
}

function range(joinedAtStart: boolean, joinedAtEnd: boolean, length: number): [number, number] {
  if (joinedAtStart && joinedAtEnd) return [-Infinity, Infinity];
  return [joinedAtStart ? -length : 0, joinedAtEnd ? 2 * length : length];
}

function touches(r: Rectangle, point: Point): boolean {
  if (Math.abs(heightAbove(r, point)) > NEAR) return false;
  const { u, v } = localPoint(r, point);
  return u >= -NEAR && v >= -NEAR && u <= r.width + NEAR && v <= r.height + NEAR;
}

function holds(wall: Rectangle, opening: Rectangle): boolean {
  return cornersOf(opening).every((corner) => touches(wall, corner));
}

function cornersOf(r: Rectangle): [Point, Point, Point, Point] {
  const right = scale(r.u, r.width);
  const up = scale(r.v, r.height);
  const b = add(r.origin, right);
  return [r.origin, b, add(b, up), add(r.origin, up)];
}
