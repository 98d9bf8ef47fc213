import { expect, test } from "vitest";
import { PLACE_ERROR } from "../../lib/estimate/discrepancy";
import { placeLevels } from "../../lib/estimate/place-levels";
import { normal } from "../../lib/numeric/random";

const points = [0, 1, 4, 60].map((x) => ({ x, y: 0, z: 1.2 }));

test("what was heard holds where it was heard, fades with distance, and is nothing far away", () => {
  const [here, near, farther, far] = placeLevels(points, [0])([2], undefined);
  expect(here).toBeGreaterThan(1.85);
  expect(near).toBeLessThan(here);
  expect(farther / here).toBeCloseTo(Math.exp(-0.5 * (4 / PLACE_ERROR.metres) ** 2), 9);
  expect(Math.abs(far)).toBeLessThan(1e-6);
});

test("draws are free far away and bound near a microphone", () => {
  const random = normal(8);
  const levels = placeLevels(points, [0]);
  const drawn = Array.from({ length: 3000 }, () => levels([1], random));
  const spread = (i: number) => {
    const mean = drawn.reduce((s, d) => s + d[i], 0) / drawn.length;
    return Math.sqrt(drawn.reduce((s, d) => s + (d[i] - mean) ** 2, 0) / drawn.length);
  };
  expect(spread(0)).toBeLessThan(0.3);
  expect(spread(3)).toBeGreaterThan(0.93);
  expect(spread(3)).toBeLessThan(1.07);
});
