import fc from "fast-check";
import { expect, test } from "vitest";
import { convolve } from "../../../lib/measurement/spectra/convolve";
import { fourierTransform, nextPowerOfTwo } from "../../../lib/measurement/spectra/fft";

test("convolution is that of school: (1 + 2x + 3x²)(4 + 5x) = 4 + 13x + 22x² + 15x³", () => {
  const product = convolve(Float64Array.of(1, 2, 3), Float64Array.of(4, 5));
  expect(product.length).toBe(4);
  [4, 13, 22, 15].forEach((v, i) => {
    expect(product[i]).toBeCloseTo(v, 12);
  });
});

test("convolution is its defining sum, for any two sequences, whatever was transformed before", () => {
  const some = fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 20 });
  fc.assert(
    fc.property(some, some, (a, b) => {
      const ours = convolve(Float64Array.from(a), Float64Array.from(b));
      expect(ours.length).toBe(a.length + b.length - 1);
      ours.forEach((v, n) => {
        const sum = a.reduce((s, x, i) => s + x * (b[n - i] ?? 0), 0);
        expect(Math.abs(v - sum)).toBeLessThan(1e-10);
      });
    }),
  );
});

test("a pulse at sample 1 has the spectrum e^{-j2πk/N}: 1, (1 − j)/√2, −j … for 8 points", () => {
  const transform = fourierTransform(8);
  transform.re.fill(0)[1] = 1;
  transform.im.fill(0);
  transform.forward();
  const half = Math.SQRT1_2;
  [1, half, 0, -half, -1, -half, 0, half].forEach((v, k) => {
    expect(transform.re[k]).toBeCloseTo(v, 14);
  });
  [0, -half, -1, -half, 0, half, 1, half].forEach((v, k) => {
    expect(transform.im[k]).toBeCloseTo(v, 14);
  });
  transform.inverse();
  [0, 1, 0, 0, 0, 0, 0, 0].forEach((v, n) => {
    expect(transform.re[n]).toBeCloseTo(v, 14);
    expect(transform.im[n]).toBeCloseTo(0, 14);
  });
});

test("there is one transform of a size, and the next power of two is 8 at least", () => {
  expect(fourierTransform(64)).toBe(fourierTransform(64));
  expect([0, 3, 8, 9, 16, 1000, 4097].map(nextPowerOfTwo)).toEqual([8, 8, 8, 16, 16, 1024, 8192]);
});
