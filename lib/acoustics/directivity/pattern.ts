/**
 * The pattern of a loudspeaker: its factor toward any direction once it stands somewhere, aimed.
 */

import { requirePositive } from "../../guard/arguments";
import { cross, dot, norm, type Point } from "../point";
import { firstOrder, rectangularPiston } from "./directivity";
import { sphereSides, toward } from "./sphere";

/** How the level falls off axis. Every pattern is 1 on axis. */
export type Pattern =
  | { readonly kind: "omni" }
  /** (1 − a) + a cos θ: a = 0 omni, 0.5 cardioid, 1 figure of eight. */
  | { readonly kind: "first-order"; readonly a: number }
  /** Small piston in a rigid sphere of this radius, metres: what a closed box does by itself at low frequencies. */
  | { readonly kind: "sphere"; readonly radius: number }
  /** Rectangular piston, sides in metres; straight behind it is `rear` dB weaker than on its axis where it beams. */
  | { readonly kind: "piston"; readonly width: number; readonly height: number; readonly rear: number };

export interface Orientation {
  /** Unit vector along the axis. */
  readonly axis: Point;
  /** Unit vector square to `axis`, along the cabinet's height. */
  readonly up: Point;
}

/**
 * Amplitude factor of a pattern toward a direction, at one or many wave numbers.
 *
 * A piston in front is that of an endless baffle. No baffle is endless: behind it the mirrored factor is lowered
 * by `rear` dB times the cosine of the angle from straight behind, all of it where the piston is large against the
 * wavelength and none where it is small ((ka)²/(1 + (ka)²), a the radius of the circle of equal area). This
 * treatment of the rear is a simple choice, not a published law.
 *
 * @param pattern  of the loudspeaker
 * @param orientation  unit vectors `axis` and `up`
 * @param direction  from the loudspeaker to the place, any length above 0
 * @param waveNumbers  radians per metre
 * @param into  array for the result; a new one when left out
 * @returns real amplitude relative to the axis, negative for opposite polarity; as many as wave numbers
 * @throws RangeError when the direction has no length
 * @source see directivity.ts for the front; check: tests/acoustics/directivity/pattern.test.ts
 */
export function patternFactors(
  pattern: Pattern,
  orientation: Orientation,
  direction: Point,
  waveNumbers: Float64Array,
  into: Float64Array = new Float64Array(waveNumbers.length),
): Float64Array {
  if (pattern.kind === "omni") return into.fill(1);
  const length = norm(direction);
  requirePositive("length of the direction", length);
  const ahead = dot(direction, orientation.axis) / length;
  if (pattern.kind === "first-order") return into.fill(firstOrder(pattern.a, ahead));
  if (pattern.kind === "sphere") {
    for (let i = 0; i < waveNumbers.length; i++) {
      into[i] = toward(sphereSides(waveNumbers[i] * pattern.radius), ahead);
    }
    return into;
  }
  const up = dot(direction, orientation.up) / length;
  const across = dot(direction, cross(orientation.axis, orientation.up)) / length;
  const { width, height, rear } = pattern;
  const rearNepers = ahead < 0 ? (rear * -ahead * Math.LN10) / 20 : 0;
  const radiusSquared = (width * height) / Math.PI;
  for (let i = 0; i < waveNumbers.length; i++) {
    const k = waveNumbers[i];
    const front = rectangularPiston(width, height, k, across, up);
    const large = k * k * radiusSquared;
    into[i] = rearNepers === 0 ? front : front * Math.exp((-rearNepers * large) / (1 + large));
  }
  return into;
}

/**
 * Amplitude factor of a pattern toward a direction at one wave number: see `patternFactors`.
 *
 * @param pattern  of the loudspeaker
 * @param orientation  unit vectors `axis` and `up`
 * @param direction  from the loudspeaker to the place, any length above 0
 * @param waveNumber  radians per metre
 * @returns real amplitude relative to the axis, negative for opposite polarity
 * @throws RangeError when the direction has no length
 */
export function patternFactor(
  pattern: Pattern,
  orientation: Orientation,
  direction: Point,
  waveNumber: number,
): number {
  return patternFactors(pattern, orientation, direction, Float64Array.of(waveNumber))[0];
}
