import fc from "fast-check";
import { expect, test } from "vitest";
import { laggedSpectra } from "../../../lib/measurement/spectra/lagged";

/** Σ x[n] y[n + lag]. */
const correlation = (x: readonly number[], y: readonly number[], lag: number): number =>
  x.reduce((sum, v, n) => sum + v * (y[n + lag] ?? 0), 0);

test("cross-spectra hold the correlation at every lag asked for, and the reference's power (Parseval), over any blocks", () => {
  const samples = fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(
      samples,
      samples,
      fc.integer({ min: -12, max: 12 }),
      fc.integer({ min: 4, max: 12 }),
      (x, y, firstLag, lags) => {
        const found = laggedSpectra(Float64Array.from(x), Float64Array.from(y), firstLag, lags);
        const { size, reference, crossRe, crossIm } = found;
        const half = size / 2;
        expect(reference.length).toBe(half + 1);
        for (let i = 0; i < lags; i++) {
          // The inverse transform of a real sequence's spectrum, of which only half is kept.
          let sum = 0;
          for (let k = 0; k <= half; k++) {
            const angle = (2 * Math.PI * k * i) / size;
            const twice = k === 0 || k === half ? 1 : 2;
            sum += twice * (crossRe[k] * Math.cos(angle) - crossIm[k] * Math.sin(angle));
          }
          expect(sum / size).toBeCloseTo(correlation(x, y, firstLag + i), 8);
        }
        const power = reference.reduce((sum, v, k) => sum + (k === 0 || k === half ? v : 2 * v), 0) / size;
        expect(power).toBeCloseTo(correlation(x, x, 0), 8);
      },
    ),
  );
});

test("the signal's power is that of the stretches that the lags can pair with the reference", () => {
  // Three samples with four lags fit one block of 8: all of the signal from the first lag on.
  const found = laggedSpectra(Float64Array.of(1, 0, 0), Float64Array.of(5, 1, 2, 3), 1, 4);
  expect([found.size, found.blocks]).toEqual([8, 1]);
  const power = found.signal.reduce((sum, v, k) => sum + (k === 0 || k === 4 ? v : 2 * v), 0) / 8;
  expect(power).toBeCloseTo(1 + 4 + 9, 12);
});
