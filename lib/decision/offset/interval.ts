/** How sure an offset is: the uncertainty of the measurement carried through the same decision, many times over. */

import { normal } from "../../numeric/random";
import type { Survey } from "../../survey/survey";
import { type BalanceOptions, type DeviationForms, deviationsAt } from "../balance/balance";
import { deviationErrors } from "../balance/uncertainty";
import { type Criterion, costOf } from "./criterion";

export interface OffsetInterval {
  /** Lower end. */
  readonly from_db: number;
  /** Upper end. */
  readonly to_db: number;
  /** Standard error of the offset. */
  readonly standardError_db: number;
  /** Probability that the interval is meant to hold the offset of a measurement without noise, 0…1. */
  readonly confidence_fraction: number;
  /** Standard error of the deviation per position, in the order of the survey. */
  readonly positions_db: readonly number[];
}

/** Part of the variance of an error that all positions have in common where recordings tell it: one noise, one signal with its gaps. */
const SHARED = 0.25;

/**
 * Interval for the offset by repeating the decision with errors drawn as large as the measurement's.
 *
 * Noise alone is in it, not that few positions stand for many seats.
 *
 * @param survey  a survey
 * @param forms  its deviation forms
 * @param weights  share of the audience per position
 * @param offset  the offset decided on, dB
 * @param criterion  by which it was decided
 * @param options  confidence, seed, bands
 * @returns the interval, or null where no coherence is known
 * @source parametric bootstrap: Efron and Tibshirani, An Introduction to the Bootstrap (1993), 6.5
 */
export function offsetInterval(
  survey: Survey,
  forms: DeviationForms,
  weights: Float64Array,
  offset: number,
  criterion: Criterion,
  options: BalanceOptions & { readonly confidence?: number; readonly seed?: number },
): OffsetInterval | null {
  const { confidence = 0.9, seed = 1 } = options;
  if (!(confidence > 0 && confidence < 1)) {
    throw new RangeError(`confidence is ${confidence}, expected a share between 0 and 1`);
  }
  const errors = deviationErrors(survey, options, offset);
  if (!errors) return null;
  const reach = Math.min(12, Math.max(0.5, 12 * errors.reduce((a, b) => Math.max(a, b))));
  const steps = 241;
  const offsets = Float64Array.from(
    { length: steps },
    (_, k) => offset - reach + (2 * reach * k) / (steps - 1),
  );
  const table = Array.from(offsets, (x) => deviationsAt(forms, x, new Float64Array(weights.length)));
  const draw = normal(seed);
  const shared = survey.mains.some((response) => response.powerError) ? SHARED : 0;
  const count = Math.max(100, Math.min(400, Math.round(4e7 / (steps * weights.length))));
  const shifted = new Float64Array(weights.length);
  const found = Float64Array.from({ length: count }, () => {
    const common = shared > 0 ? Math.sqrt(shared) * draw() : 0;
    const error = errors.map((e) => e * (common + Math.sqrt(1 - shared) * draw()));
    let best = 0;
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k < steps; k++) {
      for (let i = 0; i < shifted.length; i++) shifted[i] = table[k][i] + error[i];
      const cost = costOf(shifted, weights, criterion);
      if (cost < least) {
        least = cost;
        best = offsets[k];
      }
    }
    return best;
  }).sort();
  const quantile = (p: number) => found[Math.min(count - 1, Math.max(0, Math.round(p * (count - 1))))];
  const mean = found.reduce((sum, x) => sum + x, 0) / count;
  const variance = found.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (count - 1);
  return {
    from_db: Math.min(offset, quantile((1 - confidence) / 2)),
    to_db: Math.max(offset, quantile((1 + confidence) / 2)),
    standardError_db: Math.sqrt(variance),
    confidence_fraction: confidence,
    positions_db: Array.from(errors),
  };
}
