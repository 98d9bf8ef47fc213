import { describe, expect, test } from "vitest";
import { kernelAt, sampleAt } from "../../../lib/measurement/signals/interpolate-samples";
import { seeded } from "../seeded";

/** Worst error over random places of a sine of amplitude 1 and frequency f, as a share of half the sample rate. */
function worst(f: number): number {
  const random = seeded(Math.round(1000 * f));
  const phase = 6.28 * random.uniform();
  const samples = Float64Array.from({ length: 400 }, (_, n) => Math.sin(Math.PI * f * n + phase));
  let most = 0;
  for (let i = 0; i < 500; i++) {
    const at = 50 + 300 * random.uniform();
    most = Math.max(most, Math.abs(sampleAt(samples, at) - Math.sin(Math.PI * f * at + phase)));
  }
  return most;
}

describe("a value between samples", () => {
  test.each([0.01, 0.1, 0.5, 0.8, 0.9])("of a sine at %d of half the sample rate is exact to −80 dB", (f) => {
    expect(worst(f)).toBeLessThan(1e-4);
  });
  test("near half the sample rate is not, and the docstring says by how much", () => {
    expect(20 * Math.log10(worst(0.95))).toBeGreaterThan(-35);
    expect(20 * Math.log10(worst(0.95))).toBeLessThan(-18);
  });
  test("on a sample is the sample, outside the recording 0", () => {
    const samples = Float64Array.of(1, -2, 3);
    expect(sampleAt(samples, 1)).toBeCloseTo(-2, 12);
    expect(sampleAt(samples, 100)).toBe(0);
  });
  test("has the same weights about every sample: 32 to either side, all in all 1, the sample alone at no fraction", () => {
    const samples = Float64Array.from({ length: 200 }, (_, n) => Math.sin(0.7 * n));
    for (const fraction of [-0.5, -0.2, 0.3, 0.5]) {
      const weights = kernelAt(fraction);
      expect(weights.length).toBe(65);
      const value = weights.reduce((sum, w, j) => sum + w * samples[100 + j - 32], 0);
      expect(value).toBeCloseTo(Math.sin(0.7 * (100 + fraction)), 4);
      expect(weights.reduce((sum, w) => sum + w, 0)).toBeCloseTo(1, 4);
    }
    kernelAt(0).forEach((w, j) => {
      expect(w).toBeCloseTo(j === 32 ? 1 : 0, 12);
    });
  });
});
