/**
 * The paths from a source to a place: direct and over the walls, with what finite walls and obstructions do to
 * each.
 */
import { distance, dot, norm, type Point, plainPoint, scale, subtract } from "../acoustics/point";
import { type Detours, detours, isWhole, mostPassed, mostReflected } from "./finite-size";
import { type Hit, type Image, isInside, trace } from "./images";
import { heightAbove, localPoint, type Rectangle } from "./rectangle";
import type { Wall } from "./walls";

export interface Path {
  readonly image: Image;
  /** Metres. */
  readonly length: number;
  /** Where it meets walls, the last one first. */
  readonly hits: readonly Hit[];
  /** For each hit the detours over the wall's edges; absent where the wall has no free edge. */
  readonly edges: readonly (Detours | undefined)[];
  /** Detours over the edges of every wall that stands in the way. */
  readonly obstructions: readonly Detours[];
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
): (image: Image, place: Point) => Path | undefined {
  const rectangles = walls.map((w) => w.rectangle);
  const screens = obstruction ? walls.filter((w) => !w.cavity) : [];
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
  return (image, at) => {
    const place = plainPoint(at);
    const hits = trace(image, place, rectangles, accept);
    if (!hits) return undefined;
    const length = distance(image.point, place);
    // What the path is worth beside the direct sound, before edges and obstructions.
    const worth = distance(sourceOf(image).point, place) / length;
    const edges = hits.map((hit) => {
      if (!finiteSize) return undefined;
      const d = edgesOf(hit);
      return isWhole(d) || mostPassed(d, LONG) * worth < LEAST ? undefined : d;
    });
    const obstructions = screens.length > 0 ? obstructionsOf(image, hits, place, length, screens, worth) : [];
    const most =
      edges.reduce((product, d) => product * (d ? mostReflected(d, LONG) : 1), worth) *
      obstructions.reduce((product, d) => product * mostPassed(d, LONG), 1);
    const weak = hits.length > 0 && most < worth && most < LEAST;
    return weak ? undefined : { image, length, hits, edges, obstructions };
  };
}

/**
 * Edges and obstructions, and paths weakened by them, are left out where at this wavelength, metres, they could
 * change the sum by less than this part of the direct sound's amplitude; at shorter wavelengths it is less still.
 */
const LONG = 8.6;
const LEAST = 0.1;

function sourceOf(image: Image): Image {
  let source = image;
  while (source.parent) source = source.parent;
  return source;
}

function obstructionsOf(
  image: Image,
  hits: readonly Hit[],
  place: Point,
  length: number,
  screens: readonly Wall[],
  worth: number,
): Detours[] {
  const found: Detours[] = [];
  const source = sourceOf(image);
  let to = place;
  let after = 0;
  for (let i = 0; i <= hits.length; i++) {
    const from = i < hits.length ? hits[i].point : source.point;
    for (const screen of screens) {
      const crossing = crossingOf(screen.rectangle, from, to, length - after);
      if (!crossing) continue;
      const d = detours({ ...crossing, after: crossing.after + after }, screen.screen);
      if (mostReflected(d, LONG) * worth > LEAST) found.push(d);
    }
    if (i < hits.length) after = hits[i].after;
    to = from;
  }
  return found;
}

/** Where the leg of a path between two points passes through a rectangle's plane; undefined where it does not. */
function crossingOf(r: Rectangle, from: Point, to: Point, travelledAtEnd: number) {
  const a = heightAbove(r, from);
  const b = heightAbove(r, to);
  if (!(a * b < 0) || Math.abs(a) < AT_WALL || Math.abs(b) < AT_WALL) return undefined;
  const leg = subtract(to, from);
  const whole = norm(leg);
  const share = a / (a - b);
  const { u, v } = localPoint(r, subtract(from, scale(leg, -share)));
  const after = whole * (1 - share);
  return {
    u,
    v,
    before: travelledAtEnd - after,
    after,
    cosU: dot(leg, r.u) / whole,
    cosV: dot(leg, r.v) / whole,
  };
}

/** Metres; a leg that ends at a wall does not pass through it. */
const AT_WALL = 1e-6;
