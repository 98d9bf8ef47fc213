/**
 * Poles of Bessel filters: the roots of the reverse Bessel polynomials, which make the group delay maximally flat.
 */
import type { Complex } from "./filter";

/**
 * Poles of a Bessel lowpass.
 *
 * "magnitude": the level is 3.01 dB down at 1 rad/s. "phase": the far slope is that of a Butterworth filter with its
 * corner at 1 rad/s; the phase at 1 rad/s is then half of its limit to within 3 %, exactly so for order 1 and 2.
 *
 * @param order  1 to 8
 * @param normalisation  what happens at 1 rad/s
 * @returns poles, conjugates side by side
 * @source Thomson, Delay networks having maximally flat frequency characteristics, Proc. IEE 96 (1949), 487-490 (from memory); check: tests/acoustics/filters/response.test.ts
 */
export function besselPoles(order: number, normalisation: "magnitude" | "phase"): Complex[] {
  const coefficients = reverseBesselPolynomial(order);
  const poles = polynomialRoots(coefficients);
  const scale =
    normalisation === "phase" ? coefficients[0] ** (-1 / order) : 1 / halfPowerFrequency(coefficients);
  return poles.map(({ re, im }) => ({ re: re * scale, im: im * scale }));
}

/** Coefficients from the constant upward, whole numbers: (2n−k)!/(2^(n−k) k! (n−k)!). */
function reverseBesselPolynomial(n: number): number[] {
  const factorial = (m: number): number => (m < 2 ? 1 : m * factorial(m - 1));
  return Array.from({ length: n + 1 }, (_, k) =>
    Math.round(factorial(2 * n - k) / (2 ** (n - k) * factorial(k) * factorial(n - k))),
  );
}

/** Where the polynomial's magnitude on the imaginary axis has grown to √2 times its value at 0. */
function halfPowerFrequency(coefficients: readonly number[]): number {
  let low = 0;
  let high = coefficients.length * 2;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    const { re, im } = evaluate(coefficients, { re: 0, im: middle });
    if (Math.hypot(re, im) < Math.SQRT2 * coefficients[0]) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** All roots at once by the iteration of Weierstrass; real coefficients, the highest being 1. */
function polynomialRoots(coefficients: readonly number[]): Complex[] {
  const n = coefficients.length - 1;
  const radius = coefficients[0] ** (1 / n);
  const z: Complex[] = Array.from({ length: n }, (_, i) => {
    const angle = Math.PI * (0.5 + (i + 0.45) / n);
    return { re: radius * Math.cos(angle), im: radius * Math.sin(angle) };
  });
  for (let step = 0, moved = 1; step < 200 && moved > 1e-15; step++) {
    moved = 0;
    for (let i = 0; i < n; i++) {
      let divisor: Complex = { re: 1, im: 0 };
      for (let j = 0; j < n; j++) {
        if (j !== i) divisor = multiply(divisor, { re: z[i].re - z[j].re, im: z[i].im - z[j].im });
      }
      const shift = divide(evaluate(coefficients, z[i]), divisor);
      z[i] = { re: z[i].re - shift.re, im: z[i].im - shift.im };
      moved = Math.max(moved, Math.hypot(shift.re, shift.im) / radius);
    }
  }
  return conjugatePairs(z);
}

/** Makes pairs exact conjugates, side by side, and a single root exactly real. */
function conjugatePairs(z: readonly Complex[]): Complex[] {
  const upper = z.filter(({ im }) => im > 1e-6);
  const real = z.filter(({ im }) => Math.abs(im) <= 1e-6).map(({ re }) => ({ re, im: 0 }));
  return [
    ...upper.flatMap(({ re, im }) => [
      { re, im },
      { re, im: -im },
    ]),
    ...real,
  ];
}

function evaluate(coefficients: readonly number[], s: Complex): Complex {
  return coefficients.reduceRight<Complex>(
    (sum, c) => {
      const next = multiply(sum, s);
      return { re: next.re + c, im: next.im };
    },
    { re: 0, im: 0 },
  );
}

const multiply = (a: Complex, b: Complex): Complex => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
});

const divide = (a: Complex, b: Complex): Complex => {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
};
