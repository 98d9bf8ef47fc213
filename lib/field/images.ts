/**
 * Image sources in flat rectangles, to any order, and the paths that reach a place.
 *
 * A reflection comes from the mirror image of the source in the plane; a reflection of a reflection from the mirror
 * image of that image. Which images a place hears is found by tracing back: the line from the place to the last image must pass the
 * last rectangle, from there to the image before it the rectangle before, and so on to the source. (Allen and Berkley,
 * J. Acoust. Soc. Am. 65 (1979) for the method; Borish, J. Acoust. Soc. Am. 75 (1984) for the visibility test.)
 */
import { add, dot, type Point, scale, subtract } from "../acoustics/point";
import { heightAbove, mirrorDirection, mirrorPoint, type Rectangle } from "./rectangle";

export interface Image {
  /** The image itself, and the image it was mirrored from; the source has none. */
  readonly point: Point;
  readonly parent?: Image;
  /** Index of the rectangle it was mirrored in; -1 for the source. */
  readonly wall: number;
  /** Number of reflections. */
  readonly order: number;
  /** The cabinet's axis and height direction, mirrored along. */
  readonly axis: Point;
  readonly up: Point;
}

/** The place where a path meets a rectangle: how far it lies from the rectangle's first corner along its sides. */
export interface Hit {
  readonly wall: number;
  /** Metres along the sides u and v; outside 0…width and 0…height where the line passes beside the rectangle. */
  readonly u: number;
  readonly v: number;
  /** Metres along the path before and after the hit. */
  readonly before: number;
  readonly after: number;
  /** Cosines between the path and the sides. */
  readonly cosU: number;
  readonly cosV: number;
}

/**
 * The source and its images to an order, parents before children.
 *
 * @param source  place and orientation of the source
 * @param walls  the rectangles
 * @param order  highest number of reflections, 0 for the source alone
 */
export function images(
  source: { readonly point: Point; readonly axis: Point; readonly up: Point },
  walls: readonly Rectangle[],
  order: number,
): Image[] {
  if (!(Number.isInteger(order) && order >= 0)) {
    throw new RangeError(`the order of reflections is a whole number from 0 up, found ${order}`);
  }
  const { point, axis, up } = source;
  const all: Image[] = [{ point, axis, up, wall: -1, order: 0 }];
  for (let i = 0; i < all.length; i++) {
    const parent = all[i];
    if (parent.order === order) continue;
    walls.forEach((wall, index) => {
      if (index === parent.wall) return;
      all.push({
        point: mirrorPoint(wall, parent.point),
        axis: mirrorDirection(wall, parent.axis),
        up: mirrorDirection(wall, parent.up),
        wall: index,
        order: parent.order + 1,
        parent,
      });
    });
  }
  return all;
}

/**
 * Where the path from an image to a place meets the rectangles, last reflection first; undefined when it does not exist.
 *
 * @param image  the image
 * @param place  the place
 * @param walls  the rectangles the image was made with
 * @param beyond  how far beside a rectangle, metres, a line still counts, asked for each hit; 0 for the sharp test
 */
export function trace(
  image: Image,
  place: Point,
  walls: readonly Rectangle[],
  beyond: (hit: Hit) => boolean,
): Hit[] | undefined {
  const hits: Hit[] = [];
  let target = place;
  let after = 0;
  for (let at: Image = image; at.parent; at = at.parent) {
    const wall = walls[at.wall];
    const a = heightAbove(wall, at.point);
    const b = heightAbove(wall, target);
    // The image lies behind the wall, the listener before it. A source in the plane itself (a = 0) is its own image.
    if (a * b > 0 || Math.abs(b) < ON_PLANE) return undefined;
    const line = subtract(target, at.point);
    const whole = Math.hypot(line.x, line.y, line.z);
    const share = Math.abs(a) / (Math.abs(a) + Math.abs(b));
    const point = add(at.point, scale(line, share));
    const local = subtract(point, wall.origin);
    const before = whole * share;
    const hit: Hit = {
      wall: at.wall,
      u: dot(local, wall.u),
      v: dot(local, wall.v),
      before,
      after: after + whole - before,
      cosU: dot(line, wall.u) / whole,
      cosV: dot(line, wall.v) / whole,
    };
    const inside =
      hit.u >= -ON_PLANE &&
      hit.v >= -ON_PLANE &&
      hit.u <= wall.width + ON_PLANE &&
      hit.v <= wall.height + ON_PLANE;
    if (!inside && !beyond(hit)) return undefined;
    hits.push(hit);
    after += whole - before;
    target = point;
  }
  return hits;
}

/** Metres within which a point counts as lying in a plane, or on an edge. */
const ON_PLANE = 1e-9;
