/**
 * Cubes that surfaces pass, divided into blocks, and which of a cube's blocks are one piece of air.
 */
import { GrowingDoubles, GrowingInts } from "../../numeric/growing";
import { flatWalls, passes, sideOf, type Wall } from "./wall";
import type { Patches } from "./wall-areas";

export interface Grid {
  /** Side of a cube, metres. */
  readonly size: number;
  /** Blocks along a side where a surface slopes. */
  readonly parts: number;
  readonly counts: readonly [number, number, number];
  /** Corner of the first cube; corners of the box of air within, metres. */
  readonly origin: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** Which walls come near which cubes: those of a cube in the walls' own order. */
export interface Beside {
  readonly starts: Int32Array;
  readonly walls: Int32Array;
}

export interface Blocks {
  /** Whether walls or the box's faces pass through a cube or along it. */
  readonly cut: Uint8Array;
  /** A cut cube's number among those that are; −1 for whole cubes and for what lies wholly beyond the box. */
  readonly slot: Int32Array;
  /** Planes between blocks along x, y and z, metres, from where `planesAt` says: four entries a cut cube, the last its end. */
  readonly planes: Float64Array;
  readonly planesAt: Int32Array;
  /** The piece of each block, x running fastest, from where `piecesAt` says; −1 beyond the box. */
  readonly piece: Int32Array;
  readonly piecesAt: Int32Array;
  /** Of every piece: share of a cube, and the cube. */
  readonly volume: Float64Array;
  readonly cube: Int32Array;
  /** Cubes without air. */
  readonly empty: Uint8Array;
}

/** Numbers at the beginning of `planes` that others may write: the planes of two cubes that aren't cut. */
export const SPARE = 12;

export function blocksOf(walls: readonly Wall[], grid: Grid, beside: Beside, patches: Patches): Blocks {
  const { size, parts, counts, origin, low, high } = grid;
  const [nx, ny, nz] = counts;
  const cubes = nx * ny * nz;
  const slot = new Int32Array(cubes).fill(-1);
  const cut = new Uint8Array(cubes);
  const empty = new Uint8Array(cubes);
  const planes = new GrowingDoubles(cubes);
  const planesAt = new GrowingInts(cubes);
  const piece = new GrowingInts(cubes);
  const piecesAt = new GrowingInts(cubes);
  const volume = new GrowingDoubles(2 * cubes);
  const cubeOf = new GrowingInts(2 * cubes);
  for (let i = 0; i < SPARE; i++) planes.push(0);
  for (let cube = 0; cube < cubes; cube++) {
    volume.push(1);
    cubeOf.push(cube);
  }
  const near = size * 0.01;
  const ends = counts.map((count, axis) =>
    Array.from({ length: count }, (_, a) => {
      const start = origin[axis] + a * size;
      if (start + size <= low[axis] || start >= high[axis]) return BEYOND;
      return start - near < low[axis] || start + size + near > high[axis] ? ACROSS : WITHIN;
    }),
  );
  const { starts, walls: wallsBeside } = beside;
  const flat = flatWalls(walls);

  /** Adds a plane within a cube, whose planes begin at `first`, if there is none yet. */
  const put = (first: number, value: number): void => {
    if (!(value > planes.values[first] && value < planes.values[first + 1])) return;
    for (let p = first; p < planes.length; p++)
      if (!(Math.abs(planes.values[p] - value) > 1e-3 * size)) return;
    planes.push(value);
  };
  /** Adds where blocks of a cube begin and end along an axis; gives where those planes begin. */
  const addPlanes = (cube: number, axis: number, at: number): number => {
    const start = origin[axis] + at * size;
    const first = planes.length;
    planes.push(start);
    planes.push(start + size);
    put(first, low[axis]);
    put(first, high[axis]);
    let slopes = false;
    for (let e = starts[cube]; e < starts[cube + 1]; e++) {
      const wall = walls[wallsBeside[e]];
      if (wall.axis >= 0 || wall.normal[axis] < 1e-9) {
        put(first, wall.low[axis]);
        put(first, wall.high[axis]);
      } else slopes = true;
    }
    if (slopes) for (let part = 1; part < parts; part++) put(first, start + (part * size) / parts);
    // A few numbers, mostly in order.
    for (let p = first + 1; p < planes.length; p++) {
      const value = planes.values[p];
      let q = p;
      for (; q > first && planes.values[q - 1] > value; q--) planes.values[q] = planes.values[q - 1];
      planes.values[q] = value;
    }
    return first;
  };
  const middle = (plane: number): number => (planes.values[plane] + planes.values[plane + 1]) / 2;
  const width = (plane: number): number => (planes.values[plane + 1] - planes.values[plane]) / size;

  let group = new Int32Array(64);
  let number = new Int32Array(64);
  let filled = new Float64Array(64);
  /** Walls between blocks of the cube at work: wall, the two blocks, axis, side of the first. */
  const walled: number[] = [];

  /** Middle of the block at work, and where that of the next lies along an axis. */
  const point = new Float64Array(4);
  /** Joins a block with the next along an axis, or notes the wall between them. */
  const join = (cube: number, f: number, g: number, axis: number): void => {
    for (let e = starts[cube]; e < starts[cube + 1]; e++) {
      const wall = wallsBeside[e];
      if (!passes(flat, wall, point, axis)) continue;
      walled.push(wall, f, g, axis, sideOf(flat, wall, point));
      return;
    }
    group[root(group, f)] = root(group, g);
  };

  const divide = (cube: number, i: number, j: number, k: number): void => {
    slot[cube] = piecesAt.length;
    const own = piece.length;
    piecesAt.push(own);
    const px = addPlanes(cube, 0, i);
    const py = addPlanes(cube, 1, j);
    const pz = addPlanes(cube, 2, k);
    planesAt.push(px);
    planesAt.push(py);
    planesAt.push(pz);
    planesAt.push(planes.length);
    const mx = py - px - 1;
    const my = pz - py - 1;
    const mz = planes.length - pz - 1;
    const count = mx * my * mz;
    if (group.length < count) {
      group = new Int32Array(2 * count);
      number = new Int32Array(2 * count);
      filled = new Float64Array(2 * count);
    }
    for (let f = 0, c = 0; c < mz; c++)
      for (let b = 0; b < my; b++)
        for (let a = 0; a < mx; a++, f++) {
          const inside =
            middle(px + a) > low[0] &&
            middle(px + a) < high[0] &&
            middle(py + b) > low[1] &&
            middle(py + b) < high[1] &&
            middle(pz + c) > low[2] &&
            middle(pz + c) < high[2];
          group[f] = inside ? f : -1;
          number[f] = -1;
          filled[f] = 0;
        }
    // Blocks with no wall between them are one piece.
    walled.length = 0;
    for (let f = 0, c = 0; c < mz; c++)
      for (let b = 0; b < my; b++)
        for (let a = 0; a < mx; a++, f++) {
          if (group[f] < 0) continue;
          point[0] = middle(px + a);
          point[1] = middle(py + b);
          point[2] = middle(pz + c);
          if (a + 1 < mx && group[f + 1] >= 0) {
            point[3] = middle(px + a + 1);
            join(cube, f, f + 1, 0);
          }
          if (b + 1 < my && group[f + mx] >= 0) {
            point[3] = middle(py + b + 1);
            join(cube, f, f + mx, 1);
          }
          if (c + 1 < mz && group[f + mx * my] >= 0) {
            point[3] = middle(pz + c + 1);
            join(cube, f, f + mx * my, 2);
          }
        }
    // The largest has the cube's own number.
    let largest = -1;
    for (let f = 0, c = 0; c < mz; c++)
      for (let b = 0; b < my; b++)
        for (let a = 0; a < mx; a++, f++) {
          if (group[f] < 0) continue;
          const top = root(group, f);
          filled[top] += width(px + a) * width(py + b) * width(pz + c);
          if (largest < 0 || filled[top] > filled[largest] + 1e-9) largest = top;
        }
    volume.values[cube] = largest < 0 ? 0 : filled[largest];
    if (largest < 0) empty[cube] = 1;
    else number[largest] = cube;
    for (let f = 0; f < count; f++) {
      if (group[f] < 0) {
        piece.push(-1);
        continue;
      }
      const top = root(group, f);
      if (number[top] < 0) {
        number[top] = volume.length;
        volume.push(filled[top]);
        cubeOf.push(cube);
      }
      piece.push(number[top]);
    }
    for (let w = 0; w < walled.length; w += 5) {
      const f = walled[w + 1];
      const axis = walled[w + 3];
      const x = px + (f % mx);
      const y = py + (Math.floor(f / mx) % my);
      const z = pz + Math.floor(f / (mx * my));
      const area = axis === 0 ? width(y) * width(z) : axis === 1 ? width(z) * width(x) : width(x) * width(y);
      patch(
        patches,
        walls,
        walled[w],
        piece.values[own + f],
        piece.values[own + walled[w + 2]],
        axis,
        area,
        walled[w + 4],
      );
    }
  };

  for (let k = 0, cube = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const end = Math.max(ends[1][j], ends[2][k]);
      for (let i = 0; i < nx; i++, cube++) {
        const most = Math.max(end, ends[0][i]);
        if (most === WITHIN && starts[cube] === starts[cube + 1]) continue;
        cut[cube] = 1;
        if (most === BEYOND) {
          volume.values[cube] = 0;
          empty[cube] = 1;
        } else divide(cube, i, j, k);
      }
    }
  return {
    cut,
    slot,
    planes: planes.values,
    planesAt: planesAt.values,
    piece: piece.values,
    piecesAt: piecesAt.values,
    volume: volume.done(),
    cube: cubeOf.done(),
    empty,
  };
}

const WITHIN = 0;
const ACROSS = 1;
const BEYOND = 2;

/** Gives both sides of a wall between two blocks its area: the first's side is 0 toward the normal, else 1. */
export function patch(
  patches: Patches,
  walls: readonly Wall[],
  index: number,
  a: number,
  b: number,
  axis: number,
  face: number,
  side: number,
): void {
  const own = face * walls[index].normal[axis];
  patches.add(a, 2 * index + side, own);
  patches.add(b, 2 * index + 1 - side, own);
}

/** The block along one axis that a coordinate lies in, of `count` from a plane on. */
export function blockAlong(planes: Float64Array, first: number, count: number, value: number): number {
  let block = 0;
  while (block < count - 1 && value > planes[first + block + 1]) block++;
  return block;
}

function root(group: Int32Array, f: number): number {
  let at = f;
  while (group[at] !== at) at = group[at];
  return at;
}
