/** The search for layouts in sentences that lessons, reports and the command print. */
import { percent, signedDecibels } from "../../text/decibels";
import { hearing, rigging } from "./compare-reasons";
import type { ChosenCabinet, LayoutChoice, LayoutSearchResult } from "./search-result";

/**
 * Sentences that say what was tried, what each aim's best costs in the others, and what to mind.
 *
 * @param result  the search's figures
 * @param limit  whether anything stayed within the headroom, dB
 */
export function searchReasons(
  result: Omit<LayoutSearchResult, "reasons">,
  limit: { readonly within: boolean; readonly headroom: number },
): string[] {
  const { choices, aims } = result;
  const reasons = [
    `${result.tried} layouts were tried at ${result.seats} seats (seed ${result.seed}${result.finished ? "" : ", stopped early"}); ${count(result.found)} ${result.found === 1 ? "is" : "are"} not beaten by another in ${listedAims(aims)} all at once${choices.length < result.found ? `, ${choices.length} of them are shown` : ""}.`,
  ];
  if (choices.length === 0) return reasons;
  if (!limit.within) {
    reasons.push(
      `None of them reaches the target balance with at most ${limit.headroom} dB more than the venue file gives a cabinet: shown is the one that comes nearest. Allow more cabinets, more positions or more headroom.`,
    );
  }
  for (const aim of aims) {
    const best = choices.reduce((a, b) => (figure[aim](b) < figure[aim](a) ? b : a));
    reasons.push(`${title[aim]} is ${best.name}: ${inWords(best)}. ${standing(best.cabinets)}`);
  }
  reasons.push(
    "Which of them to take is a choice between these aims, and between what can be built: the search does not make it.",
  );
  const flown = choices.filter((c) => c.cabinets.some((cabinet) => cabinet.flown));
  if (flown.length > 0) reasons.push(rigging(flown.map((c) => c.name)));
  reasons.push(hearing);
  return reasons;
}

const figure = {
  evenness: (c: LayoutChoice) => c.deviation_db,
  "front row": (c: LayoutChoice) => c.frontRow_db,
  stage: (c: LayoutChoice) => c.spill_db ?? 0,
  level: (c: LayoutChoice) => -c.level_db,
};

const title = {
  evenness: "Most even",
  "front row": "Least at the front row",
  stage: "Least on stage",
  level: "Loudest",
};

/** A choice's figures as one clause. */
export function inWords(c: LayoutChoice): string {
  const spill =
    c.spill_db === null
      ? ""
      : `, ${signedDecibels(c.spill_db)} of the subs on stage relative to the audience`;
  return `${c.deviation_db.toFixed(1)} dB RMS from the target balance, ${percent(c.audience.within3dB_fraction)} of the people within 3 dB, ${signedDecibels(c.frontRow_db)} of bass at the front row relative to the audience${spill}`;
}

/** Where a choice's cabinets stand and how they are set, as a sentence. */
export function standing(cabinets: readonly ChosenCabinet[]): string {
  const each = cabinets.map((c) => {
    const inverted = c.polarity === -1 ? ", polarity inverted" : "";
    const late = c.delay_ms > 0 ? `, ${c.delay_ms.toFixed(1)} ms later` : "";
    const soft = c.gain_db !== 0 ? `, ${signedDecibels(c.gain_db)}` : "";
    return `${c.flown ? "hanging " : ""}at ${meters(c.point.x)}, ${meters(c.point.y)}, ${meters(c.point.z)} m${soft}${late}${inverted}`;
  });
  return `${cabinets.length === 1 ? "One cabinet" : `${cabinets.length} cabinets`} (x, y, z): ${each.join("; ")}.`;
}

const meters = (x: number): string => x.toFixed(1).replace("-", "−");
const count = (n: number): string => (n === 0 ? "none" : `${n}`);

function listedAims(aims: readonly string[]): string {
  const words = aims.map((a) => (a === "stage" ? "spill on stage" : a));
  return words.length > 1 ? `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}` : words[0];
}
