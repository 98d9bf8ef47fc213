/**
 * The rectangles that paths meet: the venue's boundaries, and the openings of its cavities.
 *
 * Where an edge adjoins another boundary the wave front finds no gap. Room acoustics makes such corners by images:
 * the neighbour mirrors the wall. So a wall goes on, beyond an edge where it meets a neighbour, as its own mirror
 * image, and beyond two such edges without end. Only free edges diffract. What a wall shadows is another matter: see
 * `screens.ts`.
 */
import { add, type Point, scale } from "../../acoustics/point";
import type { BandValues, Cavity, Venue } from "../../venue/venue";
import type { Extent } from "./finite-size";
import { cornersOf, heightAbove, localPoint, type Rectangle, rectangle } from "./rectangle";

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
    const others = neighbours.filter((other) => other !== r && !(isOpening && holds(other, r)));
    return { above: side(r, others, 1), below: side(r, others, -1) };
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
export const NEAR = 0.05;
/**
 * Metres within which a neighbour still closes an edge: a quarter wavelength at 43 Hz. Looked for from as far
 * beyond the edge to the wall's middle, at two heights above it; two fifths of the edge must be closed, for real
 * floors and walls seldom meet all along.
 */
const GAP = 2;
/** Metres by which a neighbour may miss; less than the lower of the two heights, for what ends at the edge is on one side of it. */
const BESIDE = 0.8 * NEAR;
/** Where along an edge neighbours are looked for. */
export const ALONG = [0.05, 0.275, 0.5, 0.725, 0.95];
/** Of these, how many must find one. */
export const CLOSED = 2;

function side(r: Rectangle, others: readonly Rectangle[], sign: 1 | -1): Side {
  const joined = adjoining(r, others, sign).map((neighbours) => neighbours.length > 0);
  return { extent: extentOf(r, joined), joined: joined as [boolean, boolean, boolean, boolean] };
}

/**
 * Which rectangles close the edges of one, seen from one side of it, in the order of `Side.joined`; none where an edge is free.
 *
 * @param others  the other rectangles
 * @param sign  1 on the normal's side, -1 on the other
 */
export function adjoining(r: Rectangle, others: readonly Rectangle[], sign: 1 | -1): Rectangle[][] {
  const gap = gapOf(r);
  return edgesOf(r).map(({ from, to, outward, across }) => {
    const found = new Set<Rectangle>();
    const closed = ALONG.filter((t) => {
      const edge = add(scale(from, 1 - t), scale(to, t));
      const middle = add(edge, scale(outward, -across / 2));
      const beyond = add(edge, scale(outward, gap));
      const here = others.filter((other) =>
        [NEAR, gap].some((height) => {
          const lift = scale(r.normal, sign * height);
          return meets(other, add(beyond, lift), add(middle, lift), BESIDE);
        }),
      );
      for (const other of here) found.add(other);
      return here.length > 0;
    });
    return closed.length >= CLOSED ? [...found] : [];
  });
}

/** How far beyond a rectangle's edges neighbours are looked for, metres. */
export const gapOf = (r: Rectangle): number => Math.min(GAP, Math.min(r.width, r.height) / 2);

/** A rectangle's edges in the order of `Side.joined`: their ends, the direction out of it, and its size in that direction. */
export function edgesOf(r: Rectangle) {
  const [a, b, c, d] = cornersOf(r);
  return [
    { from: a, to: d, outward: scale(r.u, -1), across: r.width },
    { from: b, to: c, outward: r.u, across: r.width },
    { from: a, to: b, outward: scale(r.v, -1), across: r.height },
    { from: d, to: c, outward: r.v, across: r.height },
  ] as const;
}

/** How far a rectangle goes whose closed edges make it go on. */
export function extentOf({ width, height }: Rectangle, closed: ArrayLike<boolean>): Extent {
  const [fromU, toU] = range(closed[0], closed[1], width);
  const [fromV, toV] = range(closed[2], closed[3], height);
  return { fromU, toU, fromV, toV };
}

/** True where a rectangle, or what is as near to its edges as told, crosses the line between two points, or touches it. */
export function meets(r: Rectangle, from: Point, to: Point, near: number): boolean {
  const a = heightAbove(r, from);
  const b = heightAbove(r, to);
  if (a * b > 0) return false;
  const fraction = a === b ? 0 : a / (a - b);
  const { u, v } = localPoint(r, add(scale(from, 1 - fraction), scale(to, fraction)));
  return u >= -near && v >= -near && u <= r.width + near && v <= r.height + near;
}

function range(joinedAtStart: boolean, joinedAtEnd: boolean, length: number): [number, number] {
  if (joinedAtStart && joinedAtEnd) return [-Infinity, Infinity];
  return [joinedAtStart ? -length : 0, joinedAtEnd ? 2 * length : length];
}

/** True where a point lies on a rectangle. */
export function touches(r: Rectangle, point: Point): boolean {
  if (Math.abs(heightAbove(r, point)) > NEAR) return false;
  const { u, v } = localPoint(r, point);
  return u >= -NEAR && v >= -NEAR && u <= r.width + NEAR && v <= r.height + NEAR;
}

function holds(wall: Rectangle, opening: Rectangle): boolean {
  return cornersOf(opening).every((corner) => touches(wall, corner));
}
