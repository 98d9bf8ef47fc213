/** What two measurements of one system differ in, position by position, beside the error of both. */
import { balance } from "../../lib/decision/balance/balance";
import { deviationErrors } from "../../lib/decision/balance/uncertainty";
import { LOW_BAND, levelWithError, MID_BAND } from "../../lib/study/level-with-error";
import type { Survey } from "../../lib/survey/survey";

export const quantities = ["mains, mid band", "subs, low band", "low band over mid band"] as const;
export type Quantity = (typeof quantities)[number];

export interface Change {
  readonly position: string;
  readonly quantity: Quantity;
  readonly before_db: number;
  readonly after_db: number;
  readonly change_db: number;
  /** What chance alone exceeds once in twenty times; none where no error is known. */
  readonly error_db: number | null;
  /** Whether the change is more than that. */
  readonly real: boolean;
}

export interface Changes {
  readonly changes: readonly Change[];
  /** Positions that one of the two lacks. */
  readonly only: readonly string[];
}

/** What no average shows, dB: gains that were set again, air that moved. Own way, no source. */
const SETTING = 0.1;

/** @throws RangeError where the two have no position in common */
export function changesBetween(before: Survey, after: Survey): Changes {
  const shared = before.positions
    .map(({ id }) => id)
    .filter((id) => after.positions.some((p) => p.id === id));
  if (shared.length === 0)
    throw new RangeError("the two shows have no position in common: nothing can be compared");
  const only = [...before.positions, ...after.positions]
    .map(({ id }) => id)
    .filter((id) => !shared.includes(id));
  const [a, b] = [valuesOf(before), valuesOf(after)];
  const changes = shared.flatMap((position) =>
    quantities.map((quantity): Change => {
      const [x, y] = [a(position, quantity), b(position, quantity)];
      const known = x.error !== undefined && y.error !== undefined;
      const error_db = known ? 1.96 * Math.hypot(x.error!, y.error!, SETTING) : null;
      const change_db = y.value - x.value;
      return {
        position,
        quantity,
        before_db: x.value,
        after_db: y.value,
        change_db,
        error_db,
        real: error_db !== null && Math.abs(change_db) > error_db,
      };
    }),
  );
  return { changes, only: [...new Set(only)] };
}

interface Value {
  readonly value: number;
  /** Standard error, dB. */
  readonly error?: number;
}

function valuesOf(survey: Survey): (position: string, quantity: Quantity) => Value {
  const { positions, targetTilt_db } = balance(survey);
  const errors = deviationErrors(survey, {}, 0);
  return (id, quantity) => {
    const i = survey.positions.findIndex((p) => p.id === id);
    if (quantity === "low band over mid band")
      return { value: positions[i].deviation_db + targetTilt_db, ...(errors && { error: errors[i] }) };
    const [response, span] = quantity.startsWith("mains")
      ? ([survey.mains[i], MID_BAND] as const)
      : ([survey.subs[i], LOW_BAND] as const);
    const { level, error } = levelWithError(response, span);
    return { value: level, error };
  };
}

/** The changes in sentences, the largest beside its error first. */
export function inSentences({ changes, only }: Changes): string[] {
  const beside = ({ change_db, error_db }: Change) =>
    Math.abs(change_db) / (error_db ?? Number.POSITIVE_INFINITY);
  const real = changes.filter((change) => change.real).sort((a, b) => beside(b) - beside(a));
  const told = real.map(
    (change) =>
      `${change.position}, ${change.quantity}: ${signed(change.change_db)} dB, ${beside(change).toFixed(1)} times the error of measurement (${change.error_db!.toFixed(1)} dB)`,
  );
  const summary = quantities.flatMap((quantity) => {
    const all = changes.filter((change) => change.quantity === quantity);
    const moved = all.filter((change) => change.real);
    if (moved.length < all.length || all.length < 2) return [];
    const sorted = moved.map(({ change_db }) => change_db).sort((a, b) => a - b);
    const [least, most] = [sorted[0], sorted[sorted.length - 1]];
    return most - least < 1.5 && Math.sign(least) === Math.sign(most)
      ? [
          `At all ${all.length} positions alike, ${quantity}: ${signed(least)} to ${signed(most)} dB, as by a change of gain.`,
        ]
      : [];
  });
  return [
    ...(real.length ? [] : ["Nothing has changed by more than the error of measurement."]),
    ...summary,
    ...told,
    ...(only.length ? [`Measured in one of the two alone: ${only.join(", ")}.`] : []),
  ];
}

const signed = (x: number): string => `${x > 0 ? "+" : x < 0 ? "−" : ""}${Math.abs(x).toFixed(1)}`;
