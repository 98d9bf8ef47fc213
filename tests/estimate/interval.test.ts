import { expect, test } from "vitest";
import { intervalOf } from "../../lib/estimate/interval";
import type { Survey } from "../../lib/survey/survey";

/** Surveys that are told apart by their names alone. */
const named = (number: number) => ({ name: String(number) }) as Survey;

test("nine of ten draws lie within, and the value is the likeliest survey's own", () => {
  // Quantiles of 0 … 99 at (i + ½)/n: 5 % lies at 4.5, 95 % at 94.5 (Hazen's positions, from memory).
  const found = intervalOf(named(50), named, ({ name }) => Number(name), 100);
  expect(found).toEqual({ value: 50, lower: 4.5, upper: 94.5 });
});

test("too few draws for an interval are refused, and so is what is no number", () => {
  for (const draws of [9, 2.5, 1001])
    expect(() => intervalOf(named(0), named, () => 0, draws)).toThrow(/draws is/);
  expect(() => intervalOf(named(0), named, () => Number.NaN, 10)).toThrow(/expected a number/);
});
