import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { interpolateLog, levelAt, valueAt } from "../../../lib/acoustics/bands/curve";

describe("curve over log frequency", () => {
  const curve = { frequency: [50, 100, 400], level: [90, 96, 84] };

  it("passes through its points, is straight between them over octaves, and constant outside", () => {
    expect([50, 100, 400].map((f) => levelAt(curve, f))).toEqual([90, 96, 84]);
    // 100 to 400 Hz are two octaves of −6 dB each.
    expect(levelAt(curve, 200)).toBeCloseTo(90, 12);
    expect(levelAt(curve, 100 * Math.SQRT2)).toBeCloseTo(93, 12);
    expect(levelAt(curve, 10)).toBe(90);
    expect(levelAt(curve, 20000)).toBe(84);
  });

  it("stays within the values of its neighbours", () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 24000, noNaN: true }), (f) => {
        const value = valueAt({ frequency: [63, 125, 250, 500], value: [0.1, 0.4, 0.2, 0.9] }, f);
        return value >= 0.1 && value <= 0.9;
      }),
    );
  });

  it("a curve without points, or with too few values, is refused", () => {
    expect(() => interpolateLog([], [], 100)).toThrow("curve's frequency holds 0 values");
    expect(() => interpolateLog([1, 2], [1], 100)).toThrow("its values 1");
  });
});
