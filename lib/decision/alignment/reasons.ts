/** The alignment in sentences that lessons and reports print. */
import { percent } from "../../text/decibels";
import type { AlignmentChoice, AlignmentResult } from "./result";

/** Sentences that say what to set, what it brings, and whom it costs. */
export function alignmentReasons(
  result: Omit<AlignmentResult, "reasons">,
  unknown: { readonly withoutPhase: number; readonly fillsWithoutPhase: number },
): string[] {
  const [best, second] = result.choices;
  const whom = result.for === "audience" ? "the audience" : result.for.join(", ");
  const [from, to] = result.band_hz.map((f) => Math.round(f));
  const reasons = [
    `From ${from} to ${to} Hz mains and subs both count. For ${whom}: ${setting(best)}. The sum then stays ${best.loss_db.toFixed(1)} dB below an in-phase sum, compared with ${result.current.loss_db.toFixed(1)} dB as measured.`,
  ];
  const worst = best.positionCost_db.indexOf(Math.max(...best.positionCost_db));
  if (best.positionCost_db[worst] > 1) {
    reasons.push(
      `It costs most at "${result.positions[worst]}": ${best.positionCost_db[worst].toFixed(1)} dB more than with the best setting for that position; ${percent(best.within3dB_fraction)} of the people lose at most 3 dB.`,
    );
  }
  if (second && second.loss_db - best.loss_db < 1) {
    const behind = second.loss_db - best.loss_db;
    const words = behind < 0.05 ? "As good on paper" : `${behind.toFixed(1)} dB behind`;
    reasons.push(`${words}: ${setting(second)}. Listen to both.`);
  }
  if (unknown.withoutPhase > 0) {
    reasons.push(`${unknown.withoutPhase} of the positions have no phase and are left out.`);
  }
  if (unknown.fillsWithoutPhase > 0) {
    reasons.push(
      `The fills have no phase at ${unknown.fillsWithoutPhase} of the positions: they count there by their power and are not aligned.`,
    );
  }
  return reasons;
}

function setting({ delay_ms, polarity }: AlignmentChoice): string {
  const inWords = polarity === 1 ? "normal polarity" : "polarity of the subs inverted";
  if (Math.abs(delay_ms) < 0.005) return `no delay, ${inWords}`;
  return `delay the ${delay_ms > 0 ? "subs" : "mains"} by ${Math.abs(delay_ms).toFixed(2)} ms, ${inWords}`;
}
