/**
 * The paths from a source to a place: direct and over the walls, with what finite walls and obstructions do to
 * each.
 */
import type { Point } from "../../acoustics/point";
import {
  type Crossing,
  type Detours,
  detours,
  isWhole,
  mostPassed,
  mostReflected,
  type Obstruction,
  obstruction as obstructionOf,
} from "./finite-size";
import { type Hit, type Image, isInside, trace } from "./images";
import type { Rectangle } from "./rectangle";
import { type Standpoint, screensOf } from "./screens";
import type { Wall } from "./walls";

export interface Path {
  readonly image: Image;
  /** Metres. */
  readonly length: number;
  /** Where it meets walls, the last one first. */
  readonly hits: readonly Hit[];
  /** For each hit the detours over the wall's edges; absent where the wall has no free edge. */
  readonly edges: readonly (Detours | undefined)[];
  /** What stands in the way, or near it: one for each obstacle. */
  readonly obstructions: readonly Obstruction[];
}

export interface PathOptions {
  /** False: every rectangle acts as a piece cut from an endless wall, sharply bounded. */
  readonly finiteSize: boolean;
  /** False: walls are transparent where a path crosses one. */
  readonly obstruction: boolean;
}

/**
 * Makes the function that finds the path from an image to a place.
 *
 * @param walls  the walls, in the order of the images' `wall`
 * @param options  what to take into account
 * @returns the path, or undefined where the image is not heard
 */
export function pathFinder(
  walls: readonly Wall[],
  { finiteSize, obstruction }: PathOptions,
): (image: Image, position: Point) => Path | undefined {
  const rectangles = walls.map((w) => w.rectangle);
  const heights = heightsAbove(rectangles);
  const screens = walls.flatMap((w, i) => (obstruction && !w.cavity ? [i] : []));
  const obstructionsOf = obstructionFinder(walls, screens, heights);
  const edgesOf = (hit: Hit): Detours => {
    const wall = walls[hit.wall];
    return detours(hit, (hit.above ? wall.above : wall.below).extent);
  };
  const accept = (hit: Hit): boolean => {
    if (isInside(hit, rectangles[hit.wall])) return true;
    if (!finiteSize) return false;
    const wall = walls[hit.wall];
    const [start, end, bottom, top] = (hit.above ? wall.above : wall.below).joined;
    const { width, height } = wall.rectangle;
    if ((start && hit.u < 0) || (end && hit.u > width) || (bottom && hit.v < 0) || (top && hit.v > height))
      return false;
    return mostReflected(edgesOf(hit), LONG) > LEAST;
  };
  const ofPosition = new Float64Array(rectangles.length);
  let asked: Point | undefined;
  return (image, position) => {
    // One place is asked for with many images, half of which lie on its own side of their wall.
    if (position !== asked) heights(position, ofPosition);
    asked = position;
    if (image.parent && image.height * ofPosition[image.wall] > 0) return undefined;
    const hits = trace(image, position, rectangles, accept);
    if (!hits) return undefined;
    const length = between(image.point, position);
    const source = sourceOf(image).point;
    // What the path is worth beside the direct sound, before edges and obstructions.
    const relativeAmplitude = between(source, position) / length;
    const edges = hits.map((hit) => {
      if (!finiteSize) return undefined;
      const d = edgesOf(hit);
      return isWhole(d) || mostPassed(d, LONG) * relativeAmplitude < LEAST ? undefined : d;
    });
    const obstructions = obstructionsOf(source, hits, position, ofPosition, length, relativeAmplitude);
    const most =
      edges.reduce((product, d) => product * (d ? mostReflected(d, LONG) : 1), relativeAmplitude) *
      obstructions.reduce((product, o) => product * mostPassed(o.detours, LONG, o), 1);
    const weak = hits.length > 0 && most < relativeAmplitude && most < LEAST;
    return weak ? undefined : { image, length, hits, edges, obstructions };
  };
}

/**
 * Edges and obstructions, and paths weakened by them, are left out where at this wavelength, metres, they could
 * change the sum by less than this part of the direct sound's amplitude; at shorter wavelengths it is less still.
 */
const LONG = 8.6;
const LEAST = 0.1;

/** Distance of two points; its own, for here all have one shape. */
function between(a: Point, b: Point): number {
  const x = a.x - b.x;
  const y = a.y - b.y;
  const z = a.z - b.z;
  return Math.sqrt(x * x + y * y + z * z);
}

function sourceOf(image: Image): Image {
  let source = image;
  while (source.parent) source = source.parent;
  return source;
}

/**
 * Makes the function that finds what stands in the way of a path, or near it.
 *
 * @param screens  which of the walls may
 */
function obstructionFinder(
  walls: readonly Wall[],
  screens: readonly number[],
  heights: ReturnType<typeof heightsAbove>,
) {
  const scratch = [0, 1].map(() => new Float64Array(walls.length));
  const isScreen = new Set(screens);
  const { standpoint, obstacles, extent, isBeyondCorner } = screensOf(
    walls.map((w) => w.rectangle),
    (wall) => isScreen.has(wall),
  );
  // A source is asked for with many places, a place with many images.
  const ofSources = new Map<Point, Emitter>();
  const emitter = (point: Point): Emitter => {
    const known = ofSources.get(point);
    if (known) return known;
    const stands = standpoint(point);
    let groups: Int32Array | undefined;
    const made: Emitter = {
      stands,
      heights: heights(point, new Float64Array(walls.length)),
      isOneObstacle: (a, b) => {
        groups ??= obstacles(stands);
        return groups[a] === groups[b];
      },
    };
    ofSources.set(point, made);
    return made;
  };
  let place: Standpoint | undefined;
  return (
    source: Point,
    hits: readonly Hit[],
    to: Point,
    heightsOfPlace: Float64Array,
    length: number,
    relativeAmplitude: number,
  ): readonly Obstruction[] => {
    let found: Found[] | undefined;
    const from = emitter(source);
    let end = to;
    let above = heightsOfPlace;
    let after = 0;
    for (let i = 0; i <= hits.length; i++) {
      const start = i < hits.length ? hits[i].point : source;
      const below = i < hits.length ? heights(start, scratch[i % 2]) : from.heights;
      for (const s of screens) {
        const a = below[s];
        const b = above[s];
        if (!(a * b < 0) || Math.abs(a) < AT_WALL || Math.abs(b) < AT_WALL) continue;
        const at = crossingOf(walls[s].rectangle, start, end, a / (a - b), length - after, after);
        if (place?.point !== to) place = standpoint(to);
        const reach = extent(s, from.stands, place);
        const d = detours(at, reach);
        if (mostReflected(d, LONG) * relativeAmplitude <= LEAST) continue;
        if (isBeyondCorner(s, at.u, at.v, from.stands, place)) continue;
        found ??= [];
        const obstruction = obstructionOf(at, reach, d);
        addFound(found, { obstruction, depth: Math.min(d[0], d[1], d[2], d[3]), wall: s, leg: i }, from);
      }
      if (i < hits.length) after = hits[i].after;
      end = start;
      above = below;
    }
    return found ? found.map((f) => f.obstruction) : NONE;
  };
}

interface Emitter {
  readonly stands: Standpoint;
  readonly heights: Float64Array;
  isOneObstacle(a: number, b: number): boolean;
}

interface Found {
  readonly obstruction: Obstruction;
  /** The detour over the nearest edge, negative where the path passes beside the screen. */
  readonly depth: number;
  readonly wall: number;
  readonly leg: number;
}

/** Of an obstacle's faces, the one counts that the leg has the longest way round. */
function addFound(found: Found[], next: Found, from: Emitter): void {
  const same = found.findIndex((f) => f.leg === next.leg && from.isOneObstacle(f.wall, next.wall));
  if (same < 0) found.push(next);
  else if (next.depth > found[same].depth) found[same] = next;
}

const NONE: readonly Obstruction[] = [];

/** Makes the function that writes a point's heights above all planes; they are asked for at every leg of every path. */
function heightsAbove(rectangles: readonly Rectangle[]): (point: Point, into: Float64Array) => Float64Array {
  const planes = Float64Array.from(
    rectangles.flatMap(({ normal, offset }) => [normal.x, normal.y, normal.z, offset]),
  );
  return ({ x, y, z }, into) => {
    for (let i = 0, at = 0; at < planes.length; i++, at += 4)
      into[i] = x * planes[at] + y * planes[at + 1] + z * planes[at + 2] - planes[at + 3];
    return into;
  };
}

/** Where the leg of a path between two points passes through a rectangle's plane, after a share of its length. */
function crossingOf(
  { origin, u, v }: Rectangle,
  from: Point,
  to: Point,
  fraction: number,
  travelledAtEnd: number,
  after: number,
): Crossing {
  const x = to.x - from.x;
  const y = to.y - from.y;
  const z = to.z - from.z;
  const whole = Math.sqrt(x * x + y * y + z * z);
  const alongU = x * u.x + y * u.y + z * u.z;
  const alongV = x * v.x + y * v.y + z * v.z;
  const a = from.x - origin.x;
  const b = from.y - origin.y;
  const c = from.z - origin.z;
  const rest = whole * (1 - fraction);
  return {
    u: a * u.x + b * u.y + c * u.z + fraction * alongU,
    v: a * v.x + b * v.y + c * v.z + fraction * alongV,
    before: travelledAtEnd - rest,
    after: after + rest,
    cosU: alongU / whole,
    cosV: alongV / whole,
  };
}

/** Metres; a leg that ends at a wall does not pass through it. */
const AT_WALL = 1e-6;
