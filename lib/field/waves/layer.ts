/**
 * A perfectly matched layer: open air beyond the grid, which sends nothing back.
 *
 *     u_tt + (ζx + ζy + ζz) u_t + (ζxζy + ζyζz + ζzζx) u = c²Δu + div φ − ζxζyζz ψ,
 *     φ_t = −ζ φ + c² (ζ' + ζ'' − ζ) ∇u + c² ζ'ζ'' ∇ψ,   ψ_t = u,
 *
 * φ by axis on the faces between cubes, ζ that axis' damping, ζ' and ζ'' those of the other two.
 *
 * @source Grote and Sim, Efficient PML for the wave equation, arXiv:1001.0319 (2010) (from memory);
 *   check: tests/field/waves/layer.test.ts
 */
import { GrowingInts } from "../../numeric/growing";
import type { Cells } from "./cells";
import type { Equations } from "./equations";
import { strengthsOf } from "./strengths";

export interface LayerOptions {
  readonly speedOfSound: number;
  readonly step: number;
  /** Damping, per second, along each axis at a coordinate, metres. */
  readonly damping: (axis: number, coordinate: number) => number;
}

/** The layer's cells, and what its equations need of each. */
export interface Layer {
  readonly cells: Int32Array;
  /**
   * By axis, for each cell: the next along the axis; the cells of the four faces beside; the one behind; all as numbers among
   * `cells`, of which the one after the last is none.
   */
  readonly next: readonly Int32Array[];
  readonly beside: readonly Int32Array[];
  readonly behind: readonly Int32Array[];
  /**
   * By axis, five for each cell: what stays of φ, what the gradients of u and of ψ add; and how much of what flows through the
   * face ahead and the one behind counts, as their areas are to the cell's volume.
   */
  readonly faces: readonly Float32Array[];
  /** Five for each cell: factors of the former pressure, of the flow, of u and of ψ, and of all. */
  readonly losses: Float32Array;
}

/** Share of a cube that may be cut off where φ is still kept is what is left to 1. */
const MOST = 0.85;
/** Numbers in `Layer.faces` for each cell. */
export const FACTORS = 5;

export function layerOf(cells: Cells, equations: Equations, options: LayerOptions): Layer {
  const { speedOfSound: c, step: T, damping } = options;
  const { counts, size, from, links } = cells;
  const [nx, ny, nz] = counts;
  const steps = [1, nx, nx * ny];
  const cubes = nx * ny * nz;
  const start = [from.x, from.y, from.z];
  const at = (shift: number) =>
    counts.map((count, axis) =>
      Float64Array.from({ length: count }, (_, i) => damping(axis, start[axis] + (i + shift) * size)),
    );
  const middle = at(0.5);
  const end = at(1);
  const deep = counts.map((_, axis) => middle[axis].map((z, i) => (z > 0 || end[axis][i] > 0 ? 1 : 0)));

  const list = new GrowingInts();
  const index = new Int32Array(cubes).fill(-1);
  for (let k = 0, cube = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++, cube++) {
        if (equations.home[cube] !== cube || !(deep[0][i] || deep[1][j] || deep[2][k])) continue;
        index[cube] = list.length;
        list.push(cube);
      }
  const own = list.done();
  const strengths = strengthsOf(cells, equations.home, equations.volume);
  /** How wide a cube is open to the next along an axis, as the equations have it. */
  const carried = (cube: number, axis: number): number => {
    const face = links.face[3 * cube + axis];
    if (face < 0) return strengths.whole(cube, axis) ** 2;
    let sum = 0;
    for (let l = links.starts[face]; l < links.starts[face + 1]; l++)
      if (links.a[l] === cube && links.b[l] === cube + steps[axis])
        sum += links.open[l] * strengths.links[l] ** 2;
    return sum;
  };
  const isOpen = (cube: number, axis: number): boolean => carried(cube, axis) > 0;
  // Cubes of which much is cut or that others joined go without φ, which on them would grow; they damp all the same, so that a
  // layer that solids run through sends a little back there.
  const whole = (cube: number): boolean =>
    cells.volume[cube] > MOST && Math.abs(equations.volume[cube] - cells.volume[cube]) < 1e-9;
  const none = own.length;
  const ints = (each: number) => [0, 1, 2].map(() => new Int32Array(each * none));
  const [next, beside, behind] = [ints(1), ints(4), ints(1)];
  const faces = [0, 1, 2].map(() => new Float32Array(FACTORS * none));
  const losses = new Float32Array(5 * none);
  for (let r = 0; r < none; r++) {
    const cube = own[r];
    const place = [cube % nx, Math.floor(cube / nx) % ny, Math.floor(cube / steps[2])];
    const zeta = [middle[0][place[0]], middle[1][place[1]], middle[2][place[2]]];
    for (let axis = 0; axis < 3; axis++) {
      const beyond = index[cube + steps[axis]];
      const open = beyond >= 0 && isOpen(cube, axis) && whole(cube) && whole(cube + steps[axis]);
      next[axis][r] = open ? beyond : r;
      if (open) {
        const ahead = end[axis][place[axis]];
        const [a, b] = [zeta[(axis + 1) % 3], zeta[(axis + 2) % 3]];
        const below = 1 + (ahead * T) / 2;
        faces[axis][FACTORS * r] = (1 - (ahead * T) / 2) / below;
        faces[axis][FACTORS * r + 1] = (T * c * c * (a + b - ahead)) / (below * size);
        faces[axis][FACTORS * r + 2] = (T * c * c * a * b) / (below * size);
      }
      faces[axis][FACTORS * r + 3] = carried(cube, axis) / equations.volume[cube];
      faces[axis][FACTORS * r + 4] = carried(cube - steps[axis], axis) / equations.volume[cube];
      // As in the flow through faces elsewhere; where a wall lies between or there is no air, the face itself.
      for (let n = 0; n < 4; n++) {
        const side = (axis + (n < 2 ? 1 : 2)) % 3;
        const other = cube + (n % 2 === 0 ? -1 : 1) * steps[side];
        const joined = equations.home[other] === other && isOpen(n % 2 === 0 ? other : cube, side);
        beside[axis][4 * r + n] = !joined ? r : index[other] < 0 ? none : index[other];
      }
      const former = index[cube - steps[axis]];
      behind[axis][r] = former >= 0 ? former : none;
    }
    const [x, y, z] = zeta;
    const a = ((x + y + z) * T) / 2;
    const [square, product] = whole(cube) ? [x * y + y * z + z * x, x * y * z] : [0, 0];
    // ψ is at hand half a step later than its mean over the step, which is ψ less half of what u added.
    losses.set(
      [a, (T * T) / size, T * T * (square - (product * T) / 2), T * T * product, 1 / (1 + a)],
      5 * r,
    );
  }
  return { cells: own, next, beside, behind, faces, losses };
}
