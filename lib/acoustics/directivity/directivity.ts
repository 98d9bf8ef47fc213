/**
 * Directivity: how a source's sound pressure depends on direction.
 *
 * Every factor is a real amplitude relative to the axis; negative means opposite polarity. Angles enter by
 * direction cosines, wavelength by the wave number k = 2πf/c in radians per metre.
 */

import { requireInteger, requirePositive } from "../../guard/arguments";
import { toDecibel } from "../level/decibel";

/**
 * Factor of a continuous line that radiates in phase all along.
 *
 * @param length  of the line, metres, 0 or more
 * @param k  wave number, 2π times frequency over speed of sound, radians per metre
 * @param sine  sine of the angle from the plane perpendicular to the line, −1…1
 * @returns amplitude factor sin(x)/x with x = k L sine/2
 * @source Kinsler et al., Fundamentals of Acoustics, continuous line source (from memory); check: tests/acoustics/directivity/directivity.test.ts
 */
export function continuousLine(length: number, k: number, sine: number): number {
  const x = (k * length * sine) / 2;
  return Math.abs(x) < 1e-4 ? 1 - (x * x) / 6 : Math.sin(x) / x;
}

/**
 * Pressure, relative to that straight ahead, of equal point sources in phase, evenly spaced on a line.
 *
 * @param count  how many, at least 1
 * @param spacing  between neighbours, metres, > 0
 * @param k  wave number, 2π times frequency over speed of sound, radians per metre
 * @param sine  sine of the angle from the plane perpendicular to the line, −1…1
 * @returns amplitude factor, a ratio: sin(Nx)/(N sin x) with x = k d sine/2; negative means inverted polarity
 * @throws RangeError when the count is not a whole number from 1 or the spacing is not positive
 * @source Kinsler et al., Fundamentals of Acoustics, line arrays (from memory); check: tests/acoustics/directivity/directivity.test.ts
 * @example
 * const k = (2 * Math.PI * 60) / 343.2; // 60 Hz: two subs a quarter wavelength apart
 * acoustics.directivity.lineOfElements(2, 1.43, k, 1) // 0.71
 */
export function lineOfElements(count: number, spacing: number, k: number, sine: number): number {
  requireInteger("number of elements", count, 1, 1e6);
  requirePositive("spacing", spacing);
  const x = (k * spacing * sine) / 2;
  const fromLobe = x - Math.PI * Math.round(x / Math.PI);
  // At a grating lobe all elements are whole wavelengths apart; an even count then changes sign with each lobe.
  const sign = (count - 1) % 2 && Math.round(x / Math.PI) % 2 ? -1 : 1;
  if (Math.abs(fromLobe) * count < 1e-4) return sign * (1 - ((count ** 2 - 1) * fromLobe ** 2) / 6);
  return Math.sin(count * x) / (count * Math.sin(x));
}

/**
 * Pressure, relative to that on its axis, of a rectangular piston in an endless baffle, in front of it.
 *
 * @param width  metres, 0 or more
 * @param height  metres, 0 or more
 * @param k  wave number, 2π times frequency over speed of sound, radians per metre
 * @param across  direction cosine along the width, −1…1
 * @param up  direction cosine along the height, −1…1
 * @returns amplitude factor, a ratio: the product of a continuous line of each side, sin(x)/x with x = k times the side
 *   times its cosine, halved; negative means inverted polarity
 * @source Kinsler et al., Fundamentals of Acoustics, product theorem; Kuttruff, Acoustics (from memory); check: tests/acoustics/directivity/directivity.test.ts
 * @example
 * const k = (2 * Math.PI * 286) / 343.2; // 286 Hz: the width is half a wavelength
 * acoustics.directivity.piston(0.6, 0.3, k, 1, 0) // 0.637
 */
export function rectangularPiston(
  width: number,
  height: number,
  k: number,
  across: number,
  up: number,
): number {
  return continuousLine(width, k, across) * continuousLine(height, k, up);
}

/**
 * Pressure, relative to that on its axis, of a first-order pattern such as a cardioid: (1 − a) + a cos θ.
 *
 * @param a  0 omni, 0.5 cardioid, 0.63 supercardioid, 0.75 hypercardioid, 1 figure of eight
 * @param cosine  cosine of the angle from the axis, −1…1
 * @returns amplitude factor, a ratio; negative means inverted polarity
 * @source Eargle, The Microphone Book, first-order patterns (from memory); check: tests/acoustics/directivity/directivity.test.ts
 * @example
 * const side = acoustics.directivity.firstOrder(0.5, Math.cos(Math.PI / 2));
 * acoustics.level.ofAmplitude(side) // -6.02
 */
export function firstOrder(a: number, cosine: number): number {
  return 1 - a + a * cosine;
}

/**
 * Directivity index by integration over all directions: 10 lg of the axis's mean square over that of all directions.
 *
 * Gauss-Legendre over the cosine of the polar angle, even steps around the axis.
 *
 * @param factor  amplitude factor from the direction cosines `ahead` (along the axis), `across` and `up`; 1 on axis
 * @param options  `polar` points from front to back and `azimuth` points around; take more for finer lobes. `around`, how far
 *   round the axis to go, radians: a quarter, π/2, tells all of a pattern that is the same left and right, above and below
 * @returns dB
 * @throws RangeError when a number of points is too small or the factor is 0 all round
 * @source Kinsler et al., Fundamentals of Acoustics, directivity (from memory); check: tests/acoustics/directivity/directivity.test.ts
 */
export function directivityIndex(
  factor: (ahead: number, across: number, up: number) => number,
  {
    polar = 128,
    azimuth = 128,
    around = 2 * Math.PI,
  }: { polar?: number; azimuth?: number; around?: number } = {},
): number {
  requireInteger("polar points", polar, 2, 10000);
  requireInteger("azimuth points", azimuth, 4, 10000);
  requirePositive("angle around the axis", around);
  // Each half has its own rule: a pattern in a baffle ends abruptly at the side.
  const half = gaussLegendre(Math.ceil(polar / 2));
  let sum = 0;
  for (const side of [1, -1]) {
    for (const { node, weight } of half) {
      const ahead = (side * (1 + node)) / 2;
      const aside = Math.sqrt(1 - ahead * ahead);
      for (let j = 0; j < azimuth; j++) {
        const angle = (around * (j + 0.5)) / azimuth;
        sum += (weight / 2) * factor(ahead, aside * Math.cos(angle), aside * Math.sin(angle)) ** 2;
      }
    }
  }
  requirePositive("mean square over all directions", sum);
  return toDecibel((2 * azimuth) / sum);
}

/** Nodes −1…1 and weights of Gauss-Legendre quadrature by Newton's method. */
function gaussLegendre(n: number): { node: number; weight: number }[] {
  return Array.from({ length: n }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let derivative = 1;
    for (let step = 0; step < 20; step++) {
      let [previous, value] = [1, x];
      for (let k = 2; k <= n; k++)
        [previous, value] = [value, ((2 * k - 1) * x * value - (k - 1) * previous) / k];
      derivative = (n * (x * value - previous)) / (x * x - 1);
      x -= value / derivative;
    }
    return { node: x, weight: 2 / ((1 - x * x) * derivative ** 2) };
  });
}
