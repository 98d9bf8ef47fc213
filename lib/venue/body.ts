/**
 * The body that a closed cabinet is part of: with those that it touches, and with its mirror image in the floor that it stands on.
 *
 * Below some 200 Hz a box acts as the rigid sphere of its volume does, whatever its shape: its pattern is that sphere's, and it sounds from
 * 0.62 of the radius before its front. Boundary elements find 0.55 to 0.73 for single boxes and blocks; a wall close behind, and
 * cabinets that stand near without touching, are left out.
 *
 * @source centre: Vanderkooy, The acoustic center: a new concept for loudspeakers at low frequencies, AES Convention 121 (2006), paper
 *   6912; Jacobsen, Barrera Figueroa and Rasmussen, J. Acoust. Soc. Am. 115 (2004), 1468-1473 (both from memory); the factor: boundary elements;
 *   check: tests/venue/body.test.ts
 */
import { cross, dot, subtract } from "../acoustics/point";
import { distanceAlong, heightOver } from "./shape";
import type { Boundary, Source } from "./venue";

export interface Body {
  /** Of the sphere of its volume, metres. */
  readonly radius: number;
  /** How far before its front it sounds from, metres. */
  readonly centre: number;
}

/** Metres from the front to the acoustic centre by radius of the sphere. */
const AHEAD = 0.62;

/**
 * Bodies of sources.
 *
 * @param sources  as they stand
 * @param boundaries  what they may stand on
 * @returns one for each source
 */
export function bodiesOf(sources: readonly Source[], boundaries: readonly Boundary[]): Body[] {
  const bodies = new Array<Body>(sources.length);
  for (const members of touching(sources)) {
    const one = members.map((i) => sources[i]);
    const stands = one.some((source) => standsOn(source, boundaries));
    const radius = radiusOf(one, stands);
    for (const i of members) {
      const { point, axis } = sources[i];
      const free = Math.min(...boundaries.map((boundary) => ahead(boundary, point, axis)));
      // A front close before a wall sounds from between the two.
      bodies[i] = { radius, centre: Math.min(AHEAD * radius, free / 2) };
    }
  }
  return bodies;
}

/** Metres from a front to a boundary before it, along its axis. */
function ahead(boundary: Boundary, point: Source["point"], axis: Source["axis"]): number {
  const metres = distanceAlong(boundary, point, axis);
  return metres > 0 ? metres : Number.POSITIVE_INFINITY;
}

/** What is longer than this many times its other side acts as what is cut off there: its ends are too far from its middle. */
const LONGEST = 4;

function radiusOf(members: readonly Source[], onFloor: boolean): number {
  const volume = members.reduce((sum, { size }) => sum + size.width * size.height * size.depth, 0);
  const [width, height] = (["width", "height"] as const).map((side) => {
    const at = members.map((m) => inFront(members[0], m)[side]);
    const half = members.map((m) => m.size[side] / 2);
    return Math.max(...at.map((x, i) => x + half[i])) - Math.min(...at.map((x, i) => x - half[i]));
  });
  const up = onFloor ? 2 * height : height;
  const cut = Math.min(1, (LONGEST * Math.min(width, up)) / Math.max(width, up));
  return ((3 * cut * volume * (onFloor ? 2 : 1)) / (4 * Math.PI)) ** (1 / 3);
}

/** Metres within which cabinets touch, or the floor. */
const GAP = 0.1;
/** Cosine above which two face one way. */
const ALIKE = 0.95;

/** Indices of sources, by body. */
function touching(sources: readonly Source[]): number[][] {
  const body = sources.map((_, i) => i);
  const root = (i: number): number => {
    let at = i;
    while (body[at] !== at) at = body[at];
    return at;
  };
  sources.forEach((source, i) => {
    for (let j = 0; j < i; j++) if (touch(sources[j], source)) body[root(i)] = root(j);
  });
  const members = new Map<number, number[]>();
  sources.forEach((_, i) => {
    members.set(root(i), [...(members.get(root(i)) ?? []), i]);
  });
  return [...members.values()];
}

function touch(a: Source, b: Source): boolean {
  const nearest = (a.size.width + b.size.width + a.size.height + b.size.height) / 2 + GAP;
  if (Math.abs(a.point.x - b.point.x) > nearest || Math.abs(a.point.y - b.point.y) > nearest) return false;
  if (a.group !== b.group || dot(a.axis, b.axis) < ALIKE) return false;
  const { forward, width, height } = inFront(a, b);
  return (
    Math.abs(forward) < GAP &&
    Math.abs(width) < (a.size.width + b.size.width) / 2 + GAP &&
    Math.abs(height) < (a.size.height + b.size.height) / 2 + GAP
  );
}

/** Where one cabinet is from another, in the other's own directions, metres. */
function inFront(from: Source, to: Source) {
  const way = subtract(to.point, from.point);
  return {
    forward: dot(way, from.axis),
    width: dot(way, cross(from.axis, from.up)),
    height: dot(way, from.up),
  };
}

function standsOn({ point, axis, up, size }: Source, boundaries: readonly Boundary[]): boolean {
  if (Math.abs(axis.z) > 0.3) return false;
  const half = (Math.abs(up.z) * size.height + Math.abs(cross(axis, up).z) * size.width) / 2;
  return boundaries.some((boundary) => {
    const height = heightOver(boundary, point);
    return height < 0 && -height < half + GAP;
  });
}
