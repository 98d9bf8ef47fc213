/** How much links carry between pieces that aren't as deep as a cube. */
import type { Cells } from "./cells";

export interface Strengths {
  /** Root of what a link carries of its pressure difference. */
  readonly links: Float64Array;
  /** The same for a face of a cube along an axis that is open whole. */
  whole(cube: number, axis: number): number;
}

/**
 * What a link carries where a piece ends before or beyond the next lattice point.
 *
 * In a row of cells of which the last is d deep, a wave stands before the wall where it should, up to the fifth power of its
 * phase from cell to cell, if the last link carries d/(d²/3 + d/2 + 1/6) of the pressure difference (Taylor's series of what flows
 * into the last cell). A piece's depth behind a face is its volume over what is open toward that side.
 */
export function strengthsOf(
  { counts, links, pieces }: Cells,
  home: Int32Array,
  volume: Float64Array,
): Strengths {
  const { face, starts, a, b, open } = links;
  const steps = [1, counts[0], counts[0] * counts[1]];
  // By piece, axis and side, what is open; then the factor of a link there.
  const sides = new Float64Array(6 * pieces);
  const add = (from: number, to: number, axis: number, area: number): void => {
    const [p, q] = [home[from], home[to]];
    if (p < 0 || p === q) return;
    sides[6 * p + 2 * axis + 1] += area;
    sides[6 * q + 2 * axis] += area;
  };
  for (let f = 0; f < face.length; f++) {
    const axis = f % 3;
    const at = (f - axis) / 3;
    if (face[f] < 0) add(at, at + steps[axis], axis, 1);
    else for (let l = starts[face[f]]; l < starts[face[f] + 1]; l++) add(a[l], b[l], axis, open[l]);
  }
  for (let s = 0; s < sides.length; s++) {
    const p = (s - (s % 6)) / 6;
    if (home[p] !== p || sides[s] === 0) continue;
    const deep = Math.min(DEEPEST, Math.max(LEAST, volume[p] / sides[s]));
    sides[s] = deep / ((deep * deep) / 3 + deep / 2 + 1 / 6);
  }
  const between = (from: number, to: number, axis: number): number => {
    const [p, q] = [home[from], home[to]];
    return p < 0 || p === q ? 1 : Math.sqrt(sides[6 * p + 2 * axis + 1] * sides[6 * q + 2 * axis]);
  };
  const carried = new Float64Array(open.length);
  for (let f = 0; f < face.length; f++)
    if (face[f] >= 0)
      for (let l = starts[face[f]]; l < starts[face[f] + 1]; l++) carried[l] = between(a[l], b[l], f % 3);
  return { links: carried, whole: (at: number, axis: number): number => between(at, at + steps[axis], axis) };
}

/** Beyond these, pieces have other than whole cubes beside them. */
const LEAST = 0.5;
const DEEPEST = 1.5;
