/** What every choice of the offset costs the audience. */
import { type DeviationForms, deviationsAt, worstDeviation } from "./balance";
import { type Criterion, costOf } from "./criterion";
import type { CostCurve } from "./offset-result";
import { type Minimum, minimise, refineDips } from "./search";

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
  const seats = occupied(forms, weights);
  const deviation = new Float64Array(seats.weights.length);
  const rows = offset_db.map((offset) =>
    allCosts(deviationsAt(seats.forms, offset, deviation), seats.weights),
  );
  return {
    offset_db,
    meanAbsolute_db: rows.map((r) => r.absolute),
    rms_db: rows.map((r) => r.rms),
    worst_db: rows.map((r) => r.worst),
    within3dB_share: rows.map((r) => r.within3),
    within6dB_share: rows.map((r) => r.within6),
  };
}

/** The offset of least cost by a criterion, from a curve that is there already. */
export function bestOnCurve(
  curve: CostCurve,
  forms: DeviationForms,
  weights: Float64Array,
  criterion: Criterion,
): Minimum {
  const seats = occupied(forms, weights);
  return refineDips(costFunction(seats, criterion), curve.offset_db, curve[columns[criterion]], TOLERANCE);
}

/** The offset of least cost by a criterion over a range, dB. */
export function bestOffset(
  forms: DeviationForms,
  weights: Float64Array,
  criterion: Criterion,
  range: readonly [number, number],
): Minimum {
  return minimise(costFunction(occupied(forms, weights), criterion), range[0], range[1], STEP, TOLERANCE);
}

const columns = {
  "least mean": "meanAbsolute_db",
  "least mean square": "rms_db",
  "least worst": "worst_db",
} as const;

interface Seats {
  readonly forms: DeviationForms;
  readonly weights: Float64Array;
}

function costFunction({ forms, weights }: Seats, criterion: Criterion): (offset: number) => number {
  // The worst seat is one of the two extremes of the ratio: no other logarithm is needed.
  if (criterion === "least worst") return (offset) => worstDeviation(forms, offset);
  const deviation = new Float64Array(weights.length);
  return (offset) => costOf(deviationsAt(forms, offset, deviation), weights, criterion);
}

/** Only the seats that someone sits on. */
function occupied(forms: DeviationForms, weights: Float64Array): Seats {
  if (weights.every((w) => w > 0)) return { forms, weights };
  const keep = (x: Float64Array) => x.filter((_, i) => weights[i] > 0);
  return {
    forms: { a: keep(forms.a), b: keep(forms.b), c: keep(forms.c), mid: keep(forms.mid) },
    weights: keep(weights),
  };
}

function allCosts(deviation: Float64Array, weights: Float64Array) {
  let absolute = 0;
  let square = 0;
  let worst = 0;
  let within3 = 0;
  let within6 = 0;
  for (let i = 0; i < weights.length; i++) {
    const w = weights[i];
    const size = Math.abs(deviation[i]);
    absolute += w * size;
    square += w * size * size;
    worst = Math.max(worst, size);
    // As numbers, not as branches: seats fall on either side at random, which a processor can't foresee.
    within3 += w * Number(size <= 3);
    within6 += w * Number(size <= 6);
  }
  return {
    absolute,
    rms: Math.sqrt(square),
    worst,
    within3: Math.min(1, within3),
    within6: Math.min(1, within6),
  };
}
