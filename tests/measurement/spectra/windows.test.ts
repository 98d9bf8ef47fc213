import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  effectiveAverages,
  timeWindow,
  type WindowShape,
  windowEnergy,
} from "../../../lib/measurement/spectra/windows";

describe("a time window", () => {
  test("of four samples is 1 throughout, or rises from 0 over a half to 1 and back: Hann's is sin² of the way", () => {
    expect([...timeWindow("rectangular", 4)]).toEqual([1, 1, 1, 1]);
    [0, 0.5, 1, 0.5].forEach((w, n) => {
      expect(timeWindow("hann", 4)[n]).toBeCloseTo(w, 15);
    });
  });

  test("has its peak of 1 in the middle and is the same from either side", () => {
    for (const shape of ["hann", "blackman-harris", "flat-top"] as const) {
      const window = timeWindow(shape, 32);
      expect(window[16]).toBeCloseTo(1, 8);
      for (let n = 1; n < 16; n++) expect(window[n]).toBeCloseTo(window[32 - n], 12);
    }
  });

  test("has the sum of its squares by its coefficients", () => {
    for (const shape of ["rectangular", "hann", "blackman-harris", "flat-top"] as const)
      for (const length of [10, 256]) {
        const sum = timeWindow(shape, length).reduce((total, w) => total + w * w, 0);
        expect(windowEnergy(shape, length)).toBeCloseTo(sum, 10);
      }
  });

  test("of no known shape or of no whole length is refused", () => {
    expect(() => timeWindow("round" as WindowShape, 8)).toThrow(/window is "round", expected one of .*hann/);
    for (const length of [0, -4, 2.5])
      expect(() => timeWindow("hann", length)).toThrow(`window length is ${length}`);
    expect(timeWindow("rectangular", 1).length).toBe(1);
  });
});

describe("averages that overlap", () => {
  test("count for less by what they share: a rectangular window, by hand", () => {
    const four = new Float64Array(4).fill(1);
    // Half of it shared: ρ = 1/2; 2 / (1 + 2 · 1/2 · 1/4) = 1.6.
    expect(effectiveAverages(2, four, 2)).toBeCloseTo(1.6, 12);
    // ρ = 3/4, 1/2: 3 / (1 + 2 (2/3 · 9/16 + 1/3 · 1/4)) = 3 / (23/12).
    expect(effectiveAverages(3, four, 1)).toBeCloseTo(36 / 23, 12);
    // A window that falls: (2, 1), shared 2 of an energy of 5: 2 / (1 + (2/5)²).
    expect(effectiveAverages(2, Float64Array.of(2, 1), 1)).toBeCloseTo(2 / 1.16, 12);
    expect(effectiveAverages(7, four, 4)).toBe(7);
  });

  test("are worth one at least and all of them at most", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 16 }),
        fc.constantFrom<WindowShape>("hann", "rectangular", "flat-top"),
        (segments, hop, shape) => {
          const worth = effectiveAverages(segments, timeWindow(shape, 16), hop);
          expect(worth).toBeGreaterThanOrEqual(1 - 1e-12);
          expect(worth).toBeLessThanOrEqual(segments);
        },
      ),
    );
  });
});
