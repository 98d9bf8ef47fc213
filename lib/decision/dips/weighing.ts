/**
 * Weighs the suspects of one part against each other and against "none of these", by Bayes' rule.
 */
import { likelihood, logSum } from "./likelihood";
import { PREDICTION_GRID, type Prediction } from "./prediction";
import type { Dip, DipPart } from "./result";
import type { CauseKind } from "./suspects";

/** Probability of each suspect for each group of dips, and of none; each row sums to 1. */
export interface Weighed {
  readonly suspects: readonly number[];
  readonly none: number;
}

/** Found by trials, as the tolerances are. */
export const WEIGHING = {
  /** Weight of the whole part, of which the group is one: a cause shows elsewhere as well. */
  whole: 0.67,
  /** Weight of the group itself. */
  own: 1.4,
  /** What "none of these" has before one looks, natural logarithm against each suspect: at all, and for each dip of the group. */
  none: 0.6,
  nonePerDip: 0.85,
  /** The same for a mode: it needs two walls where one may do. */
  mode: 2.1,
  modePerDip: 1,
  /** Lost for each dip that a suspect does not account for: nothing where it makes half of the depth or more. */
  lack: 2,
  /** Won for each dip of the sum where the parts are found to oppose each other, lost where not. */
  opposed: 18,
  /** Octaves about a dip that are the dip's own. */
  about: 0.42,
} as const;

/**
 * Probabilities for the groups of one part.
 *
 * @param groups  dips by group
 * @param heard  depth below the neighbourhood on `PREDICTION_GRID`, dB, by row of the survey
 * @param suspects  what each is and predicts, by row
 * @param range  of the search, hertz
 * @param part  dips of the sum are its own alone: the rest of its curve is that of its parts
 */
export function weigh(
  groups: readonly (readonly Dip[])[],
  heard: readonly ArrayLike<number>[],
  suspects: readonly { readonly kind: CauseKind; readonly prediction: readonly Prediction[] }[],
  range: readonly [number, number],
  part: DipPart,
): Weighed[] {
  const whole = Float64Array.from(PREDICTION_GRID, (f) => (f >= range[0] && f <= range[1] ? 1 : 0));
  const gainAt = (p: Prediction, row: number, weight: Float64Array): number =>
    likelihood(heard[row], p.depth, weight, PER_OCTAVE) - likelihood(heard[row], p.base, weight, PER_OCTAVE);
  const wholeGain = suspects.map(({ prediction }) =>
    prediction.reduce((sum, p, row) => sum + gainAt(p, row, whole), 0),
  );
  const wholeWeight = part === "sum" ? 0 : WEIGHING.whole;
  return groups.map((dips) => {
    const logs = suspects.map(({ kind, prediction }, s) => {
      if (kind === "mains against subs") {
        return dips.reduce((sum, d) => sum + (isPredicted(d, prediction) ? 1 : -1) * WEIGHING.opposed, 0);
      }
      const own = dips.reduce((sum, d) => {
        const p = prediction[d.row];
        const about = windowAbout(d);
        return sum + WEIGHING.own * gainAt(p, d.row, about) - WEIGHING.lack * unaccounted(p, d, about);
      }, 0);
      const needs = kind === "room mode" ? WEIGHING.mode + WEIGHING.modePerDip * dips.length : 0;
      return own + wholeWeight * wholeGain[s] - needs;
    });
    const none = WEIGHING.none + WEIGHING.nonePerDip * dips.length;
    const total = logSum([...logs, none]);
    return { suspects: logs.map((x) => Math.exp(x - total)), none: Math.exp(none - total) };
  });
}

function isPredicted(dip: Dip, prediction: readonly Prediction[]): boolean {
  return prediction[dip.row].dips.some((p) => Math.abs(Math.log2(p.frequency_hz / dip.frequency_hz)) < 0.05);
}

/** 1 where the suspect makes nothing of a dip's depth, 0 where it makes half of it or more. */
function unaccounted(p: Prediction, dip: Dip, about: Float64Array): number {
  let made = 0;
  for (let f = 0; f < about.length; f++) {
    if (about[f] > 0) made = Math.max(made, Math.min(p.depth[f], p.depth[f] - p.base[f]));
  }
  return Math.max(0, 1 - (2 * made) / dip.depth_db);
}

function windowAbout(dip: Dip): Float64Array {
  return Float64Array.from(PREDICTION_GRID, (f) =>
    Math.abs(Math.log2(f / dip.frequency_hz)) <= WEIGHING.about ? 1 : 0,
  );
}

const PER_OCTAVE =
  (PREDICTION_GRID.length - 1) / Math.log2(PREDICTION_GRID[PREDICTION_GRID.length - 1] / PREDICTION_GRID[0]);
