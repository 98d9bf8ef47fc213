/** The normal distribution, a mean and a median. */

/**
 * Fraction of normally distributed values below a number of standard deviations.
 *
 * @param x  standard deviations from the mean
 * @returns 0…1, to 7.5e-8
 * @source Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.17 (from memory); check: tests/numeric/statistics.test.ts
 */
export function normalFraction(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const poly =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)) * poly;
  return x > 0 ? 1 - tail : tail;
}

/**
 * Number of standard deviations below which a fraction of normally distributed values lies: the inverse of `normalFraction`.
 *
 * @param fraction  above 0 and below 1
 * @returns standard deviations from the mean, −8…8
 */
export function normalQuantile(fraction: number): number {
  let low = -8;
  let high = 8;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (normalFraction(middle) < fraction) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Not a number where there are none. */
export const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** The middle of some values, or the mean of the two in the middle. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
