/** The causes of dips in sentences that lessons and reports print. */
import { handOver } from "../../field/waves/low-band";
import { percent } from "../../text/decibels";
import { listed } from "../../text/listed";
import type { CauseKind } from "./elements";
import type { DipGroup } from "./result";
import type { DipVerdict } from "./verdict";

/** What a group's dips are, and what their behaviour says, in words. */
export function groupReason(group: DipGroup): string {
  const { part, dips, behaviour, lowest_hz, highest_hz, depth_db, reason } = group;
  const name = part === "sum" ? "mains and subs together" : `the ${part}`;
  const at =
    behaviour === "wanders"
      ? `from ${lowest_hz.toFixed(0)} to ${highest_hz.toFixed(0)} Hz`
      : `at ${group.frequency_hz.toFixed(0)} Hz`;
  const positions = dips.length === 1 ? `at "${dips[0].position}"` : `at ${dips.length} positions`;
  return `A dip of ${depth_db.toFixed(0)} dB in ${name} ${at}, ${positions}. ${reason}`;
}

/** What taking something away does to the model's dip. */
export function causeReason(kind: CauseKind, name: string, filled: number): string {
  const what =
    kind === "mains against subs"
      ? "Mains alone and subs alone"
      : kind === "other source"
        ? "Each stack alone"
        : kind === "cavity"
          ? `With "${name}" boarded up the model`
          : `Without what "${name}" reflects the model`;
  const plural = kind === "mains against subs";
  if (filled < 0.05) return `${what} ${plural ? "dip" : "dips"} as much.`;
  if (filled > 0.95) return `${what} ${plural ? "have" : "has"} no dip there.`;
  return `${what} ${plural ? "lose" : "loses"} ${percent(filled)} of the dip.`;
}

/** How far a verdict can be said. */
export type Judgement = "judged" | "above" | "no waves";

export function verdictReason(
  verdict: DipVerdict,
  chance: number,
  causes: readonly { readonly name: string; readonly filled_fraction: number }[],
  named: number,
  judgement: Judgement,
): string {
  if (judgement === "above")
    return `Undecided: above ${handOver.from} Hz the model of a room has single reflections only, by which no cause of a dip can be told.`;
  if (judgement === "no waves")
    return "Undecided: the low band of this room is not computed by waves, and by single reflections no cause of a dip can be told.";
  const sure = chance >= 0.9 ? "Very likely" : chance >= 0.7 ? "Likely" : "Perhaps";
  // Of drawings like this one: certainty is not to be had.
  const fraction = chance > 0.99 ? "over 99 %" : percent(chance);
  const names = causes.slice(0, named).map(({ name }) => name);
  switch (verdict) {
    case "one element":
      return `${sure}: ${names[0]} (${fraction}).`;
    case "several together":
      return `${sure} several together (${fraction}): ${listed(names)}. The dip needs each of them: without any one, most of it goes.`;
    case "the room as a whole":
      return `${sure} the room as a whole (${fraction}): many paths cancel here, and there is no object to look for.`;
    case "not in the file":
      return `${sure} not in the venue's file (${fraction}): the model has no such dip here, so something that isn't drawn makes it, or a fault of the system.`;
    default:
      return `Undecided: what fills the dip in the model can't be relied on with a drawing as uncertain as any${causes.length > 0 ? `; ${causes[0].name} fills most (${percent(Math.max(0, causes[0].filled_fraction))})` : ""}.`;
  }
}
