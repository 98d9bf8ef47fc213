/** Numbers that go together, some of which were heard: how the others follow from those. */
import { cholesky, solveCholesky } from "./cholesky";

export interface Conditional {
  /** Weight of each that was heard for each number, number by number. */
  readonly weights: Float64Array;
  /** Variance of each number that those heard explain. */
  readonly explained: Float64Array;
}

/**
 * @param count  how many numbers
 * @param at  which of them were heard
 * @param covariance  of two numbers
 * @param error  variance of hearing the a-th that was heard
 * @throws RangeError when the covariances are none
 * @source conditional normal distribution, any textbook of statistics; check: tests/numeric/conditional.test.ts
 */
export function conditional(
  count: number,
  at: readonly number[],
  covariance: (i: number, j: number) => number,
  error: (a: number) => number,
): Conditional {
  const m = at.length;
  const among = Float64Array.from({ length: m * m }, (_, k) => {
    const [a, b] = [Math.floor(k / m), k % m];
    return covariance(at[a], at[b]) + (a === b ? error(a) : 0);
  });
  const lower = cholesky(among, m);
  const weights = new Float64Array(count * m);
  const explained = new Float64Array(count);
  const to = new Float64Array(m);
  for (let i = 0; i < count; i++) {
    for (let a = 0; a < m; a++) to[a] = covariance(i, at[a]);
    const weight = weights.subarray(i * m, (i + 1) * m);
    weight.set(to);
    solveCholesky(lower, m, weight);
    for (let a = 0; a < m; a++) explained[i] += weight[a] * to[a];
  }
  return { weights, explained };
}
