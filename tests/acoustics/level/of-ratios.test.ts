import { describe, expect, it } from "vitest";
import { ratiosToLevels } from "../../../lib/acoustics/level/of-ratios";

describe("ratios to levels in bulk", () => {
  it("agrees with the built-in logarithm to 1e-9 dB from −200 to 200 dB", () => {
    const ratios = Float64Array.from({ length: 20001 }, (_, i) => 10 ** (-20 + i / 500 + 1e-5 * (i % 7)));
    const expected = ratios.map((r) => 10 * Math.log10(r));
    ratiosToLevels(ratios);
    let worst = 0;
    ratios.forEach((level, i) => {
      worst = Math.max(worst, Math.abs(level - expected[i]));
    });
    expect(worst).toBeLessThan(1e-9);
  });
  it("gives the printed levels of round ratios", () => {
    // Table of decibels in any handbook: 1, 2, 4, 10, 100, 1/2 as power ratios.
    const ratios = Float64Array.of(1, 2, 4, 10, 100, 0.5);
    ratiosToLevels(ratios);
    [0, 3.0103, 6.0206, 10, 20, -3.0103].forEach((level, i) => {
      expect(ratios[i]).toBeCloseTo(level, 4);
    });
  });
});
