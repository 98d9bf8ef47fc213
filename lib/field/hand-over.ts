/**
 * Where waves hand over to paths: below, the pressure by waves, which holds all that a room does; above, paths beside a diffuse field.
 *
 * Between the two the powers go over from the one to the other, the coherent part with the phase of their weighted sum, so that
 * two pressures that know nothing of each other leave no hole.
 */
import type { Point } from "../acoustics/point";
import type { Response } from "../acoustics/response";
import { closed } from "../venue/closed";
import type { Source, Venue } from "../venue/venue";
import type { Settings } from "./options";
import { handOver, LOWEST, lowBand, noWaves, type Waves } from "./waves/low-band";

/** The low band of a group by waves; undefined where there is none. */
export function wavesOf(
  venue: Venue,
  sources: readonly Source[],
  places: readonly Point[],
  { frequency, cavities, progress }: Pick<Settings, "frequency" | "cavities" | "progress">,
): ((place: Point) => Waves | undefined) | undefined {
  return lowBand(cavities ? venue : closed(venue), sources, frequency, places, progress);
}

/** What is to be said where waves should be and are not. */
export function wavesMissing(venue: Venue): string[] {
  const why = noWaves(venue);
  if (why !== "large" && why !== "undrawn") return [];
  const reason =
    why === "large"
      ? "is too large for its low band by waves"
      : "lacks too many walls in its drawing for waves";
  return [
    `"${venue.name}" ${reason}: below ${handOver.from} Hz single reflections and a diffuse field stand for the room, without its resonances`,
  ];
}

/** Share of the waves in the power at a frequency, 0…1. */
export function shareOfWaves(frequency: number): number {
  const part = Math.log(handOver.to / frequency) / Math.log(handOver.to / handOver.from);
  return part <= 0 ? 0 : part >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * part);
}

/** Number of the first frequency at which paths have a share. */
export function firstOfPaths(frequency: Float64Array): number {
  if (frequency[0] < LOWEST) return 0;
  const first = frequency.findIndex((f) => shareOfWaves(f) < 1);
  return first < 0 ? frequency.length : first;
}

/** Puts waves in the place of paths and diffuse field, in the response's own arrays. */
export function takeWaves({ frequency, re, im, diffuse }: Response, waves: Waves): void {
  waves.re.forEach((x, i) => {
    const y = waves.im[i];
    const f = waves.first + i;
    const share = shareOfWaves(frequency[f]);
    const wanted = share * (x * x + y * y) + (1 - share) * (re[f] * re[f] + im[f] * im[f]);
    re[f] = share * x + (1 - share) * re[f];
    im[f] = share * y + (1 - share) * im[f];
    const power = re[f] * re[f] + im[f] * im[f];
    const scale = power > 0 ? Math.sqrt(wanted / power) : 1;
    re[f] *= scale;
    im[f] *= scale;
    if (diffuse) diffuse[f] *= 1 - share;
  });
}
