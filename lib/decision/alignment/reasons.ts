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
  const flipped = result.choices.slice(1).find((c) => isFlipped(best, c, result));
  if (flipped) {
    reasons.push(
      `Half a period and a flip of the polarity come to the same in this band: ${setting(flipped)} loses ${flipped.loss_db.toFixed(1)} dB as well. Keep the shorter delay.`,
    );
  } else if (second && second.loss_db - best.loss_db < 1) {
    const behind = second.loss_db - best.loss_db;
    const words = behind < 0.05 ? "As good on paper" : `${behind.toFixed(1)} dB behind`;
    reasons.push(`${words}: ${setting(second)}. Listen to both.`);
  }
  reasons.push(...stakeReason(result));
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

/** Whether a choice is the other polarity, half a period away, and as good. */
function isFlipped(
  best: AlignmentChoice,
  other: AlignmentChoice,
  { band_hz, crossover_hz }: Pick<AlignmentResult, "band_hz" | "crossover_hz">,
): boolean {
  const half = 500 / (crossover_hz ?? Math.sqrt(band_hz[0] * band_hz[1]));
  const apart = Math.abs(other.delay_ms - best.delay_ms);
  return (
    other.polarity !== best.polarity &&
    Math.abs(apart - half) < 0.25 * half &&
    Math.abs(other.loss_db - best.loss_db) < EQUAL
  );
}

/** Losses that nobody tells apart, dB. */
const EQUAL = 0.1;
/** Where the audience as a whole has less at stake than this, it says so, dB. */
const LITTLE = 1.5;

function stakeReason({ for: whom, positions, atStake }: Omit<AlignmentResult, "reasons">): string[] {
  if (
    positions.length < 2 ||
    atStake.audience_db > LITTLE ||
    atStake.onePosition_db < 2 * atStake.audience_db
  )
    return [];
  const here =
    whom === "audience"
      ? `at one position it may be ${atStake.onePosition_db.toFixed(1)} dB`
      : `here it is ${atStake.for_db.toFixed(1)} dB`;
  return [
    `Little is at stake over all: between the worst setting and the best lie ${atStake.audience_db.toFixed(1)} dB for the audience as a whole, since what suits one seat doesn't suit another; ${here}. Whoever mixes may hear more of it than the audience gains.`,
  ];
}

function setting({ delay_ms, polarity }: AlignmentChoice): string {
  const inWords = polarity === 1 ? "normal polarity" : "polarity of the subs inverted";
  if (Math.abs(delay_ms) < 0.005) return `no delay, ${inWords}`;
  return `delay the ${delay_ms > 0 ? "subs" : "mains"} by ${Math.abs(delay_ms).toFixed(2)} ms, ${inWords}`;
}
