/**
 * Least squares with priors, and what it leaves uncertain.
 *
 * Minimises Σ ((modelled − measured)/error)² + Σ θ² over the values θ, counted in their prior standard deviations. The covariance of
 * what is left is the inverse of JᵀJ + 1, J the weighted derivatives at the optimum (Gauss-Newton, Laplace's approximation).
 *
 * @source Tarantola, Inverse Problem Theory (2005), 3.2 (from memory); optimiser: ml-levenberg-marquardt
 */
import { levenbergMarquardt } from "ml-levenberg-marquardt";
import { inverse, Matrix } from "ml-matrix";

/**
 * Fits values to data.
 *
 * @param residuals  from the values to (modelled − measured)/error, always as many
 * @param count  number of values
 * @param iterations  steps of the optimiser: each costs a model run per value, and levels change almost linearly
 * @returns the values at the optimum, in prior standard deviations
 */
export function leastSquares(
  residuals: (amounts: readonly number[]) => Float64Array,
  count: number,
  iterations: number,
): number[] {
  const start = new Array<number>(count).fill(0);
  const data = residuals(start).length;
  const x = Array.from({ length: data + count }, (_, i) => i);
  const model = (amounts: number[]) => {
    const r = residuals(amounts);
    return (i: number): number => (i < data ? r[i] : amounts[i - data]);
  };
  const { parameterValues } = levenbergMarquardt({ x, y: x.map(() => 0) }, model, {
    initialValues: start,
    gradientDifference: STEP,
    damping: 0.01,
    maxIterations: iterations,
    minValues: start.map(() => -FARTHEST),
    maxValues: start.map(() => FARTHEST),
  });
  return [...parameterValues];
}

/** Step of a value for its derivative, and farthest value, in prior standard deviations. */
const STEP = 0.1;
const FARTHEST = 4;

/** Derivatives of a vector by each value, forward differences: one row per value. */
export function derivatives(
  of: (amounts: readonly number[]) => Float64Array,
  amounts: readonly number[],
  here: Float64Array,
): Float64Array[] {
  return amounts.map((_, k) => {
    const moved = amounts.slice();
    moved[k] += STEP;
    return of(moved).map((y, i) => (y - here[i]) / STEP);
  });
}

/**
 * (JᵀJ + 1)⁻¹: the covariance of the values.
 *
 * @param information  JᵀJ, the sum of all data's
 */
export function covarianceOf(information: Matrix): Matrix {
  return inverse(Matrix.add(information, Matrix.eye(information.rows)));
}

/** JᵀJ from derivatives already divided by the errors, one row per value. */
export function informationOf(jacobian: readonly Float64Array[]): Matrix {
  const j = new Matrix(jacobian.map((row) => Array.from(row)));
  return j.mmul(j.transpose());
}
