import { describe, expect, test } from "vitest";
import type { Spectra } from "../../../lib/measurement/spectra/averaged";
import { poolSpectra } from "../../../lib/measurement/spectra/pool";

/** Spectra whose bins lie 1 Hz apart, at a sample rate of `windowLength` hertz. */
function spectra(
  windowLength: number,
  at: (k: number) => { sent?: number; heard?: number; re?: number; im?: number },
): Spectra {
  const list = (value: (k: number) => number) =>
    Float64Array.from({ length: windowLength / 2 + 1 }, (_, k) => value(k));
  return {
    windowLength,
    segments: 10,
    averages: 10,
    reference: list((k) => at(k).sent ?? 1),
    microphones: [
      {
        power: list((k) => at(k).heard ?? 1),
        crossRe: list((k) => at(k).re ?? 0),
        crossIm: list((k) => at(k).im ?? 0),
      },
    ],
  };
}

const pooled = (
  of: Spectra,
  frequency: number[],
  options: { remainingDelay?: number; window?: "hann" | "rectangular" } = {},
) => poolSpectra(of, 0, of.windowLength, Float64Array.from(frequency), options);

describe("spectra pooled at a frequency", () => {
  test("on a bin are that bin's: H = Sxy / Sxx, coherence |Sxy|² / (Sxx Syy), the averages of its segments", () => {
    // 2 (3 + 4j) sent with power 4: H = 1.5 + 2j; |6 + 8j|² / (4 · 50) = 1/2.
    const one = spectra(16, (k) => (k === 3 ? { sent: 4, heard: 50, re: 6, im: 8 } : {}));
    const { re, im, coherence, averages } = pooled(one, [3]);
    expect([re[0], im[0], coherence![0], averages![0]]).toEqual([1.5, 2, 0.5, 10]);
  });

  test("between two bins are half of each, which with Hann's window are worth 18 / 13 independent ones", () => {
    const two = spectra(16, (k) => ({ re: k === 3 ? 1 : k === 4 ? 0.5 : 9 }));
    const { re, averages } = pooled(two, [3.5]);
    expect(re[0]).toBeCloseTo(0.75, 12);
    // Hann's squared is 3/8 − cos/2 + cos²/8 …: neighbours correlate by 2/3, so (1/2 + 1/2)² / (1/2 + 1/2 · 4/9).
    expect(averages![0]).toBeCloseTo((10 * 18) / 13, 9);
    expect(pooled(two, [3.5], { window: "rectangular" }).averages![0]).toBeCloseTo(20, 9);
  });

  test("on a coarser grid are a triangle as wide as its step", () => {
    // Four bins to either side: weights 1, 3/4, 1/2, 1/4, in all 4; their squares 1 + 2 (9 + 4 + 1) / 16 = 2.75.
    for (const [at, weight] of [
      [8, 1],
      [7, 0.75],
      [10, 0.5],
      [11, 0.25],
      [12, 0],
      [4, 0],
    ]) {
      const pulse = spectra(64, (k) => ({ re: k === at ? 1 : 0 }));
      const { re, averages } = pooled(pulse, [4, 8, 12], { window: "rectangular" });
      expect(re[1]).toBeCloseTo(weight / 4, 12);
      expect(averages![1]).toBeCloseTo((10 * 16) / 2.75, 9);
    }
    // Bins in which more was sent count for more: 8, 8 and 1 with weights 1, 1/2, 1/2.
    const uneven = spectra(64, (k) => ({ sent: k === 8 || k === 7 ? 8 : 1, re: k === 7 ? 8 : 0 }));
    const { re, averages } = pooled(uneven, [6, 8, 10], { window: "rectangular" });
    expect(re[1]).toBeCloseTo(4 / 12.5, 12);
    expect(averages![1]).toBeCloseTo((10 * 12.5 ** 2) / (64 + 16 + 0.25), 9);
  });

  test("beyond the first and the last bin but one are these", () => {
    const ends = spectra(16, (k) => ({ re: k === 1 ? 0.25 : k === 7 ? 0.5 : 9 }));
    for (const [frequency, value] of [
      [0.2, 0.25],
      [7.9, 0.5],
    ]) {
      const { re, averages } = pooled(ends, [frequency]);
      expect([re[0], averages![0]]).toEqual([value, 10]);
    }
  });

  test("have the rest of the delay taken out of the phase", () => {
    // A hundredth of a second late turns 5 Hz back by 18°.
    const late = spectra(32, (k) => ({
      re: Math.cos(2 * Math.PI * k * 0.01),
      im: -Math.sin(2 * Math.PI * k * 0.01),
    }));
    const { re, im } = pooled(late, [5, 9.5], { remainingDelay: 0.01 });
    for (const v of re) expect(v).toBeCloseTo(1, 12);
    for (const v of im) expect(v).toBeCloseTo(0, 12);
    expect(pooled(late, [5]).im[0]).toBeCloseTo(-0.309, 3);
  });

  test("are 0 with coherence 0 where one of the two is silent, and never more coherent than 1", () => {
    for (const silent of [{ sent: 0 }, { heard: 0 }, { sent: 1e-28 }]) {
      const { re, im, coherence } = pooled(
        spectra(16, (k) => ({ re: 1, im: 1, ...(k === 3 && silent) })),
        [3],
      );
      expect([re[0], im[0], coherence![0]]).toEqual([0, 0, 0]);
    }
    expect(
      pooled(
        spectra(16, () => ({ re: 1 + 1e-9 })),
        [3],
      ).coherence![0],
    ).toBe(1);
  });
});
