import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { minimise } from "../../lib/numeric/search";
import { evenly } from "../evenly";

const counted = (f: (x: number) => number) => {
  const counter = { calls: 0, f: (x: number) => f(x) };
  counter.f = (x) => {
    counter.calls++;
    return f(x);
  };
  return counter;
};

describe("the search of one number", () => {
  it("finds the vertex of a parabola and the tip of a kink, wherever they lie", () => {
    fc.assert(
      fc.property(evenly(-9, 9), (at) => {
        expect(minimise((x) => (x - at) ** 2, -10, 10, 0.5).x).toBeCloseTo(at, 5);
        expect(minimise((x) => Math.abs(x - at), -10, 10, 0.5).x).toBeCloseTo(at, 5);
        // Steep on one side.
        expect(minimise((x) => Math.max(x - at, 9 * (at - x)), -10, 10, 0.5).x).toBeCloseTo(at, 5);
      }),
    );
  });
  it("finds the lower of two dips, and an end where it is lowest", () => {
    const two = (x: number) => Math.min((x - 3) ** 2 + 0.1, (x + 4) ** 2);
    expect(minimise(two, -10, 10, 0.5).x).toBeCloseTo(-4, 5);
    expect(minimise((x) => x, -10, 10, 0.5).x).toBeCloseTo(-10, 5);
    expect(minimise((x) => -x, -10, 10, 0.5).x).toBeCloseTo(10, 5);
  });
  it("finds where tan x = x, the first dip of sin x / x, at 4.4934", () => {
    // First zero of the spherical Bessel function j1: 4.493409 (Abramowitz and Stegun, table 10.6, from memory).
    expect(minimise((x) => Math.sin(x) / x, 1, 10, 0.5).x).toBeCloseTo(4.493409, 5);
  });
  it("takes few steps in a smooth dip", () => {
    const smooth = counted((x) => Math.sqrt(4 + (x - 1.234) ** 2));
    minimise(smooth.f, 0, 2, 2, 1e-5);
    expect(smooth.calls).toBeLessThan(2 + 2 * 16);
  });
});
