/**
 * A venue's air as cubes of one size, cut where surfaces pass.
 *
 * Each cube near a surface is divided into blocks: along the surfaces where they lie along the axes, into some equal ones where
 * they slope. A piece is what of a cube's blocks is connected. So it has the volume that the surfaces leave it, links to its
 * neighbours as wide as what stays open between them, and walls of the true area, on whichever side of a surface it lies.
 *
 * Cut cells of finite volumes: Bilbao, Hamilton, Botts and Savioja, IEEE/ACM Trans. Audio Speech Lang. Process. 24 (2016),
 * 161-173 (from memory); that blocks decide is our own choice.
 */
import type { Point } from "../../acoustics/point";
import { GrowingInts } from "../../numeric/growing";
import type { Rectangle } from "../paths/rectangle";
import { type Beside, type Blocks, blockAlong, blocksOf, type Grid } from "./blocks";
import { type Links, linksOf } from "./links";
import { type Wall, wallOf } from "./wall";
import { Patches, type WallAreas } from "./wall-areas";

export interface CellOptions {
  /** Side of a cube, metres. */
  readonly size: number;
  /** Blocks along a side where a surface slopes. */
  readonly parts?: number;
  /** Corners of the box that is cut into cubes, metres; its own faces are hard. */
  readonly from: Point;
  readonly to: Point;
}

/** Nothing but numbers, so that one thread can cut a venue for others. */
export interface Cells {
  readonly size: number;
  readonly from: Point;
  /** Cubes along x, y, z; x runs fastest. The outermost are no air. */
  readonly counts: readonly [number, number, number];
  /** Pieces: the largest of each cube under the cube's own number, further ones of cut cubes after them. */
  readonly pieces: number;
  /** Share of a cube that a piece fills; 0 where there is no air. */
  readonly volume: Float64Array;
  /** The cube that a piece lies in. */
  readonly cube: Int32Array;
  /** Whether surfaces or the box's faces pass through a cube or along it. */
  readonly cut: Uint8Array;
  readonly links: Links;
  /** Surfaces beside a piece: area in faces of a cube; the two sides of surface n are the walls 2n and 2n + 1. */
  readonly walls: WallAreas;
  /** By which `pieceAt` finds a point's piece. */
  readonly grid: Grid;
  readonly blocks: Blocks;
}

/**
 * Cuts a box into cells.
 *
 * @param surfaces  thin rectangles that sound does not pass
 * @param options  size of the cubes and the box, metres
 */
export function cellsOf(surfaces: readonly Rectangle[], options: CellOptions): Cells {
  const { size, parts = 4, from, to } = options;
  // One layer beyond the box all around, so that every cube of air has neighbours.
  const counts = AXES.map((axis) => Math.max(1, Math.ceil((to[axis] - from[axis]) / size - 1e-6)) + 2) as [
    number,
    number,
    number,
  ];
  // Odd, so that rows and layers above one another don't meet in one set of the cache.
  counts[0] |= 1;
  const low = [from.x, from.y, from.z];
  const high = [to.x, to.y, to.z];
  const origin = low.map((value) => value - size);
  const grid: Grid = { size, parts, counts, origin, low, high };
  const walls = surfaces.map((r) => wallOf(r, size / parts));
  const beside = besides(walls, grid);
  const patches = new Patches();
  const blocks = blocksOf(walls, grid, beside, patches);
  const links = linksOf(walls, grid, beside, blocks, patches);
  const pieces = blocks.volume.length;
  return {
    size,
    from: { x: origin[0], y: origin[1], z: origin[2] },
    counts,
    pieces,
    volume: blocks.volume,
    cube: blocks.cube,
    cut: blocks.cut,
    links,
    walls: patches.sorted(pieces),
    grid,
    blocks,
  };
}

/** The piece that a point lies in; undefined beyond the box. */
export function pieceAt(
  { grid, blocks }: Pick<Cells, "grid" | "blocks">,
  { x, y, z }: Point,
): number | undefined {
  const { size, counts, origin, low, high } = grid;
  const p = [x, y, z];
  if (p.some((value, axis) => value <= low[axis] || value >= high[axis])) return undefined;
  const [i, j, k] = p.map((value, axis) => Math.floor((value - origin[axis]) / size));
  const cube = i + counts[0] * (j + counts[1] * k);
  const s = blocks.slot[cube];
  if (s < 0) return blocks.empty[cube] ? undefined : cube;
  let block = 0;
  for (let axis = 2; axis >= 0; axis--) {
    const first = blocks.planesAt[4 * s + axis];
    const count = blocks.planesAt[4 * s + axis + 1] - first - 1;
    block = block * count + blockAlong(blocks.planes, first, count, p[axis]);
  }
  const piece = blocks.piece[blocks.piecesAt[s] + block];
  return piece < 0 ? undefined : piece;
}

const AXES = ["x", "y", "z"] as const;

function besides(walls: readonly Wall[], { size, counts, origin }: Grid): Beside {
  const near = size * 0.01;
  const [nx, ny, nz] = counts;
  const cubeOf = new GrowingInts();
  const wallOfEntry = new GrowingInts();
  walls.forEach((wall, index) => {
    const first = wall.low.map((value, i) => Math.max(0, Math.floor((value - near - origin[i]) / size)));
    const last = wall.high.map((value, i) =>
      Math.min(counts[i] - 1, Math.floor((value + near - origin[i]) / size)),
    );
    const { normal, offset } = wall.rectangle;
    const reach = (size / 2) * (wall.normal[0] + wall.normal[1] + wall.normal[2]) + wall.reach;
    for (let k = first[2]; k <= last[2]; k++)
      for (let j = first[1]; j <= last[1]; j++)
        for (let i = first[0]; i <= last[0]; i++) {
          const height =
            normal.x * (origin[0] + (i + 0.5) * size) +
            normal.y * (origin[1] + (j + 0.5) * size) +
            normal.z * (origin[2] + (k + 0.5) * size) -
            offset;
          if (Math.abs(height) > reach) continue;
          cubeOf.push(i + nx * (j + ny * k));
          wallOfEntry.push(index);
        }
  });
  const starts = new Int32Array(nx * ny * nz + 1);
  for (let e = 0; e < cubeOf.length; e++) starts[cubeOf.values[e] + 1]++;
  for (let cube = 0; cube < nx * ny * nz; cube++) starts[cube + 1] += starts[cube];
  const next = starts.slice();
  const sorted = new Int32Array(cubeOf.length);
  for (let e = 0; e < cubeOf.length; e++) sorted[next[cubeOf.values[e]]++] = wallOfEntry.values[e];
  return { starts, walls: sorted };
}
