/** What a calibration learned and could not learn, in words. */

import type { Matrix } from "ml-matrix";
import { percent, signedDecibels } from "../../text/decibels";
import type { Calibration, Confused, FittedValue } from "./result";
import type { UncertainValue } from "./values";

/** Correlation from which on two values can't be told apart. */
const APART = 0.7;

/**
 * Pairs of values whose errors go together.
 *
 * @param values  as fitted
 * @param covariance  of their errors
 */
export function confusedValues(values: readonly UncertainValue[], covariance: Matrix): Confused[] {
  const found: Confused[] = [];
  for (let i = 0; i < values.length; i++) {
    for (let k = i + 1; k < values.length; k++) {
      const correlation = covariance.get(i, k) / Math.sqrt(covariance.get(i, i) * covariance.get(k, k));
      if (Math.abs(correlation) < APART) continue;
      const [a, b] = [values[i].name, values[k].name];
      found.push({
        values: [a, b],
        correlation,
        reason: `More of the ${a} looks to these microphones like ${correlation < 0 ? "more" : "less"} of the ${b}: only together are they known.`,
      });
    }
  }
  return found.sort((x, y) => Math.abs(y.correlation) - Math.abs(x.correlation));
}

/** Standard deviation of Σ slope · value. */
export function standardDeviation(covariance: Matrix, slopes: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < slopes.length; i++) {
    for (let k = 0; k < slopes.length; k++) sum += slopes[i] * slopes[k] * covariance.get(i, k);
  }
  return Math.sqrt(Math.max(0, sum));
}

const isPlain = (v: FittedValue) => v.from_fraction !== undefined || v.from_s !== undefined;

/** "0.71 ± 0.26 dB", or "0.12 → 0.20" where the change is in no quantity that a person knows. */
export function fittedWords(v: FittedValue): string {
  const { from_fraction, to_fraction, from_s, to_s } = v;
  if (from_fraction !== undefined) return `${from_fraction.toFixed(2)} → ${to_fraction?.toFixed(2)}`;
  if (from_s !== undefined) return `${from_s.toFixed(2)} → ${to_s?.toFixed(2)} s`;
  return `${v.change.toFixed(2)} ± ${v.standardError.toFixed(2)} ${v.unit}`;
}

export function calibrationReasons(c: Omit<Calibration, "reasons">): string[] {
  const { interval, confused, undetermined, nextMicrophone, misfit } = c;
  const reasons = [
    `By the venue file alone the subs would go to ${signedDecibels(c.offsetBefore_db)}; with the measurement to ${signedDecibels(c.offset_db)}, and with ${percent(interval.confidence_fraction)} probability the right offset lies between ${signedDecibels(interval.from_db)} and ${signedDecibels(interval.to_db)}.`,
  ];
  const learned = c.values
    .filter((v) => v.left_fraction < 0.5 && Math.abs(v.change) > v.standardError)
    .map((v) => `${v.name} ${isPlain(v) ? "" : "off by "}${fittedWords(v)}`);
  if (learned.length > 0) reasons.push(`The measurement finds: ${learned.join("; ")}.`);
  if (misfit > 1.5) {
    reasons.push(
      `The fitted model misses the measurement by ${misfit.toFixed(1)} times what its values allow for. The hall may differ from the file, or sound there in a way that a drawing can't tell: furniture, people, walls that give way. The interval was widened for it.`,
    );
  }
  for (const { reason } of confused.slice(0, 3)) reasons.push(reason);
  if (undetermined.length > 0) {
    reasons.push(`The measurement says next to nothing of ${undetermined.join(", ")}.`);
  }
  const [next] = nextMicrophone;
  if (next) {
    const gain = interval.standardError_db - next.standardError_db;
    reasons.push(
      gain > 0.05 * interval.standardError_db
        ? `One more microphone tells most at "${next.position.id}": the standard error of the offset would go from ${interval.standardError_db.toFixed(2)} to ${next.standardError_db.toFixed(2)} dB.`
        : "One more microphone would tell little more.",
    );
  }
  return reasons;
}
