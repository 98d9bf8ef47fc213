/**
 * The pressure at a point between pieces: what a field of waves from all sides most likely has there, given those around.
 *
 * @source Gaussian process regression: Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), section 2.2; with the
 *   covariance of waves from all sides, sin(kr)/kr: Cook et al., J. Acoust. Soc. Am. 27 (1955); check: tests/field/waves/spot.test.ts
 */
import type { Point } from "../../acoustics/point";
import { cholesky, solveCholesky } from "../../numeric/cholesky";
import { type Cells, pieceAt } from "./cells";
import { type Equations, piecesAround } from "./equations";
import type { Spot } from "./run";

export interface Along {
  /** A unit vector. */
  readonly axis: Point;
  readonly times: 1 | 2;
}

/** Wave numbers that the field holds, radians per cube: the uppermost are those of the shortest waves that a grid is used for. */
const WAVES = Float64Array.from({ length: 8 }, (_, i) => (1.05 * (i + 0.5)) / 8);
/** Variance that is added to each piece's own, so that all can be told apart; what waves stray by on the grid is more. */
const OWN = 1e-6;

/**
 * Weights of the pieces around a point whose sum is the pressure there, or its derivative along a direction.
 *
 * @param along  along which to derive, and how many times; the value when left out
 * @throws RangeError when the point lies beyond the air
 */
export function spotAt(cells: Cells, equations: Equations, point: Point, along?: Along): Spot {
  const piece = pieceAt(cells, point);
  if (piece === undefined || equations.home[piece] < 0) throw new RangeError("the point lies beyond the air");
  const [nx, ny] = cells.counts;
  const { from, size } = cells;
  const pieces = piecesAround(cells, equations, piece);
  const places = pieces.map((p) => {
    const at = cells.cube[p];
    return [at % nx, Math.floor(at / nx) % ny, Math.floor(at / (nx * ny))];
  });
  const here = Float64Array.from(places, ([x, y, z]) =>
    withPoint(
      {
        x: (from.x - point.x) / size + x + 0.5,
        y: (from.y - point.y) / size + y + 0.5,
        z: (from.z - point.z) / size + z + 0.5,
      },
      along,
    ),
  );
  const weights = solveCholesky(factorOf(places), pieces.length, here);
  return { pieces, weights: Array.from(weights, (w) => w / size ** (along?.times ?? 0)) };
}

/** Cholesky's factor of the covariances between places; most points have the same places around them. */
function factorOf(places: readonly (readonly number[])[]): Float64Array {
  const [first] = places;
  const key = places.map((place) => place.map((x, axis) => x - first[axis])).join();
  const kept = factors.get(key);
  if (kept) return kept;
  const n = places.length;
  const between = new Float64Array(n * n);
  places.forEach(([x, y, z], a) => {
    for (let b = 0; b <= a; b++) {
      const [u, v, w] = places[b];
      between[n * a + b] = between[n * b + a] = inCommon((x - u) ** 2 + (y - v) ** 2 + (z - w) ** 2);
    }
    between[n * a + a] += OWN;
  });
  const factor = cholesky(between, n);
  if (factors.size === MOST) factors.clear();
  factors.set(key, factor);
  return factor;
}
const factors = new Map<string, Float64Array>();
const MOST = 100; // factors that are kept

/** Covariance of the pressure at two pieces, by their distance squared, cubes. */
function inCommon(square: number): number {
  known[square] ??= withPoint({ x: Math.sqrt(square), y: 0, z: 0 });
  return known[square];
}
const known: number[] = [];

/** Covariance of the pressure at a place with that at the point, or with its derivative there; the place as seen from the point, cubes. */
function withPoint({ x, y, z }: Point, along?: Along): number {
  const r = Math.sqrt(x * x + y * y + z * z);
  const part = along && r > 0 ? (along.axis.x * x + along.axis.y * y + along.axis.z * z) / r : 0;
  let sum = 0;
  for (const k of WAVES) {
    const { zeroth, first, second } = sphericalBessel(k * r);
    if (!along) sum += zeroth;
    else if (along.times === 1) sum += k * part * first.value;
    else sum += k * k * (part * part * second - first.over);
  }
  return sum / WAVES.length;
}

/**
 * j0(x), j1(x) and j1(x)/x, j2(x), by their series: only sums and products, which every engine rounds alike. Its sines may differ in
 * the last bit, and what is solved from many places that are nearly one makes much of that.
 */
function sphericalBessel(x: number) {
  const square = x * x;
  let [zeroth, over] = [0, 0];
  // Of (−x²)ⁿ/(2n + 1)!
  let term = 1;
  for (let n = 0; n < TERMS; n++) {
    zeroth += term;
    term /= (2 * n + 2) * (2 * n + 3);
    over += (2 * n + 2) * term;
    term *= -square;
  }
  return { zeroth, first: { value: x * over, over }, second: 3 * over - zeroth };
}
/** Enough for pieces eight cubes away. */
const TERMS = 30;
