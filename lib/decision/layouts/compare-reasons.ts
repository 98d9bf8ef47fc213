/** The comparison of layouts in sentences that lessons and reports print. */

import { inDecibels, percent, signedDecibels } from "../../text/decibels";
import { listed } from "../../text/listed";
import type { LayoutComparison, LayoutFigures } from "./compare-result";
import { TIE } from "./tie";

/**
 * Sentences that say which layout does what best, at what price.
 *
 * @param result  the figures
 * @param overhead  names of layouts with cabinets over people's heads
 */
export function layoutReasons(
  result: Omit<LayoutComparison, "reasons">,
  overhead: readonly string[],
): string[] {
  const { layouts } = result;
  const reasons = [
    `Each layout stands at the level that suits the audience best: ${result.lowBand_hz[0]} to ${result.lowBand_hz[1]} Hz of mains and subs together, ${result.targetTilt_db} dB over the mains' mid band, judged at ${result.seats} seats.`,
    best("Most even", layouts, (l) => l.deviation_db, evenness),
    best("Least at the front row", layouts, (l) => l.frontRow_db, frontRow),
  ];
  if (layouts.every((l) => l.spill_db !== null)) {
    reasons.push(best("Least on stage", layouts, (l) => l.spill_db ?? 0, spill));
  } else {
    reasons.push("The venue has no stage, so spill is not judged.");
  }
  reasons.push(best("Loudest", layouts, (l) => -l.level_db, level));
  for (const l of layouts) {
    if (l.beatenBy.length > 0) {
      reasons.push(
        `Nothing speaks for "${l.name}" in evenness, front row or stage: ${listed(l.beatenBy)} ${l.beatenBy.length === 1 ? "is" : "are"} at least as good in all three.`,
      );
    }
    if (l.limited) reasons.push(`"${l.name}" is held back by a limit, not by what the audience wants.`);
    for (const warning of l.warnings) reasons.push(`"${l.name}": ${warning}.`);
  }
  if (overhead.length > 0) reasons.push(rigging(overhead));
  reasons.push(hearing);
  return reasons;
}

/** How what hangs must be handled. */
export const rigging = (names: readonly string[]): string =>
  `${listed(names)} ${names.length === 1 ? "has" : "have"} cabinets overhead: whether anything may hang there, and how, is for people qualified in rigging and for local rules, not for this comparison.`;

/** How levels at the front row must be taken. */
export const hearing =
  "Levels at the front row are the model's: measure before people stand there, protect hearing, local law rules.";

function best(
  title: string,
  layouts: readonly LayoutFigures[],
  cost: (l: LayoutFigures) => number,
  say: (l: LayoutFigures) => string,
): string {
  const order = [...layouts].sort((a, b) => cost(a) - cost(b));
  const [first, ...others] = order;
  if (others.length === 0) return `${title}: "${first.name}", ${say(first)}.`;
  const last = others[others.length - 1];
  if (cost(last) - cost(first) < TIE)
    return `${title}: a tie, ${say(first)}; a drawing tells them apart no better than ${TIE} dB.`;
  const same = others.filter((l) => cost(l) - cost(first) < TIE);
  const alike = same.length > 0 ? `, in a tie with ${listed(same.map((l) => l.name))}` : "";
  return `${title}: "${first.name}", ${say(first)}${alike}; last is "${last.name}", ${say(last)}.`;
}

const evenness = (l: LayoutFigures): string =>
  `${inDecibels(l.deviation_db)} RMS from the target balance, ${percent(l.audience.within3dB_fraction)} of the people within 3 dB, front to back ${signedDecibels(l.audience.frontToBack_db)}${l.sideToSide_db === null ? "" : `, side to side ${inDecibels(l.sideToSide_db)}`}`;
const frontRow = (l: LayoutFigures): string =>
  `${signedDecibels(l.frontRow_db)} of bass in front relative to the audience as a whole`;
const spill = (l: LayoutFigures): string =>
  `${signedDecibels(l.spill_db ?? 0)} of the subs relative to the audience`;
const level = (l: LayoutFigures): string =>
  `${l.level_db.toFixed(0)} dB per third-octave band in the audience with the loudest cabinet as the venue file has it`;
