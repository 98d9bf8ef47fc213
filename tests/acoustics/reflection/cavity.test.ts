import { describe, expect, it } from "vitest";
import { endCorrection, quarterWaveFrequencies } from "../../../lib/acoustics/reflection/cavity";

describe("cavity as a quarter-wave resonator", () => {
  // Common practice, no source: a stage 2.4 m deep takes out about 36 Hz and, three times higher, 107 Hz.
  it("2.4 m deep has its series at 36, 107 and 179 Hz", () => {
    expect(quarterWaveFrequencies(2.4, 343.2, 200).map((f) => Math.round(f))).toEqual([36, 107, 179]);
    expect(quarterWaveFrequencies(2.4, 343.2, 30)).toEqual([]);
    // 340/(4 · 0.85) = 100 Hz and three times that, the limit itself included.
    expect(quarterWaveFrequencies(0.85, 340, 300).map((f) => Math.round(f))).toEqual([100, 300]);
  });

  // A lossless line closed at its end has the input impedance −j cot(kL): it vanishes where the series stands.
  it("its input impedance vanishes at every member of the series", () => {
    for (const f of quarterWaveFrequencies(1.7, 340, 1000)) {
      const kl = (2 * Math.PI * f * 1.7) / 340;
      expect(Math.abs(Math.cos(kl) / Math.sin(kl))).toBeLessThan(1e-9);
    }
  });

  // Levine and Schwinger (1948): 0.6133 a unflanged; Nomura et al. (1960): 0.8217 a flanged (from memory). The low limit
  // of a rigid piston in a flange, 8/(3π) a = 0.849 a, lies close above the latter.
  it("the end correction is 0.61 of the radius without a flange and 0.82 with one", () => {
    expect(endCorrection(1, "unflanged")).toBeCloseTo(0.613, 3);
    expect(endCorrection(0.5, "flanged")).toBeCloseTo(0.411, 3);
    expect(endCorrection(1, "flanged")).toBeLessThan(8 / (3 * Math.PI));
    expect(endCorrection(1, "none")).toBe(0);
  });

  it("a flanged opening lowers the series", () => {
    const series = quarterWaveFrequencies(3, 343.2, 200, { radius: 1.0093, end: "flanged" });
    // (3 + 0.8217 · 1.0093) m = 3.829 m, a quarter wave of 22.4 Hz.
    expect(series[0]).toBeCloseTo(22.41, 2);
    expect(series[1]).toBeCloseTo(67.22, 2);
  });

  it("an end correction without a radius, or a depth of nothing, is refused", () => {
    expect(() => quarterWaveFrequencies(3, 343, 200, { end: "flanged" })).toThrow("without a radius");
    expect(() => quarterWaveFrequencies(0, 343, 200)).toThrow("depth of the cavity is 0");
    expect(() => endCorrection(0, "flanged")).toThrow("radius of the opening is 0");
  });
});
