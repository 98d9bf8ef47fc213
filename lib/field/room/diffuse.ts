/**
 * The room's diffuse field from a group of sources, by energy: what the single paths leave over.
 *
 * By the balance of energy: with a mean absorption α, the one that the reverberation time tells of by
 * Eyring, and K the share of the power that the first walls send back (`first-walls.ts`), reflections of order n carry
 * K (1 − α)^{n−1}, and each makes 16π/S of that on its way to the next wall, S the room's surface. What reflections
 * there are as paths must not count twice: in a diffuse field a share φ of the sound meets the modelled walls, φ their
 * share of the surface, so that the paths of order n keep K' (φ(1 − α))^{n−1}, K' what modelled walls send back first.
 * The rest is
 *
 *     16π/S · (K/α − Σ_{n≤N} K' (φ(1 − α))^{n−1}) · e^{-(r − ℓ)κ/2},
 *
 * with r the distance, ℓ = 4V/S the mean free path, κ = 6 ln 10/(cT) the decay per metre. The slope, half of Barron's,
 * stands for what walls scatter, of which the venue file says nothing. Where all of them mirror, ray tracing finds no
 * slope beyond first reflections; it finds Barron's with about three tenths of the sound scattered, nearly twice that
 * with six.
 *
 * Two published laws beside it, less the same paths with K by area: Hopkins and Stryker's 16π (1 − α)/(S α), the same
 * everywhere, and Barron's 312 (T/V) e^{-0.04 r/T}, lower the farther one sits, since at r reflected sound starts only
 * when the direct sound has come. Both know nothing of where a loudspeaker aims.
 *
 * Limits: above the Schroeder frequency only; below it single modes rule, and the result is their mean at best. A time
 * measured while two bare walls go on ringing tells of less absorption than the sound meets: in the boxes of the check
 * the level then comes out 2 dB too high in the mean where all walls mirror, 6 at worst, and 1 where they scatter a
 * tenth; by the absorption of their surfaces it is within `DIFFUSE_SPREAD`.
 *
 * @source energy balance: Kuttruff, Room Acoustics; Hopkins and Stryker, Proc. IRE 36 (1948), 315-335; Barron and Lee,
 *   Energy relations in concert auditoriums I, J. Acoust. Soc. Am. 84 (1988), 618-628 (all from memory); what paths
 *   carry, and half of the slope, are our own reckoning; check: tests/field/room/mid-band.test.ts, diffuse.test.ts
 */
import { valueAt } from "../../acoustics/bands/curve";
import { distance, type Point } from "../../acoustics/point";
import { requireWithin } from "../../guard/arguments";
import type { Room } from "../../venue/venue";
import type { FirstWalls } from "./first-walls";

export type DiffuseModel = "none" | "energy-balance" | "hopkins-stryker" | "barron";

export interface DiffuseOptions {
  readonly model: Exclude<DiffuseModel, "none">;
  /** Highest order of the paths beside it. */
  readonly order: number;
  /** Area of the modelled walls, square metres. */
  readonly modelledArea: number;
  readonly speedOfSound: number;
  /** What the first walls leave; by area where it is not known. */
  readonly first?: FirstWalls;
}

/**
 * How far the steady level of mains lies from the model's between 250 Hz and 4 kHz, one standard deviation, dB: a room's
 * mean over its seats, and the change from the nearest seat to the farthest.
 *
 * @source eight boxes kept back, with 0 to 0.6 of the sound scattered, by pyroomacoustics: tests/field/room/mid-band.test.ts
 */
export const DIFFUSE_SPREAD = { level: 0.9, slope: 2 } as const;

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
  const meanFreePath = (4 * volume) / surface;
  const level = new Float64Array(frequency.length);
  const decay = new Float64Array(frequency.length);
  for (let f = 0; f < frequency.length; f++) {
    const time = valueAt(room.reverberationTime, frequency[f]);
    requireWithin("reverberation time", time, 1e-3, 1e3);
    const rate = (6 * Math.LN10) / (c * time);
    const alpha = -Math.expm1(-rate * meanFreePath);
    const whole = (1 - alpha) / alpha;
    const { reflected, missed } = options.first ?? {};
    const modelled = reflected?.[f] ?? fraction * (1 - alpha);
    const other = missed?.[f] ?? 1 - fraction;
    let left = (modelled + other * (1 - alpha)) / alpha;
    for (let n = 0; n < options.order; n++) left -= modelled * (fraction * (1 - alpha)) ** n;
    const base = (emission.power[f] * 16 * Math.PI * Math.max(0, left)) / surface;
    if (options.model === "energy-balance") {
      decay[f] = rate / 2;
      level[f] = base * Math.exp(decay[f] * meanFreePath);
    } else if (options.model === "barron") {
      decay[f] = rate;
      level[f] = base / (rate * meanFreePath * whole);
    } else level[f] = base;
  }
  const result = new Float64Array(frequency.length);
  return (position) => {
    let r = 0;
    for (const { point, fraction: part } of emission.positions) r += part * distance(point, position);
    for (let f = 0; f < result.length; f++) result[f] = level[f] * Math.exp(-decay[f] * r);
    return result;
  };
}
