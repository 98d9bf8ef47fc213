/**
 * The pressure at a point between pieces: the value there of the parabola in space that comes nearest to those around.
 */
import type { Point } from "../../acoustics/point";
import type { Cells } from "./cells";
import type { Equations } from "./equations";
import type { Spot } from "./run";

/**
 * Weights of the pieces around a point whose sum is the pressure there, or its derivative along a direction.
 *
 * @param along  a unit vector and how many times to derive along it, once or twice; the value when left out
 * @throws RangeError when the point lies beyond the air
 */
export function spotAt(cells: Cells, equations: Equations, point: Point, along?: Along): Spot {
  const piece = cells.pieceAt(point);
  if (piece === undefined || equations.home[piece] < 0) throw new RangeError("the point lies beyond the air");
  const [nx, ny] = cells.counts;
  const pieces = equations.around(piece);
  const nearness = new Float64Array(pieces.length);
  const rows = pieces.map((p, i) => {
    const at = cells.cube[p];
    const x = (cells.from.x - point.x) / cells.size + (at % nx) + 0.5;
    const y = (cells.from.y - point.y) / cells.size + (Math.floor(at / nx) % ny) + 0.5;
    const z = (cells.from.z - point.z) / cells.size + Math.floor(at / (nx * ny)) + 0.5;
    nearness[i] = Math.exp(-(x * x + y * y + z * z) / 2);
    return [1, x, y, z, x * x, y * y, z * z, x * y, y * z, z * x].map((t) => t * nearness[i]);
  });
  const squares = new Float64Array(TERMS * TERMS);
  for (const row of rows)
    for (let a = 0; a < TERMS; a++) for (let b = 0; b < TERMS; b++) squares[TERMS * a + b] += row[a] * row[b];
  const wanted = solved(squares, termsOf(cells.size, along));
  return {
    pieces,
    weights: rows.map((row, i) => nearness[i] * row.reduce((sum, value, t) => sum + wanted[t] * value, 0)),
  };
}

export interface Along {
  readonly axis: Point;
  readonly times: 1 | 2;
}

/** How much of each of the parabola's terms makes the value or the derivative at the point itself. */
function termsOf(size: number, along?: Along): number[] {
  if (!along) return [1, 0, 0, 0, 0, 0, 0, 0, 0, 0];
  const { x, y, z } = along.axis;
  const terms =
    along.times === 1
      ? [0, x, y, z, 0, 0, 0, 0, 0, 0]
      : [0, 0, 0, 0, 2 * x * x, 2 * y * y, 2 * z * z, 2 * x * y, 2 * y * z, 2 * z * x];
  return terms.map((t) => t / size ** along.times);
}

/** Terms of the parabola. */
const TERMS = 10;
/** Of the largest: what pieces that lie in a plane or a line leave undecided is weaker, and left out. */
const LEAST = 1e-8;

/** A symmetric matrix' pseudoinverse times a vector, by Jacobi's rotations, which leave its eigenvalues on the diagonal. */
function solved(m: Float64Array, of: readonly number[]): Float64Array {
  const n = TERMS;
  const vectors = new Float64Array(n * n);
  for (let i = 0; i < n; i++) vectors[n * i + i] = 1;
  for (let sweep = 0; sweep < 30; sweep++) {
    let off = 0;
    let on = 0;
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++)
        if (a === b) on += m[n * a + a] ** 2;
        else off += m[n * a + b] ** 2;
    if (off <= 1e-26 * on) break;
    for (let p = 0; p < n; p++)
      for (let q = p + 1; q < n; q++) {
        if (m[n * p + q] === 0) continue;
        const theta = (m[n * q + q] - m[n * p + p]) / (2 * m[n * p + q]);
        const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
        const c = 1 / Math.sqrt(t * t + 1);
        const s = t * c;
        for (let i = 0; i < n; i++) rotate(m, n * i + p, n * i + q, c, s);
        for (let i = 0; i < n; i++) rotate(m, n * p + i, n * q + i, c, s);
        for (let i = 0; i < n; i++) rotate(vectors, n * i + p, n * i + q, c, s);
      }
  }
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, m[n * i + i]);
  const row = new Float64Array(n);
  for (let e = 0; e < n; e++) {
    const value = m[n * e + e];
    if (value <= LEAST * largest) continue;
    const part = of.reduce((sum, x, i) => sum + x * vectors[n * i + e], 0) / value;
    for (let i = 0; i < n; i++) row[i] += part * vectors[n * i + e];
  }
  return row;
}

function rotate(m: Float64Array, a: number, b: number, c: number, s: number): void {
  const x = m[a];
  const y = m[b];
  m[a] = c * x - s * y;
  m[b] = s * x + c * y;
}
