import { expect, test } from "vitest";
import { conditional } from "../../lib/numeric/conditional";

test("two numbers, one heard with an error, follow the textbook's formula", () => {
  // Bivariate normal: E[y | x] = c/(v + e) x, and c²/(v + e) of y's variance is explained (any textbook of statistics).
  const covariance = (i: number, j: number) => (i === j ? 4 : 3);
  const { weights, explained } = conditional(2, [0], covariance, () => 2);
  expect([...weights]).toEqual([4 / 6, 3 / 6].map((x) => expect.closeTo(x, 12)));
  expect([...explained]).toEqual([16 / 6, 9 / 6].map((x) => expect.closeTo(x, 12)));
});

test("what was heard twice without an error weighs by how near each is, as a Brownian path between two of its points", () => {
  // Covariance min(s, t) at times 1 … 5, heard at 2 and 4: at 3 the mean of both, at 5 the last one (from memory).
  const { weights } = conditional(
    5,
    [1, 3],
    (i, j) => Math.min(i, j) + 1,
    () => 0,
  );
  expect([...weights.subarray(4, 6)]).toEqual([expect.closeTo(0.5, 12), expect.closeTo(0.5, 12)]);
  expect([...weights.subarray(8, 10)]).toEqual([expect.closeTo(0, 12), expect.closeTo(1, 12)]);
});

test("nothing heard explains nothing", () => {
  const { weights, explained } = conditional(
    3,
    [],
    () => 1,
    () => 0,
  );
  expect(weights).toHaveLength(0);
  expect([...explained]).toEqual([0, 0, 0]);
});
