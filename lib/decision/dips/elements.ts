/**
 * What of a venue may make a dip and can be taken away: its surfaces by what they are to the sources, its cavities, its groups and
 * stacks of sources.
 */
import { distance, dot, type Point } from "../../acoustics/point";
import { rectangle } from "../../field/paths/rectangle";
import type { Removable } from "../../field/taken-away";
import type { Source, Venue } from "../../venue/venue";

export type CauseKind =
  | "wall behind the subs"
  | "cavity"
  | "floor"
  | "ceiling"
  | "side wall"
  | "rear wall"
  | "other surface"
  | "other source"
  | "mains against subs";

/** A surface or a cavity that may be the cause. */
export interface Element extends Removable {
  readonly kind: CauseKind;
  /** As it is called in the venue, such as `ceiling` or `side wall, house left`. */
  readonly name: string;
}

/**
 * Surfaces and cavities of a venue. Boundaries in one plane are one surface; all floors count as one.
 *
 * @param venue  a venue
 * @param leaveOut  kinds that are not to be considered
 * @returns the largest surfaces first, then cavities
 */
export function elementsOf(venue: Venue, leaveOut: readonly CauseKind[] = []): Element[] {
  const source = middleOf(venue.sources.map((s) => s.point));
  const listener = middleOf(venue.audience.flatMap((a) => a.corners));
  const surfaces: Surface[] = [];
  venue.boundaries.forEach(({ name, corners }, i) => {
    const { normal, origin, width, height } = rectangle(corners, `boundary "${name}"`);
    const role = roleOf(name, normal, origin, source, listener);
    const offset = dot(normal, origin);
    const same = surfaces.find(
      (s) => s.kind === role.kind && (s.kind === "floor" || inOnePlane(s, normal, offset)),
    );
    if (same) {
      same.boundaries.push(i);
      same.area += width * height;
    } else surfaces.push({ ...role, boundaries: [i], normal, offset, area: width * height });
  });
  return [
    ...surfaces
      .sort((a, b) => b.area - a.area || a.boundaries[0] - b.boundaries[0])
      .map(({ kind, name, boundaries }): Element => ({ kind, name, boundaries })),
    ...venue.cavities.map(({ name }): Element => ({ kind: "cavity", name, boundaries: [], cavity: name })),
  ].filter(({ kind }) => !leaveOut.includes(kind));
}

interface Surface {
  readonly kind: CauseKind;
  readonly name: string;
  readonly boundaries: number[];
  readonly normal: Point;
  /** Along the normal, metres. */
  readonly offset: number;
  area: number;
}

/** Metres within which two rectangles lie in one plane. */
const ONE_PLANE = 0.35;

function inOnePlane(s: Surface, normal: Point, offset: number): boolean {
  const along = dot(s.normal, normal);
  return Math.abs(along) > 0.995 && Math.abs(Math.sign(along) * offset - s.offset) < ONE_PLANE;
}

/** Cosine above which a surface faces along an axis. */
const FACES = 0.8;

function roleOf(
  name: string,
  n: Point,
  origin: Point,
  source: Point,
  listener: Point,
): { kind: CauseKind; name: string } {
  if (Math.abs(n.z) > FACES) {
    const height = (p: Point) => (dot(n, p) - dot(n, origin)) * Math.sign(n.z);
    if (height(source) > -0.05 && height(listener) > -1) return { kind: "floor", name: "floor" };
    return { kind: "ceiling", name };
  }
  if (Math.abs(n.x) > FACES) {
    if (origin.x <= source.x) return { kind: "wall behind the subs", name };
    return { kind: origin.x > listener.x ? "rear wall" : "other surface", name };
  }
  if (Math.abs(n.y) > FACES) return { kind: "side wall", name };
  return { kind: "other surface", name };
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
