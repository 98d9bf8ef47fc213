import { describe, expect, it } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { missingSquare } from "../../lib/estimate/missing-square";

const frequency = logGrid(20, 400, 200);
const flat = (level: number, at: (f: number) => number = () => 1) => ({
  frequency,
  re: frequency.map((f) => level * at(f)),
  im: new Float64Array(frequency.length),
});
/** Too far from one another to be of one spot. */
const apart = [0, 20].map((x) => ({ x, y: 0, z: 1.2 }));
const n = frequency.findIndex((f) => f > 80);

describe("the field that a model lacks", () => {
  it("is 0.225 at 40 Hz of a field that is the same everywhere, in proportion to the frequency", () => {
    const square = missingSquare([flat(2), flat(2)], apart, true);
    expect(square(0, n, 1)).toBeCloseTo((4 * 0.225 * frequency[n]) / 40, 10);
    expect(square(0, n, 0.5)).toBeCloseTo((2 * 0.225 * frequency[n]) / 40, 10);
  });

  it("stays in a dip of the model: where it cancels, what it lacks does not", () => {
    const dip = flat(1, (f) => (Math.abs(f / frequency[n] - 1) < 0.02 ? 0 : 1));
    const square = missingSquare([dip, dip], apart, true);
    const without = missingSquare([flat(1), flat(1)], apart, true);
    // The dip takes less than a tenth of the octave around it.
    expect(square(0, n, 1)).toBeGreaterThan(0.9 * without(0, n, 1));
  });

  it("is less at the back than at the front, and what is diffuse is in it", () => {
    const square = missingSquare([flat(4), flat(1)], apart, true);
    expect(square(0, n, 1)).toBeGreaterThan(4 * square(1, n, 1));
    const diffuse = frequency.map(() => 3);
    const more = missingSquare([flat(4), { ...flat(1), diffuse }], apart, true);
    expect(more(1, n, 1) - square(1, n, 1)).toBeCloseTo(3, 10);
  });

  it("is not in a spot where the model's paths happen to cancel, and is where the model is weak all around", () => {
    const row = Array.from({ length: 81 }, (_, i) => ({ x: i / 4, y: 0, z: 1.2 }));
    const spot = missingSquare(
      row.map((_, i) => flat(i === 40 ? 0.1 : 1)),
      row,
      true,
    );
    expect(spot(40, n, 1)).toBeGreaterThan(0.6 * spot(0, n, 1));
    const back = missingSquare(
      row.map((_, i) => flat(i > 40 ? 0.1 : 1)),
      row,
      true,
    );
    expect(back(80, n, 1)).toBeLessThan(0.1 * back(0, n, 1));
  });
});
