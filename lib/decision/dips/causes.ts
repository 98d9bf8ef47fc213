/**
 * Why it dips: what fills the dip when it is taken away from the whole room.
 *
 * In the model each surface, cavity and stack of subs is taken away in turn; the drop of the dip relative to its neighbourhood is the
 * evidence. How far a drawing can be believed in that was learnt on simulated venues (`chances.ts`). A crossover is judged likewise: a
 * dip of the sum that neither part has by itself.
 */

import { interpolateLog } from "../../acoustics/bands/curve";
import { speedOfSound } from "../../acoustics/distance/air";
import { power } from "../../acoustics/response";
import { noWaves } from "../../field/waves/low-band";
import type { Progress } from "../../field/waves/run";
import type { Survey } from "../../survey/survey";
import type { Venue } from "../../venue/venue";
import { adviceFor, type DipAdvice } from "./advice";
import { causeReason, groupReason, verdictReason } from "./cause-reasons";
import { depthCurve, responseOf } from "./dips";
import type { CauseKind } from "./elements";
import { type Evidence, evidenceOf } from "./evidence";
import { experiments, type HeardCurves, highestIn, type Outcome } from "./experiments";
import type { Dip, DipGroup, DipPart, DipSearch } from "./result";
import { type DipVerdict, type Judged, judged } from "./verdict";

export type { DipAdvice } from "./advice";
export type { CauseKind } from "./elements";
export type { DipVerdict } from "./verdict";

export interface DipCauseOptions {
  /** Kinds that are not to be considered. Default: none. */
  readonly leaveOut?: readonly CauseKind[];
  /** Called while waves are computed, with the share that is done, 0 to 1; `false` ends them, and what was asked for throws. */
  readonly progress?: Progress;
}

/** Something that was taken away in the model. */
export interface DipCause {
  /** What sort of thing it is. */
  readonly kind: CauseKind;
  /** As it is called in the venue. */
  readonly name: string;
  /** Share of the model's dip that goes with it, mean over the positions: 1 fills it, below 0 deepens it. */
  readonly filled_fraction: number;
  /** Probability that without it less than half of the dip would be left in the venue itself, 0…1. */
  readonly confidence_fraction: number;
  /** The dip found, the model's own, and what is left of that. */
  readonly positions: readonly PredictedDip[];
  /** What taking it away does, in a sentence. */
  readonly reason: string;
}

export interface PredictedDip {
  /** Id of the position. */
  readonly position: string;
  /** Frequency of the dip found. */
  readonly found_hz: number;
  /** Its depth. */
  readonly found_db: number;
  /** Frequency of the model's dip near to it. */
  readonly predicted_hz: number;
  /** Its depth; below 0 where the model has a peak instead. */
  readonly predicted_db: number;
  /** What is left of it without the cause. */
  readonly left_db: number;
}

export interface ExplainedDip {
  /** The dips that are explained. */
  readonly group: DipGroup;
  /** What was taken away, those named by the verdict first, then the most probable. */
  readonly causes: readonly DipCause[];
  /** What it comes to. */
  readonly verdict: DipVerdict;
  /** Names of the elements that the verdict is about; none where it is about no element. */
  readonly named: readonly string[];
  /** Probability that the verdict is right, 0…1; 0 where it is undecided. */
  readonly confidence_fraction: number;
  /** What could be done. */
  readonly advice: DipAdvice;
  /** What speaks for the verdict, in sentences. */
  readonly reasons: readonly string[];
}

/**
 * Why a survey dips: for each group of dips, what fills it when it is taken away from the model of the whole venue, and what could be
 * done.
 *
 * Each surface, cavity and stack of subs is taken away in turn: surfaces swallow all sound, cavities are boarded up. The verdict is one
 * element, several together, the room as a whole (many paths, no object to look for), something that the file doesn't hold (the model
 * has no such dip), or undecided. In a room that is computed by waves, a second or so for each surface; dips above 141 Hz are left
 * undecided there, and so are all in rooms without waves.
 *
 * @param search  from `decide.dips`
 * @param venue  the venue in which the survey was made
 * @param survey  the survey that was searched
 * @param options  kinds to leave out; `progress`
 * @returns one explanation per group, in the order of the groups, with a probability, 0…1, for each element and for the verdict
 * @throws RangeError when the search names a position that the survey does not have
 * @source own way, no outside source; probabilities fitted on simulated venues and checked on others (tests/README.md, Causes); check:
 *   tests/decision/dips/causes.test.ts
 * @example
 * const cellar = read.venue("ombrik-cellar");
 * const survey = predict.survey(cellar, venues.positions(cellar).slice(0, 3));
 * const explained = decide.causes(decide.dips(survey, { parts: ["subs"] }), cellar, survey);
 * explained.map(({ verdict }) => verdict)
 */
export function explainDips(
  search: DipSearch,
  venue: Venue,
  survey: Survey,
  options: DipCauseOptions = {},
): ExplainedDip[] {
  for (const group of search.groups) requirePositions(group, survey);
  const isLearnt = !venue.room || noWaves(venue) === undefined;
  const within = (group: DipGroup) => isLearnt && group.frequency_hz <= highestIn(venue);
  const found = new Map<DipGroup, Found>();
  const groups = search.groups.filter(within);
  if (groups.length > 0) {
    const rows = [...new Set(groups.flatMap((g) => g.dips.map((d) => d.row)))];
    const highest = Math.max(...groups.map((g) => g.highest_hz));
    const places = rows.map((row) => survey.positions[row].point);
    const outcome = experiments(venue, places, highest, options);
    const heard = heardCurves(survey);
    const outcomes = groups.flatMap((group) => {
      const at = group.dips.map((d): Dip => ({ ...d, row: rows.indexOf(d.row) }));
      const own = outcome(group.part, at, heard(group.part, rows));
      return own ? [{ group, outcome: own }] : [];
    });
    evidenceOf(outcomes.map((o) => o.outcome)).forEach((evidence, i) => {
      found.set(outcomes[i].group, { ...outcomes[i], evidence, judged: judged(evidence) });
    });
  }
  return search.groups.map((group) => explained(group, venue, found.get(group), isLearnt));
}

interface Found {
  readonly outcome: Outcome;
  readonly evidence: Evidence;
  readonly judged: Judged;
}

function explained(group: DipGroup, venue: Venue, found: Found | undefined, isLearnt: boolean): ExplainedDip {
  const { verdict, chance, named, chances } = found?.judged ?? NOTHING;
  const order = chances
    .map((_, e) => e)
    .sort(
      (a, b) => Number(named.includes(b)) - Number(named.includes(a)) || chances[b] - chances[a] || a - b,
    );
  const causes = found ? order.map((e) => causeOf(group, found, e, chances[e])) : [];
  const first = causes.slice(0, named.length);
  return {
    group,
    causes,
    verdict,
    named: first.map(({ name }) => name),
    confidence_fraction: verdict === "undecided" ? 0 : chance,
    advice: adviceFor(verdict, first, group, speedOfSound(venue.air.temperature)),
    reasons: [
      groupReason(group),
      verdictReason(
        verdict,
        chance,
        causes,
        named.length,
        found ? "judged" : isLearnt ? "above" : "no waves",
      ),
      ...first.map(({ reason }) => reason),
    ],
  };
}

const NOTHING: Judged = { verdict: "undecided", chance: 0, named: [], chances: [] };

function causeOf(group: DipGroup, { outcome, evidence }: Found, e: number, chance: number): DipCause {
  const { kind, name, fraction } = evidence.filled[e];
  return {
    kind,
    name,
    filled_fraction: fraction,
    confidence_fraction: chance,
    positions: group.dips.map((d, i) => {
      const [here] = outcome.dips[i].samples;
      return {
        position: d.position,
        found_hz: d.frequency_hz,
        found_db: d.depth_db,
        predicted_hz: here.frequency_hz,
        predicted_db: here.depth_db,
        left_db: here.left_db[e],
      };
    }),
    reason: causeReason(kind, name, fraction),
  };
}

/** Depth below the neighbourhood of what was heard; 0 beyond the survey's frequencies. */
function heardCurves(survey: Survey): (part: DipPart, rows: readonly number[]) => HeardCurves {
  const depthOf = depthCurve(survey.frequency);
  const first = survey.frequency[0];
  const last = survey.frequency[survey.frequency.length - 1];
  return (part, rows) => (row, frequency) => {
    const heard = responseOf(survey, part, rows[row]);
    if (!heard) return new Float64Array(frequency.length);
    const depth = depthOf(power(heard.response));
    return frequency.map((f) => (f < first || f > last ? 0 : interpolateLog(survey.frequency, depth, f)));
  };
}

function requirePositions(group: DipGroup, survey: Survey): void {
  for (const d of group.dips) {
    if (survey.positions[d.row]?.id !== d.position) {
      throw new RangeError(
        `dip at "${d.position}" is not of survey "${survey.name}", expected the survey that was searched`,
      );
    }
  }
}
