/** What every choice of the offset costs the audience. */

import { type Minimum, minimise, refineDips } from "../../numeric/search";
import type { DeviationForms } from "../balance/balance";
import { type Criterion, criteria } from "./criterion";
import type { CostCurve } from "./result";
import { costIn, type SeatCosts, seatCosts } from "./seat-costs";

/** Grid of the search, dB: no dip of the cost over many seats is narrower. */
const STEP = 0.5;
const TOLERANCE = 1e-5;

/**
 * Costs of all offsets of a range by every criterion.
 *
 * @param forms  deviation forms of the survey
 * @param weights  share of the audience per position
 * @param range  dB
 */
export function costCurve(
  forms: DeviationForms,
  weights: Float64Array,
  range: readonly [number, number],
): CostCurve {
  const count = Math.max(1, Math.ceil((range[1] - range[0]) / STEP)) + 1;
  const offset_db = Array.from(
    { length: count },
    (_, i) => range[0] + ((range[1] - range[0]) * i) / (count - 1),
  );
  const costs = occupied(forms, weights);
  const rows = offset_db.map((offset) => {
    const sums = costs.sums(offset);
    const [absolute, rms, worst] = criteria.map((criterion) => costIn(sums, criterion));
    return { absolute, rms, worst, within3: Math.min(1, sums[3]), within6: Math.min(1, sums[4]) };
  });
  return {
    offset_db,
    meanAbsolute_db: rows.map((r) => r.absolute),
    rms_db: rows.map((r) => r.rms),
    worst_db: rows.map((r) => r.worst),
    within3dB_fraction: rows.map((r) => r.within3),
    within6dB_fraction: rows.map((r) => r.within6),
  };
}

/** The offset of least cost by a criterion, from a curve that is there already. */
export function bestOnCurve(
  curve: CostCurve,
  forms: DeviationForms,
  weights: Float64Array,
  criterion: Criterion,
): Minimum {
  const costs = occupied(forms, weights);
  return refineDips(
    (offset) => costs.of(offset, criterion),
    curve.offset_db,
    curve[columns[criterion]],
    TOLERANCE,
  );
}

/** The offset of least cost by a criterion over a range, dB. */
export function bestOffset(
  forms: DeviationForms,
  weights: Float64Array,
  criterion: Criterion,
  range: readonly [number, number],
): Minimum {
  const costs = occupied(forms, weights);
  return minimise((offset) => costs.of(offset, criterion), range[0], range[1], STEP, TOLERANCE);
}

const columns = {
  "least mean": "meanAbsolute_db",
  "least mean square": "rms_db",
  "least worst": "worst_db",
} as const;

/** Costs over the seats that someone sits on. */
function occupied(forms: DeviationForms, weights: Float64Array): SeatCosts {
  if (weights.every((w) => w > 0)) return seatCosts(forms, weights);
  const keep = (x: Float64Array) => x.filter((_, i) => weights[i] > 0);
  const { a, b, c, mid } = forms;
  return seatCosts({ a: keep(a), b: keep(b), c: keep(c), mid: keep(mid) }, keep(weights));
}
