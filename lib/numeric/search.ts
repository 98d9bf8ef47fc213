/**
 * Lowest point of a function of one number: a grid that no dip can hide from, then refinement of every dip found.
 *
 * Interference gives the cost of an offset more than one dip, so descent from one start can't be trusted.
 */

export interface Minimum {
  readonly x: number;
  readonly cost: number;
}

/**
 * Global minimum over an interval.
 *
 * @param cost  function to minimise, finite everywhere
 * @param from  lower end
 * @param to  upper end, included, not below `from`
 * @param step  width of the grid: finer than any dip that matters
 * @param tolerance  how exactly the place of the minimum is wanted
 * @returns the place and the cost of the lowest point
 * @source Brent, Algorithms for Minimization without Derivatives (1973), chapter 5 (from memory); check: tests/numeric/search.test.ts
 */
export function minimise(
  cost: (x: number) => number,
  from: number,
  to: number,
  step: number,
  tolerance = 1e-6,
): Minimum {
  const count = Math.max(1, Math.ceil((to - from) / step)) + 1;
  const grid = Float64Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
  return refineDips(cost, grid, grid.map(cost), tolerance);
}

/**
 * The lowest point near any dip of a function on a grid.
 *
 * @param cost  the function
 * @param grid  ascending
 * @param costs  the function on the grid
 * @param tolerance  how exactly the place of the minimum is wanted
 */
export function refineDips(
  cost: (x: number) => number,
  grid: ArrayLike<number>,
  costs: ArrayLike<number>,
  tolerance: number,
): Minimum {
  const last = grid.length - 1;
  let best: Minimum = { x: grid[0], cost: costs[0] };
  for (let i = 0; i <= last; i++) {
    const left = Math.max(0, i - 1);
    const right = Math.min(last, i + 1);
    if (costs[i] > costs[left] || costs[i] > costs[right]) continue;
    if (costs[i] < best.cost) best = { x: grid[i], cost: costs[i] };
    const found = lowestBetween(cost, grid[left], grid[right], tolerance);
    if (found.cost < best.cost) best = found;
  }
  return best;
}

/** Share of an interval that the golden section cuts off. */
const GOLDEN = (3 - Math.sqrt(5)) / 2;

/**
 * Lowest point between two ends: a parabola through the three best points where it helps, golden section where not, so
 * that a smooth dip takes few steps and a kink is found all the same.
 */
function lowestBetween(cost: (x: number) => number, from: number, to: number, tolerance: number): Minimum {
  let a = from;
  let b = to;
  // Best, second best and third best point so far.
  let x = a + GOLDEN * (b - a);
  let w = x;
  let v = x;
  let fx = cost(x);
  let fw = fx;
  let fv = fx;
  let step = 0;
  let before = 0;
  for (let n = 0; n < 200; n++) {
    const middle = (a + b) / 2;
    const least = tolerance / 3;
    if (Math.abs(x - middle) + (b - a) / 2 <= 2 * least) break;
    // Vertex of the parabola, as a step away from x: p / q.
    const r = (x - w) * (fx - fv);
    const t = (x - v) * (fx - fw);
    let q = 2 * (t - r);
    let p = (x - v) * t - (x - w) * r;
    if (q > 0) p = -p;
    q = Math.abs(q);
    const inside = p > q * (a - x) && p < q * (b - x);
    if (Math.abs(before) > least && inside && Math.abs(p) < Math.abs(0.5 * q * before)) {
      before = step;
      step = p / q;
      const near = x + step - a < 2 * least || b - x - step < 2 * least;
      if (near) step = x < middle ? least : -least;
    } else {
      before = x < middle ? b - x : a - x;
      step = GOLDEN * before;
    }
    const u = x + (Math.abs(step) >= least ? step : step > 0 ? least : -least);
    const fu = cost(u);
    if (fu <= fx) {
      if (u < x) b = x;
      else a = x;
      [v, fv, w, fw, x, fx] = [w, fw, x, fx, u, fu];
    } else {
      if (u < x) a = u;
      else b = u;
      if (fu <= fw || w === x) [v, fv, w, fw] = [w, fw, u, fu];
      else if (fu <= fv || v === x || v === w) [v, fv] = [u, fu];
    }
  }
  return { x, cost: fx };
}
