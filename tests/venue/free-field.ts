/** Complex pressure of sources in free field, written out plainly: the tests' own yardstick, no part of the library. */
import type { Point } from "../../lib/acoustics/point";
import type { Source } from "../../lib/venue/venue";

export const SPEED_OF_SOUND = 343.2;

/** Magnitude at a point of all sources at frequency f, each 1 at 1 m all round, with its gain, delay and polarity. */
export function pressure(sources: readonly Source[], at: Point, frequency: number): number {
  let re = 0;
  let im = 0;
  for (const { point, gain, delay, polarity } of sources) {
    const r = Math.sqrt((at.x - point.x) ** 2 + (at.y - point.y) ** 2 + (at.z - point.z) ** 2);
    const size = (polarity * 10 ** (gain / 20)) / r;
    const phase = -2 * Math.PI * frequency * (r / SPEED_OF_SOUND + delay);
    re += size * Math.cos(phase);
    im += size * Math.sin(phase);
  }
  return Math.sqrt(re * re + im * im);
}

/** The same far away in a direction, times the distance: the pattern. Angle in degrees from the axis toward its left. */
export function farPressure(sources: readonly Source[], degrees: number, frequency: number): number {
  const r = 1e5;
  const angle = (degrees * Math.PI) / 180;
  return r * pressure(sources, { x: r * Math.cos(angle), y: r * Math.sin(angle), z: 0 }, frequency);
}

export const dB = (ratio: number) => 20 * Math.log10(ratio);
