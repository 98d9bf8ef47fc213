// Paris' mean: the integral of 2 α(θ) sin θ cos θ over the angles of incidence, α(θ) = 1 − |(cos θ − y)/(cos θ + y)|², by scipy 1.17.1
// (integrate.quad); its maximum of 0.951 at y = 0.638: Kuttruff, Room Acoustics, section 2.5 (from memory).
import { expect, test } from "vitest";
import { randomAbsorption } from "../../../lib/acoustics/reflection/local-wall";

test.each([
  [0, 0],
  [0.05, 0.09239],
  [0.1, 0.17544],
  [0.2, 0.3232],
  [0.3, 0.45256],
  [0.5, 0.66877],
  [0.7, 0.83529],
  [0.9, 0.94242],
  [1, 0.90965],
])("a wall that absorbs %f squarely absorbs %f from all directions", (normal, random) => {
  expect(randomAbsorption(normal)).toBeCloseTo(random, 4);
});

test("absorption that is none is refused", () => {
  for (const odd of [-0.1, 1.1, Number.NaN]) expect(() => randomAbsorption(odd)).toThrow(RangeError);
});
