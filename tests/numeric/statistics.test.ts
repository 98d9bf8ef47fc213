import { expect, test } from "vitest";
import { normalFraction, normalQuantile } from "../../lib/numeric/statistics";

// Standard normal distribution, Abramowitz and Stegun (1964), tables 26.1 and 26.5, as reprinted in most handbooks (from memory).
const table: readonly (readonly [z: number, fraction: number])[] = [
  [0, 0.5],
  [0.5, 0.6914625],
  [1, 0.8413447],
  [1.281552, 0.9],
  [1.644854, 0.95],
  [1.959964, 0.975],
  [2.575829, 0.995],
  [3.090232, 0.999],
];

test.each(table)(
  "%d standard deviations hold the fraction %d below them, and the rest above",
  (z, fraction) => {
    expect(normalFraction(z)).toBeCloseTo(fraction, 6);
    expect(normalFraction(-z)).toBeCloseTo(1 - fraction, 6);
  },
);

test.each(table)("%d standard deviations are the quantile of %d", (z, fraction) => {
  // The fraction's own error of 7.5e-8 over the density there.
  expect(Math.abs(normalQuantile(fraction) - z)).toBeLessThan(3e-5);
  expect(Math.abs(normalQuantile(1 - fraction) + z)).toBeLessThan(3e-5);
});
