/**
 * A cavity that is open at one end, such as the space under a stage, as a quarter-wave resonator.
 *
 * The closed end lies an odd number of quarter wavelengths behind the opening where the wave that comes back out
 * cancels what passes the opening. The air in front of the opening moves along, which lengthens the cavity a little.
 */
import { requireInteger, requirePositive } from "../../guard/arguments";

/** What surrounds the opening: a wall much wider than it, nothing, or no correction wanted. */
export type OpenEnd = "flanged" | "unflanged" | "none";

/**
 * Length to add to a tube for the air that moves along in front of its open end.
 *
 * Holds for wavelengths long against the opening, 2πf·r/c below about 0.5; the correction shrinks above.
 *
 * @param radius  of the opening, metres, > 0
 * @param end  "flanged" 0.82 r, "unflanged" 0.61 r, "none" 0
 * @returns metres
 * @throws RangeError when the radius is not positive
 * @source unflanged: Levine and Schwinger, Phys. Rev. 73 (1948), 383-406, 0.6133; flanged: Nomura, Yamamura and Inawashiro, J. Phys. Soc. Japan 15 (1960), 510-517, 0.8217 (both from memory); check: tests/acoustics/reflection/cavity.test.ts
 */
export function endCorrection(radius: number, end: OpenEnd): number {
  requirePositive("radius of the opening", radius);
  return { flanged: 0.8217, unflanged: 0.6133, none: 0 }[end] * radius;
}

export interface CavityOptions {
  /** Radius of the opening, metres; needed for an end correction. */
  readonly radius?: number;
  /** What surrounds the opening: "flanged" adds 0.82 of the radius to the depth, "unflanged" 0.61, "none" (default) 0. */
  readonly end?: OpenEnd;
}

/**
 * Frequencies at which a cavity of this depth takes sound away at its opening: its odd quarter-wave series.
 *
 * @param depth  from the opening to the closed end, metres, > 0
 * @param speedOfSound  metres per second
 * @param upTo  highest frequency needed, hertz
 * @param options  the end correction, for the air that moves along in front of the opening: none by default
 * @returns frequencies in ascending order, hertz
 * @throws RangeError when a length or speed is not positive, or an end is named without a radius
 * @source Kinsler et al., Fundamentals of Acoustics, resonance in pipes (from memory); check: tests/acoustics/reflection/cavity.test.ts
 * @example
 * acoustics.reflection.quarterWaves(1.2, 343.2, 300) // [71.5, 214.5]
 */
export function quarterWaveFrequencies(
  depth: number,
  speedOfSound: number,
  upTo: number,
  { radius, end = "none" }: CavityOptions = {},
): number[] {
  requirePositive("depth of the cavity", depth);
  requirePositive("speed of sound", speedOfSound);
  requirePositive("highest frequency", upTo);
  const length = depth + correction(radius, end);
  const fundamental = speedOfSound / (4 * length);
  const count = Math.max(0, Math.floor((upTo / fundamental + 1) / 2 + 1e-9));
  requireInteger("number of frequencies in the series", count, 0, 1e6);
  return Array.from({ length: count }, (_, i) => (2 * i + 1) * fundamental);
}

function correction(radius: number | undefined, end: OpenEnd): number {
  if (end === "none") return 0;
  if (radius === undefined) {
    throw new RangeError(
      `end correction "${end}" was asked for without a radius, expected the opening's radius`,
    );
  }
  return endCorrection(radius, end);
}
