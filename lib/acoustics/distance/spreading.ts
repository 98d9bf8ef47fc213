/**
 * How level falls with distance in free field: point source, endless line, and the line of finite length between.
 *
 * Every drop is a positive number of dB from the near place to the far one.
 */

import { requirePositive, requireWithin } from "../../guard/arguments";
import { toDecibel } from "../level/decibel";

/** A longer line takes the integral seconds; the longest hang at the highest frequency has a thousandth of it. */
const MOST_WAVELENGTHS = 1e5;

/**
 * Level drop of a point source between two distances: 6.02 dB for each doubling.
 *
 * @param near  distance of the louder place, metres, > 0
 * @param far  distance of the other place, metres, > 0
 * @returns dB, positive when `far` is farther
 * @throws RangeError when a distance is not positive
 * @source spherical spreading, ISO 9613-2 geometrical divergence; check: tests/acoustics/distance/spreading.test.ts
 * @example
 * acoustics.distance.pointLoss(10, 20) // 6.02
 */
export function pointSourceDrop(near: number, far: number): number {
  requirePositive("near distance", near);
  requirePositive("far distance", far);
  return 20 * Math.log10(far / near);
}

/**
 * Level drop of an endless line source between two distances: 3.01 dB for each doubling.
 *
 * @param near  distance of the louder place from the line, metres, > 0
 * @param far  distance of the other place from the line, metres, > 0
 * @returns dB, positive when `far` is farther
 * @throws RangeError when a distance is not positive
 * @source cylindrical spreading; check: tests/acoustics/distance/spreading.test.ts
 * @example
 * acoustics.distance.lineLoss(10, 20) // 3.01
 */
export function lineSourceDrop(near: number, far: number): number {
  requirePositive("near distance", near);
  requirePositive("far distance", far);
  return 10 * Math.log10(far / near);
}

/**
 * Level drop at one frequency of a straight line whose parts all radiate in phase, straight ahead of its middle.
 *
 * The pressure is the integral of e^{-jkR}/R along the line, computed numerically. Near the line it ripples about
 * the law of the endless line; beyond `lineTransition` it falls like a point source.
 *
 * @param length  of the line, metres, > 0
 * @param frequency  hertz, > 0
 * @param near  distance of the louder place, metres, > 0
 * @param far  distance of the other place, metres, > 0
 * @param speedOfSound  metres per second, 343.2 by default
 * @returns dB; negative where a ripple makes the farther place louder
 * @throws RangeError when an argument is not positive, or the line has more than 100 000 wavelengths
 * @source Lipshitz and Vanderkooy, The acoustic radiation of line sources of finite length, AES 81st Convention (1986) (from memory); check: tests/acoustics/distance/spreading.test.ts
 * @example
 * // A hang of 4 m at 1 kHz, far beyond its transition at 23 m: 6 dB for each doubling.
 * acoustics.distance.finiteLineLoss(4, 1000, 100, 200) // 6
 */
export function coherentLineDrop(
  length: number,
  frequency: number,
  near: number,
  far: number,
  speedOfSound = 343.2,
): number {
  requirePositive("line length", length);
  requirePositive("frequency", frequency);
  requirePositive("near distance", near);
  requirePositive("far distance", far);
  requirePositive("speed of sound", speedOfSound);
  requireWithin("line length in wavelengths", (length * frequency) / speedOfSound, 0, MOST_WAVELENGTHS);
  const k = (2 * Math.PI * frequency) / speedOfSound;
  return toDecibel(lineMeanSquare(length, k, near) / lineMeanSquare(length, k, far));
}

/**
 * Distance where a coherent line of finite length passes from the law of the line to that of the point.
 *
 * Taken where the path from the line's end is a quarter wavelength longer than that from its middle:
 * r = L²/(2λ) − λ/8. Lines shorter than half a wavelength are point sources at every distance: 0 then.
 *
 * @param length  of the line, metres, > 0
 * @param frequency  hertz, > 0
 * @param speedOfSound  metres per second, 343.2 by default
 * @returns metres, 0 or more
 * @throws RangeError when an argument is not positive
 * @source Lipshitz and Vanderkooy, AES 81st Convention (1986), up to the choice of a quarter wavelength (from memory); check: tests/acoustics/distance/spreading.test.ts
 * @example
 * acoustics.distance.lineTransition(4, 1000) // 23.3
 */
export function lineTransitionDistance(length: number, frequency: number, speedOfSound = 343.2): number {
  requirePositive("line length", length);
  requirePositive("frequency", frequency);
  requirePositive("speed of sound", speedOfSound);
  const wavelength = speedOfSound / frequency;
  return Math.max(0, length ** 2 / (2 * wavelength) - wavelength / 8);
}

/**
 * How fast the level falls at a distance, per metre walked away from the source.
 *
 * @param distance  from the source, metres, > 0
 * @param law  "point" for spherical, "line" for cylindrical spreading
 * @returns dB per metre: the slope at this distance, 8.69/r for a point and half of that for a line
 * @throws RangeError when the distance is not positive
 * @source derivative of spherical and cylindrical spreading; check: tests/acoustics/distance/spreading.test.ts
 * @example
 * acoustics.distance.lossPerMetre(20) // 0.43
 */
export function dropPerMetre(distance: number, law: "point" | "line" = "point"): number {
  requirePositive("distance", distance);
  return (law === "point" ? 20 : 10) / (Math.LN10 * distance);
}

/** Mean square of the integral of e^{-jkR}/R along the line, by Simpson's rule over half of it. */
function lineMeanSquare(length: number, k: number, r: number): number {
  const half = length / 2;
  const cycles = (k * (Math.hypot(r, half) - r)) / (2 * Math.PI);
  // With t = asinh(z/r) the integrand loses its 1/R and is smooth even very near the line.
  const end = Math.asinh(half / r);
  const steps = 2 * Math.ceil(100 + 40 * cycles);
  let re = 0;
  let im = 0;
  for (let i = 0; i <= steps; i++) {
    const weight = i === 0 || i === steps ? 1 : i % 2 ? 4 : 2;
    const phase = k * r * (Math.cosh((end * i) / steps) - 1);
    re += weight * Math.cos(phase);
    im += weight * Math.sin(phase);
  }
  return (re * re + im * im) * (end / steps) ** 2;
}
