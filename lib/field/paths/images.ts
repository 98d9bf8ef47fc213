/**
 * Image sources in flat rectangles, to any order, and the paths by which they reach a place.
 *
 * A reflection comes from the mirror image of the source in the plane; a reflection of a reflection from the
 * mirror image of that image. Which images a place hears is found by tracing back: the line from the place to the
 * last image must pass the last rectangle, from there to the image before it the rectangle before, and so on to
 * the source.
 *
 * @source Allen and Berkley, J. Acoust. Soc. Am. 65 (1979), 943-950 for the images; Borish, J. Acoust. Soc. Am. 75
 *   (1984), 1827-1836 for the visibility test (both from memory); check: tests/field/paths/images.test.ts
 */
import { type Point, plainPoint } from "../../acoustics/point";
import { requireInteger } from "../../guard/arguments";
import type { Crossing } from "./finite-size";
import { heightAbove, mirrorDirection, mirrorPoint, type Rectangle } from "./rectangle";

export interface Image {
  readonly point: Point;
  /** The cabinet's axis and height direction, mirrored along. */
  readonly axis: Point;
  readonly up: Point;
  /** The image it was mirrored from; the source itself has none. */
  readonly parent?: Image;
  /** Index of the wall it was mirrored in last; -1 for the source. */
  readonly wall: number;
  /** Metres above that wall's plane, negative behind it; 0 for the source. */
  readonly height: number;
  /** Number of reflections. */
  readonly order: number;
  /** Indices of all walls it was mirrored in, first to last, such as "3 0": the same for every source. */
  readonly chain: string;
}

/** Where a path meets a wall. */
export interface Hit extends Crossing {
  readonly wall: number;
  readonly point: Point;
  /** True where the wall's normal points to the side that hears. */
  readonly above: boolean;
  /** Cosine of the angle of incidence. */
  readonly cosine: number;
}

/**
 * The source and its images to an order, parents before children.
 *
 * @param source  place and orientation of the source
 * @param walls  the rectangles to mirror in
 * @param order  highest number of reflections, 0 for the source alone
 * @returns 1 + n + n(n − 1) + … images for n walls
 * @throws RangeError when the order is not a whole number from 0 to 8
 */
export function images(
  source: { readonly point: Point; readonly axis: Point; readonly up: Point },
  walls: readonly Rectangle[],
  order: number,
): Image[] {
  requireInteger("order of reflections", order, 0, 8);
  const [point, axis, up] = [source.point, source.axis, source.up].map(plainPoint);
  const all: Image[] = [{ point, axis, up, wall: -1, height: 0, order: 0, chain: "" }];
  for (let i = 0; i < all.length; i++) {
    const parent = all[i];
    if (parent.order === order) break;
    walls.forEach((wall, index) => {
      if (index === parent.wall) return;
      const point = mirrorPoint(wall, parent.point);
      all.push({
        point,
        axis: mirrorDirection(wall, parent.axis),
        up: mirrorDirection(wall, parent.up),
        wall: index,
        height: heightAbove(wall, point),
        order: parent.order + 1,
        chain: `${parent.chain} ${index}`.trim(),
        parent,
      });
    });
  }
  return all;
}

/**
 * Where the path from an image to a place meets the walls, the last reflection first.
 *
 * @param image  the image
 * @param position  the place
 * @param walls  the rectangles the image was made with
 * @param accept  says of each hit whether the path is still one: the sharp test is `isInside`
 * @returns the hits, none for the source itself; undefined when there is no such path
 */
export function trace(
  image: Image,
  position: Point,
  walls: readonly Rectangle[],
  accept: (hit: Hit) => boolean,
): Hit[] | undefined {
  if (!image.parent) return [];
  if (!isOnRightSides(image, position, walls)) return undefined;
  const hits: Hit[] = [];
  let target = position;
  let after = 0;
  for (let at: Image = image; at.parent; at = at.parent) {
    // In plain numbers: what all points share, such as `dot`, has met too many shapes of them to be quick.
    const { origin, u, v, normal, offset } = walls[at.wall];
    const before = target.x * normal.x + target.y * normal.y + target.z * normal.z - offset;
    const { x, y, z } = at.point;
    const dx = target.x - x;
    const dy = target.y - y;
    const dz = target.z - z;
    const whole = Math.sqrt(dx * dx + dy * dy + dz * dz);
    const fraction = Math.abs(at.height) / (Math.abs(at.height) + Math.abs(before));
    const point = { x: x + fraction * dx, y: y + fraction * dy, z: z + fraction * dz };
    const a = point.x - origin.x;
    const b = point.y - origin.y;
    const c = point.z - origin.z;
    const hit: Hit = {
      wall: at.wall,
      point,
      above: before > 0,
      u: a * u.x + b * u.y + c * u.z,
      v: a * v.x + b * v.y + c * v.z,
      before: whole * fraction,
      after: after + whole * (1 - fraction),
      cosU: (dx * u.x + dy * u.y + dz * u.z) / whole,
      cosV: (dx * v.x + dy * v.y + dz * v.z) / whole,
      cosine: Math.abs(dx * normal.x + dy * normal.y + dz * normal.z) / whole,
    };
    if (!accept(hit)) return undefined;
    hits.push(hit);
    after = hit.after;
    target = point;
  }
  return hits;
}

/**
 * True where along the chain each image lies behind its wall and what it is heard from before it. A source in the plane
 * itself is its own image. Of high orders most images fail here, so nothing is made for them but numbers.
 */
function isOnRightSides(image: Image, position: Point, walls: readonly Rectangle[]): boolean {
  let { x, y, z } = position;
  for (let at: Image = image; at.parent; at = at.parent) {
    const { normal, offset } = walls[at.wall];
    const before = x * normal.x + y * normal.y + z * normal.z - offset;
    if (at.height * before > 0 || Math.abs(before) < IN_PLANE) return false;
    const fraction = Math.abs(at.height) / (Math.abs(at.height) + Math.abs(before));
    x = at.point.x + fraction * (x - at.point.x);
    y = at.point.y + fraction * (y - at.point.y);
    z = at.point.z + fraction * (z - at.point.z);
  }
  return true;
}

/** The sharp visibility test: the hit lies on the rectangle. */
export function isInside(hit: Hit, r: Rectangle): boolean {
  return (
    hit.u >= -IN_PLANE && hit.v >= -IN_PLANE && hit.u <= r.width + IN_PLANE && hit.v <= r.height + IN_PLANE
  );
}

/** Metres within which a point counts as lying in a plane or on an edge. */
const IN_PLANE = 1e-9;
