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

export interface Fit {
  /** Values at the optimum, in prior standard deviations. */
  readonly amounts: number[];
  /** Their covariance, in the same unit. */
  readonly covariance: Matrix;
  /** JᵀJ of the data. */
  readonly information: Matrix;
  /** Sum of squares of the data's part over the number of data: about 1 where errors are as stated. */
  readonly misfit: number;
}

/**
 * Fits values to data.
 *
 * @param residuals  from the values to (modelled − measured)/error, always as many
 * @param count  number of values
 * @param iterations  most steps of the optimiser
 */
export function leastSquares(
  residuals: (amounts: readonly number[]) => Float64Array,
  count: number,
  iterations = 8,
): Fit {
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
    damping: 0.1,
    maxIterations: iterations,
    minValues: start.map(() => -FARTHEST),
    maxValues: start.map(() => FARTHEST),
  });
  const amounts = [...parameterValues];
  const at = residuals(amounts);
  const jacobian = derivatives(residuals, amounts, at);
  const misfit = at.reduce((sum, r) => sum + r * r, 0) / Math.max(1, at.length);
  const information = informationOf(jacobian);
  return { amounts, information, covariance: covarianceOf(jacobian), misfit };
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
 * (JᵀJ + 1)⁻¹ from derivatives already divided by the errors, one row per value.
 *
 * @param known  information of other data, added
 */
export function covarianceOf(jacobian: readonly Float64Array[], known?: Matrix): Matrix {
  const information = informationOf(jacobian);
  if (known) information.add(known);
  return inverse(information.add(Matrix.eye(jacobian.length)));
}

function informationOf(jacobian: readonly Float64Array[]): Matrix {
  const j = new Matrix(jacobian.map((row) => Array.from(row)));
  return j.mmul(j.transpose());
}
