/**
 * Where a suspect would make dips: the field of the sources with the suspect and nothing else, searched as the survey was.
 */
import { logGrid } from "../../acoustics/bands/bands";
import type { Point } from "../../acoustics/point";
import { responder } from "../../field/model-survey";
import type { Venue } from "../../venue/venue";
import { depthCurve, dipFinder } from "./dips";
import type { CurveDip } from "./result";
import type { Suspect } from "./suspects";

/** What a suspect alone would do at one place. */
export interface Prediction {
  /** Dips that are there with it and not without it. */
  readonly dips: readonly CurveDip[];
  /** Depth below the neighbourhood on `PREDICTION_GRID`, dB: with the suspect, and without it. */
  readonly depth: Float64Array;
  readonly base: Float64Array;
}

/**
 * Prediction of a suspect.
 *
 * @param suspect  with its venue and the venue without it
 * @param positions  one per position
 * @param range  of the search, hertz
 * @param cache  fields of venues that suspects share
 * @returns one prediction per place
 */
export function predict(
  suspect: Suspect,
  positions: readonly Point[],
  range: readonly [number, number],
  cache: Map<Venue, Float64Array[]>,
): Prediction[] {
  const withIt = powers(suspect.venue, positions, suspect.order, cache);
  const without = powers(suspect.base, positions, 1, cache);
  return positions.map((_, row) => {
    const base = find(without[row], range, LEAST);
    const dips = find(withIt[row], range, LEAST).filter(
      (d) =>
        !base.some(
          (b) =>
            Math.abs(Math.log2(b.frequency_hz / d.frequency_hz)) < SAME && b.depth_db > d.depth_db - DEEPER,
        ),
    );
    return { dips, depth: depthOf(withIt[row]), base: depthOf(without[row]) };
  });
}

/** Mean square of all sources together on the grid, by place. */
function powers(
  venue: Venue,
  positions: readonly Point[],
  order: number,
  cache: Map<Venue, Float64Array[]>,
): Float64Array[] {
  const known = cache.get(venue);
  if (known) return known;
  const groups = [...new Set(venue.sources.map((s) => s.group))];
  const options = { frequency: PREDICTION_GRID, order, obstruction: false, diffuse: "none" } as const;
  const fields = groups.map((group) => responder(venue, group, positions, options));
  const found = positions.map((position) => {
    const parts = fields.map((field) => field(position));
    return PREDICTION_GRID.map((_, f) => {
      const re = parts.reduce((sum, r) => sum + r.re[f], 0);
      const im = parts.reduce((sum, r) => sum + r.im[f], 0);
      return re * re + im * im;
    });
  });
  cache.set(venue, found);
  return found;
}

/** An octave beyond the widest search on either side, so that neighbourhoods are whole: 24 to the octave. */
export const PREDICTION_GRID = logGrid(12, 640, 138);
export const SMOOTHING = 6;
const find = dipFinder(PREDICTION_GRID);
const depthOf = depthCurve(PREDICTION_GRID, { smoothing: SMOOTHING });
/** dB: shallower ones are predicted as well, since the suspect may reflect more than its entry says. */
const LEAST = 1.5;
const SAME = 0.12;
const DEEPER = 3;
