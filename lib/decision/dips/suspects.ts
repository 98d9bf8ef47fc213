/**
 * What in a venue could make a dip: its surfaces by what they are to the sources, its cavities, its other sources, its
 * pairs of parallel walls.
 */
import { distance, dot, type Point } from "../../acoustics/point";
import { wallsOf } from "../../field/paths/walls";
import { blockOf } from "../../venue/closed";
import type { Boundary, Source, Venue } from "../../venue/venue";

export type CauseKind =
  | "wall behind the subs"
  | "cavity"
  | "floor"
  | "ceiling"
  | "side wall"
  | "rear wall"
  | "other surface"
  | "other source"
  | "mains against subs"
  | "room mode"
  | "none of these";

/** Something that may be the cause, and the venue with nothing but it. */
export interface Suspect {
  readonly kind: CauseKind;
  /** As it is called in the venue, such as `ceiling` or `side wall, house left`. */
  readonly name: string;
  /** Sources, what they stand on, and the suspect. */
  readonly venue: Venue;
  /** The same without the suspect: its dips are not the suspect's doing. */
  readonly base: Venue;
  /** Highest number of reflections that matter. */
  readonly order: number;
}

/**
 * Suspects of a venue for one part.
 *
 * @param venue  a venue
 * @param groups  the sources that sound in this part
 * @returns one per surface, cavity, further source and pair of parallel walls
 */
export function suspects(venue: Venue, groups: readonly Source["group"][]): Suspect[] {
  const sources = venue.sources.filter((s) => groups.includes(s.group));
  if (sources.length === 0) return [];
  const bare: Venue = { ...venue, sources, boundaries: [], cavities: [] };
  const surfaces = surfacesOf(venue, middleOf(sources.map((s) => s.point)), groups.includes("subs"));
  const ground = surfaces.filter((s) => s.kind === "floor").flatMap((s) => s.boundaries);
  const standing = { ...bare, boundaries: ground };
  const found: Suspect[] = surfaces.map(({ kind, name, boundaries }) => ({
    kind,
    name,
    venue: { ...bare, boundaries: kind === "floor" ? ground : [...ground, ...boundaries] },
    base: kind === "floor" ? bare : standing,
    order: 2,
  }));
  for (const cavity of venue.cavities) {
    const hosts = hostsOf(venue, cavity.name, surfaces);
    const walls = [...ground, ...hosts.filter((b) => !ground.includes(b))];
    found.push({
      kind: "cavity",
      name: cavity.name,
      venue: { ...bare, boundaries: walls, cavities: [cavity] },
      base: { ...bare, boundaries: [...walls, ...blockOf(cavity, venue)] },
      order: 2,
    });
  }
  for (const group of groups) {
    const own = sources.filter((s) => s.group === group);
    const stacks = stacksOf(own);
    if (stacks.length < 2) continue;
    found.push({
      kind: "other source",
      name: group === "subs" ? "the other subs" : `the other ${group}`,
      venue: standing,
      base: { ...standing, sources: [...sources.filter((s) => s.group !== group), ...stacks[0]] },
      order: 1,
    });
  }
  for (const [a, b] of pairsAcross(surfaces)) {
    found.push({
      kind: "room mode",
      name: `between ${a.name} and ${b.name}`,
      venue: { ...bare, boundaries: [...ground, ...a.boundaries, ...b.boundaries] },
      base: standing,
      order: 5,
    });
  }
  return found;
}

interface Surface {
  readonly kind: CauseKind;
  readonly name: string;
  readonly boundaries: readonly Boundary[];
  readonly normal: Point;
  /** Along the normal. */
  readonly offset: number;
}

/** Metres within which two rectangles lie in one plane. */
const ONE_PLANE = 0.35;

/**
 * Boundaries gathered by plane; all floors count as one. Each is as large as the field takes it to be, so that one without its
 * neighbours keeps the edges that they close.
 */
function surfacesOf(venue: Venue, source: Point, withSubs: boolean): Surface[] {
  const listener = middleOf(venue.audience.flatMap((a) => a.corners));
  const walls = wallsOf({ boundaries: venue.boundaries, cavities: [] });
  const surfaces: Surface[] = [];
  venue.boundaries.forEach((boundary, i) => {
    const { rectangle: r, above, below } = walls[i];
    const { extent } = dot(r.normal, r.origin) < dot(r.normal, source) ? above : below;
    const reach = (x: number) => Math.max(-ENDLESS, Math.min(ENDLESS, x));
    const corner = (u: number, v: number): Point => ({
      x: r.origin.x + r.u.x * u + r.v.x * v,
      y: r.origin.y + r.u.y * u + r.v.y * v,
      z: r.origin.z + r.u.z * u + r.v.z * v,
    });
    const [u0, u1, v0, v1] = [extent.fromU, extent.toU, extent.fromV, extent.toV].map(reach);
    const whole: Boundary = {
      ...boundary,
      corners: [corner(u0, v0), corner(u1, v0), corner(u1, v1), corner(u0, v1)],
    };
    const { kind, name } = roleOf(boundary.name, r.normal, r.origin, source, listener, withSubs);
    const offset = dot(r.normal, r.origin);
    const same = surfaces.findIndex(
      (s) =>
        s.kind === kind &&
        (kind === "floor" ||
          (Math.abs(dot(s.normal, r.normal)) > 0.995 &&
            Math.abs(Math.abs(offset) - Math.abs(s.offset)) < ONE_PLANE &&
            Math.sign(dot(s.normal, r.normal)) * offset * s.offset >= 0)),
    );
    if (same < 0) surfaces.push({ kind, name, boundaries: [whole], normal: r.normal, offset });
    else surfaces[same] = { ...surfaces[same], boundaries: [...surfaces[same].boundaries, whole] };
  });
  return surfaces;
}

/** Metres: an endless wall drawn as a rectangle. */
const ENDLESS = 1000;
/** Cosine above which a surface faces along an axis. */
const FACES = 0.8;

function roleOf(
  name: string,
  n: Point,
  origin: Point,
  source: Point,
  listener: Point,
  withSubs: boolean,
): { kind: CauseKind; name: string } {
  if (Math.abs(n.z) > FACES) {
    const height = (p: Point) => (dot(n, p) - dot(n, origin)) * Math.sign(n.z);
    if (height(source) > -0.05 && height(listener) > -1) return { kind: "floor", name: "floor" };
    return { kind: "ceiling", name };
  }
  if (Math.abs(n.x) > FACES) {
    if (origin.x <= source.x) {
      return { kind: withSubs ? "wall behind the subs" : "other surface", name };
    }
    return { kind: origin.x > listener.x ? "rear wall" : "other surface", name };
  }
  if (Math.abs(n.y) > FACES) return { kind: "side wall", name };
  return { kind: "other surface", name };
}

/** Walls from front to rear and from side to side; floor and ceiling are the ceiling's own path to a listener. */
function pairsAcross(surfaces: readonly Surface[]): [Surface, Surface][] {
  const pairs: [Surface, Surface][] = [];
  const upright = surfaces.filter((s) => Math.abs(s.normal.z) < 0.2);
  upright.forEach((a, i) => {
    for (const b of upright.slice(i + 1)) {
      const facing = Math.abs(dot(a.normal, b.normal)) > 0.995;
      const apart = Math.abs(
        dot(a.normal, a.boundaries[0].corners[0]) - dot(a.normal, b.boundaries[0].corners[0]),
      );
      if (facing && apart > 3 && a.kind !== "other surface" && b.kind !== "other surface") pairs.push([a, b]);
    }
  });
  return pairs;
}

function hostsOf(venue: Venue, cavity: string, surfaces: readonly Surface[]): Boundary[] {
  const wall = wallsOf(venue).find((w) => w.cavity?.name === cavity);
  if (wall?.host === undefined) return [];
  const { name } = venue.boundaries[wall.host];
  return surfaces.flatMap((s) => s.boundaries.filter((b) => b.name === name));
}

/** Metres within which cabinets stand together as one source. */
const TOGETHER = 2.2;

/** Sources that stand together, nearest neighbour to nearest neighbour. */
export function stacksOf(sources: readonly Source[]): Source[][] {
  const stacks: Source[][] = [];
  for (const source of sources) {
    const near = stacks.filter((stack) => stack.some((s) => distance(s.point, source.point) < TOGETHER));
    const joined = [source, ...near.flat()];
    for (const stack of near) stacks.splice(stacks.indexOf(stack), 1);
    stacks.push(joined);
  }
  return stacks;
}

function middleOf(points: readonly Point[]): Point {
  const n = Math.max(1, points.length);
  const sum = points.reduce((s, p) => ({ x: s.x + p.x, y: s.y + p.y, z: s.z + p.z }), { x: 0, y: 0, z: 0 });
  return { x: sum.x / n, y: sum.y / n, z: sum.z / n };
}
