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
 * @source golden-section search: Kiefer, Sequential minimax search for a maximum, Proc. AMS 4 (1953)
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
    const found = goldenSection(cost, grid[left], grid[right], tolerance);
    if (found.cost < best.cost) best = found;
  }
  return best;
}

const golden = (Math.sqrt(5) - 1) / 2;

function goldenSection(cost: (x: number) => number, from: number, to: number, tolerance: number): Minimum {
  let a = from;
  let b = to;
  let x1 = b - golden * (b - a);
  let x2 = a + golden * (b - a);
  let f1 = cost(x1);
  let f2 = cost(x2);
  while (b - a > tolerance) {
    if (f1 <= f2) {
      b = x2;
      x2 = x1;
      f2 = f1;
      x1 = b - golden * (b - a);
      f1 = cost(x1);
    } else {
      a = x1;
      x1 = x2;
      f1 = f2;
      x2 = a + golden * (b - a);
      f2 = cost(x2);
    }
  }
  return f1 <= f2 ? { x: x1, cost: f1 } : { x: x2, cost: f2 };
}
