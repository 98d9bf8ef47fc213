import { expect } from "vitest";

/** One comparison: what we computed, what the source says, and which case it is. */
export type Pair = readonly [actual: number, expected: number, name?: string];

/**
 * Expects every pair to agree within the tolerance and names the worst one when not.
 *
 * With SHOW_DEVIATIONS set, the worst deviation of each check is printed: it is what the table of checks reports.
 */
export function expectAgreement(
  check: string,
  pairs: readonly Pair[],
  tolerance: number,
  relative = false,
): void {
  expect(pairs.length).toBeGreaterThan(0);
  let worst = 0;
  let where = "";
  for (const [actual, expected, name] of pairs) {
    const deviation = Math.abs(actual - expected) / (relative ? Math.abs(expected) : 1);
    if (!(deviation <= worst)) {
      worst = deviation;
      where = `${name ?? ""}: ${actual} instead of ${expected}`;
    }
  }
  if (process.env.SHOW_DEVIATIONS)
    console.info(`${check} | ${pairs.length} values | worst ${worst.toPrecision(2)} | ${where}`);
  expect(worst, `${check}, ${where}`).toBeLessThanOrEqual(tolerance);
}
