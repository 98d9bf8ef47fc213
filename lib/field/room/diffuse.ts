/**
 * The room's diffuse field from a group of sources, by energy: what the single paths leave over.
 *
 * Two published levels of the reflected sound, relative to the direct sound of the same power at 1 m radiated all
 * round: Hopkins and Stryker's 16π (1 − α)/(S α), the same everywhere, and Barron's 312 (T/V) e^{-0.04 r/T}, lower
 * the farther one sits, since at r reflected sound starts only when the direct sound has come. α is the mean
 * absorption that T tells of by Eyring.
 *
 * Reflections that are already there as paths must not count twice. In a diffuse field a share φ of the sound
 * meets the modelled walls, φ their share of the room's surface, and reflections of order n carry (1 − α)^n; so of
 * Σ_{n≥1} (1 − α)^n the paths up to order N take Σ_{n≤N} (φ(1 − α))^n, and the rest is diffuse.
 *
 * Limits: above the Schroeder frequency only; below it single modes rule, and the result is their mean at best.
 *
 * @source Hopkins and Stryker, Proc. IRE 36 (1948), 315-335; Barron and Lee, Energy relations in concert
 *   auditoriums I, J. Acoust. Soc. Am. 84 (1988), 618-628 (both from memory); the share left over is our own
 *   reckoning; check: tests/field/room/diffuse.test.ts
 */
import { valueAt } from "../../acoustics/bands/curve";
import { distance, type Point } from "../../acoustics/point";
import { requireWithin } from "../../guard/arguments";
import type { Room } from "../../venue/venue";

export type DiffuseModel = "none" | "hopkins-stryker" | "barron";

export interface DiffuseOptions {
  readonly model: Exclude<DiffuseModel, "none">;
  /** Highest order of the paths beside it. */
  readonly order: number;
  /** Area of the modelled walls, square metres. */
  readonly modelledArea: number;
  readonly speedOfSound: number;
}

/** Sound power of a group at one frequency, as the mean square that it would have at 1 m if radiated all round. */
export interface Emission {
  readonly power: Float64Array;
  /** Where it comes from, and each place's share of the power. */
  readonly positions: readonly { readonly point: Point; readonly fraction: number }[];
}

/**
 * Makes the function that computes the diffuse mean square at a place.
 *
 * @param room  volume, surface and reverberation time
 * @param emission  what the group radiates
 * @param frequency  hertz
 * @returns for a place, the mean square at each frequency; the array is overwritten by the next call
 * @throws RangeError when the reverberation time is not positive
 */
export function diffuseField(
  room: Room,
  emission: Emission,
  frequency: Float64Array,
  options: DiffuseOptions,
): (position: Point) => Float64Array {
  const { volume, surface } = room;
  const c = options.speedOfSound;
  const fraction = Math.min(1, options.modelledArea / surface);
  const level = new Float64Array(frequency.length);
  const decay = new Float64Array(frequency.length);
  for (let f = 0; f < frequency.length; f++) {
    const time = valueAt(room.reverberationTime, frequency[f]);
    requireWithin("reverberation time", time, 1e-3, 1e3);
    const rate = (6 * Math.LN10) / (c * time);
    const alpha = -Math.expm1((-4 * rate * volume) / surface);
    const whole = (1 - alpha) / alpha;
    let paths = 0;
    for (let n = 1; n <= options.order; n++) paths += (fraction * (1 - alpha)) ** n;
    const left = Math.max(0, 1 - paths / whole);
    const steady =
      options.model === "barron" ? (4 * Math.PI) / (rate * volume) : (16 * Math.PI * whole) / surface;
    level[f] = emission.power[f] * steady * left;
    decay[f] = options.model === "barron" ? rate : 0;
  }
  const result = new Float64Array(frequency.length);
  return (position) => {
    let r = 0;
    for (const { point, fraction: part } of emission.positions) r += part * distance(point, position);
    for (let f = 0; f < result.length; f++) result[f] = level[f] * Math.exp(-decay[f] * r);
    return result;
  };
}
