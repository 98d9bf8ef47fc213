import fc from "fast-check";

/**
 * Numbers spread evenly between two limits, these included. fast-check's own `double` draws evenly among all numbers that a
 * computer can write, so that of −6 to 6 nine in ten lie within a hundredth of 0: fit for ranges that keep away from it.
 */
export const evenly = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1e6 }).map((i) => min + ((max - min) * i) / 1e6);
