/** Links between pieces: what walls leave open of the faces between cubes. */
import { GrowingDoubles, GrowingInts } from "../../numeric/growing";
import { type Beside, type Blocks, blockAlong, type Grid, patch } from "./blocks";
import { flatWalls, passes, sideOf, type Wall } from "./wall";
import type { Patches } from "./wall-areas";

/** Face by face, the parts that are open between two pieces. */
export interface Links {
  /** By cube · 3 + axis, the face toward +axis: its number here, or −1 where it is open whole. */
  readonly face: Int32Array;
  /** Where each face's links begin, one more than there are faces. */
  readonly starts: Int32Array;
  /** The piece before the face, the one beyond it, and how much of it is open between the two. */
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly open: Float64Array;
}

/** Links across the faces of which one cube at least is cut. */
export function linksOf(
  walls: readonly Wall[],
  grid: Grid,
  beside: Beside,
  blocks: Blocks,
  patches: Patches,
): Links {
  const { size, counts, origin } = grid;
  const { cut, slot, planes, planesAt, piece, piecesAt, empty } = blocks;
  const { starts: besideAt, walls: wallsBeside } = beside;
  const [nx, ny, nz] = counts;
  const steps = [1, nx, nx * ny];
  const cubes = nx * ny * nz;
  const face = new Int32Array(3 * cubes).fill(-1);
  // Face 0 has no links: those at the box's end and to what lies beyond it.
  const starts = new GrowingInts();
  starts.push(0);
  starts.push(0);
  const from = new GrowingInts();
  const to = new GrowingInts();
  const open = new GrowingDoubles();
  const us = new Float64Array(64);
  const vs = new Float64Array(64);
  /** Middle of a part of the face in the block before it, and where the block beyond has its own along the axis. */
  const p = new Float64Array(4);
  const flat = flatWalls(walls);

  /** Where a cube's planes begin along each axis and how many blocks lie between them. */
  const sideOfFace = () => ({ slot: -1, cube: 0, first: [0, 0, 0], blocks: [1, 1, 1] });
  const here = sideOfFace();
  const there = sideOfFace();
  const look = (side: typeof here, cube: number, i: number, j: number, k: number, spare: number): void => {
    const s = slot[cube];
    side.slot = s;
    side.cube = cube;
    for (let axis = 0; axis < 3; axis++) {
      if (s < 0) {
        const at = spare + 2 * axis;
        planes[at] = origin[axis] + (axis === 0 ? i : axis === 1 ? j : k) * size;
        planes[at + 1] = planes[at] + size;
        side.first[axis] = at;
        side.blocks[axis] = 1;
      } else {
        side.first[axis] = planesAt[4 * s + axis];
        side.blocks[axis] = planesAt[4 * s + axis + 1] - planesAt[4 * s + axis] - 1;
      }
    }
  };
  /** The piece of the block number `a` along an axis in which a point of the face lies. */
  const pieceOf = (side: typeof here, axis: number, a: number): number => {
    if (side.slot < 0) return side.cube;
    let block = 0;
    for (let i = 2; i >= 0; i--)
      block =
        block * side.blocks[i] + (i === axis ? a : blockAlong(planes, side.first[i], side.blocks[i], p[i]));
    return piece[piecesAt[side.slot] + block];
  };
  /** The first wall beside a cube that passes between a point and the one beyond the face; −1 where there is none. */
  const between = (cube: number, axis: number): number => {
    for (let e = besideAt[cube]; e < besideAt[cube + 1]; e++)
      if (passes(flat, wallsBeside[e], p, axis)) return wallsBeside[e];
    return -1;
  };
  const link = (first: number, a: number, b: number, area: number): void => {
    for (let l = first; l < from.length; l++)
      if (from.values[l] === a && to.values[l] === b) {
        open.values[l] += area;
        return;
      }
    from.push(a);
    to.push(b);
    open.push(area);
  };

  const cross = (cube: number, other: number, axis: number): void => {
    const u = (axis + 1) % 3;
    const v = (axis + 2) % 3;
    const last = here.first[axis] + here.blocks[axis] - 1;
    p[axis] = (planes[last] + planes[last + 1]) / 2;
    p[3] = (planes[there.first[axis]] + planes[there.first[axis] + 1]) / 2;
    const mu = merge(planes, here.first[u], here.blocks[u], there.first[u], there.blocks[u], 1e-4 * size, us);
    const mv = merge(planes, here.first[v], here.blocks[v], there.first[v], there.blocks[v], 1e-4 * size, vs);
    const first = from.length;
    for (let s = 0; s + 1 < mu; s++) {
      p[u] = (us[s] + us[s + 1]) / 2;
      for (let t = 0; t + 1 < mv; t++) {
        p[v] = (vs[t] + vs[t + 1]) / 2;
        const a = pieceOf(here, axis, here.blocks[axis] - 1);
        const b = pieceOf(there, axis, 0);
        if (a < 0 || b < 0) continue;
        const area = ((us[s + 1] - us[s]) * (vs[t + 1] - vs[t])) / (size * size);
        let wall = between(cube, axis);
        if (wall < 0) wall = between(other, axis);
        if (wall < 0) link(first, a, b, area);
        else patch(patches, walls, wall, a, b, axis, area, sideOf(flat, wall, p));
      }
    }
  };

  for (let k = 0, cube = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, cube++)
        for (let axis = 0; axis < 3; axis++) {
          const other = cube + steps[axis];
          if (!cut[cube] && !(other < cubes && cut[other])) continue;
          const last = axis === 0 ? i === nx - 1 : axis === 1 ? j === ny - 1 : k === nz - 1;
          if (last || empty[cube] || empty[other]) {
            face[3 * cube + axis] = 0;
            continue;
          }
          look(here, cube, i, j, k, 0);
          look(there, other, axis === 0 ? i + 1 : i, axis === 1 ? j + 1 : j, axis === 2 ? k + 1 : k, 6);
          cross(cube, other, axis);
          face[3 * cube + axis] = starts.length - 1;
          starts.push(from.length);
        }
  return {
    face,
    starts: starts.done(),
    a: from.done(),
    b: to.done(),
    open: open.done(),
  };
}

/** Planes of two cubes merged in order, those that coincide once; gives how many. */
function merge(
  planes: Float64Array,
  a: number,
  blocksA: number,
  b: number,
  blocksB: number,
  apart: number,
  into: Float64Array,
): number {
  let count = 0;
  let former = -Infinity;
  for (let i = 0, j = 0; i <= blocksA || j <= blocksB; ) {
    const value =
      j > blocksB || (i <= blocksA && planes[a + i] <= planes[b + j]) ? planes[a + i++] : planes[b + j++];
    if (value - former > apart) into[count++] = value;
    former = value;
  }
  return count;
}
