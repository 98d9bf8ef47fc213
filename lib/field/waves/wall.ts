/** Surfaces as blocks of cut cubes meet them. */
import type { Rectangle } from "../paths/rectangle";

export interface Wall {
  readonly rectangle: Rectangle;
  /** The axis that it is perpendicular to; −1 where it slopes. */
  readonly axis: number;
  /** The normal's parts, without sign: of a face toward an axis that much is wall, over all three it adds up to the true area. */
  readonly normal: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** How far beyond its plane blocks may still notice it, metres. */
  readonly reach: number;
  /** Metres by which it is taken to be larger than drawn. */
  readonly seam: number;
}

/** So that corners written by hand close. */
const SEAM = 0.03;

/** @param block  side of the blocks along which it is cut where it slopes, metres */
export function wallOf(rectangle: Rectangle, block: number): Wall {
  const { normal, origin, u, v, width, height } = rectangle;
  const n = [normal.x, normal.y, normal.z];
  const axis = n.findIndex((part) => Math.abs(part) > 1 - 1e-9);
  const corners = [
    [0, 0],
    [width, 0],
    [0, height],
    [width, height],
  ].map(([a, b]) => [
    origin.x + a * u.x + b * v.x,
    origin.y + a * u.y + b * v.y,
    origin.z + a * u.z + b * v.z,
  ]);
  return {
    rectangle,
    axis,
    normal: n.map(Math.abs),
    low: [0, 1, 2].map((i) => Math.min(...corners.map((c) => c[i]))),
    high: [0, 1, 2].map((i) => Math.max(...corners.map((c) => c[i]))),
    reach: axis < 0 ? block : 0.01,
    seam: axis < 0 ? Math.max(SEAM, block / 2) : SEAM,
  };
}

/** Walls as numbers in one row, read at every step between blocks; points come in arrays, so that no number is boxed. */
export interface FlatWalls {
  readonly values: Float64Array;
}

export function flatWalls(walls: readonly Wall[]): FlatWalls {
  const values = new Float64Array(STRIDE * walls.length);
  walls.forEach(({ rectangle: { normal, offset, origin, u, v, width, height }, seam }, w) => {
    values.set(
      [normal.x, normal.y, normal.z, offset, origin.x, origin.y, origin.z, u.x, u.y, u.z, v.x, v.y, v.z],
      STRIDE * w,
    );
    values.set([-seam, width + seam, height + seam], STRIDE * w + 13);
  });
  return { values };
}

const STRIDE = 16;

/** 0 where a point lies on the side of a wall's normal, 1 on the other. */
export function sideOf({ values }: FlatWalls, wall: number, point: Float64Array): 0 | 1 {
  const w = STRIDE * wall;
  return point[0] * values[w] + point[1] * values[w + 1] + point[2] * values[w + 2] - values[w + 3] >= 0
    ? 0
    : 1;
}

/** True where a wall passes between a point and the one further along an axis, whose coordinate there is the point's fourth number. */
export function passes({ values }: FlatWalls, wall: number, point: Float64Array, axis: number): boolean {
  const w = STRIDE * wall;
  const along = point[3] - point[axis];
  const here = point[0] * values[w] + point[1] * values[w + 1] + point[2] * values[w + 2] - values[w + 3];
  const change = values[w + axis] * along;
  if (here >= 0 === here + change >= 0) return false;
  const way = (-here / change) * along;
  const x = point[0] - values[w + 4] + (axis === 0 ? way : 0);
  const y = point[1] - values[w + 5] + (axis === 1 ? way : 0);
  const z = point[2] - values[w + 6] + (axis === 2 ? way : 0);
  const a = x * values[w + 7] + y * values[w + 8] + z * values[w + 9];
  const b = x * values[w + 10] + y * values[w + 11] + z * values[w + 12];
  return a >= values[w + 13] && b >= values[w + 13] && a <= values[w + 14] && b <= values[w + 15];
}
