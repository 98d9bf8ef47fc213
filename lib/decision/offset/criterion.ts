/** What counts as best for many people. */

/**
 * What counts as best for many people: the least mean of the sizes of their deviations, the least mean of the squares,
 * or the least worst. For ratios alone these are the median, the mean, and the middle between the extremes.
 */
export type Criterion = "least mean" | "least mean square" | "least worst";

export const criteria: readonly Criterion[] = ["least mean", "least mean square", "least worst"];

/** Cost of deviations by a criterion, dB. */
export function costOf(deviation: Float64Array, weights: Float64Array, criterion: Criterion): number {
  let sum = 0;
  if (criterion === "least worst") {
    for (let i = 0; i < weights.length; i++) {
      if (weights[i] > 0) sum = Math.max(sum, Math.abs(deviation[i]));
    }
    return sum;
  }
  if (criterion === "least mean") {
    for (let i = 0; i < weights.length; i++) sum += weights[i] * Math.abs(deviation[i]);
    return sum;
  }
  for (let i = 0; i < weights.length; i++) sum += weights[i] * deviation[i] * deviation[i];
  return Math.sqrt(sum);
}
