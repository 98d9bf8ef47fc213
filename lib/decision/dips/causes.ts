/**
 * Why it dips: for each group of dips, what in the venue could make it, how well that agrees, and what could be done.
 *
 * Each suspect's own dips come from the field model with the sources, the ground and the suspect alone. Suspects and
 * "none of these" are then weighed by Bayes' rule. A crossover is judged by the survey itself: two parts of like level and
 * opposite phase, neither of which dips.
 */

import { interpolateLog } from "../../acoustics/bands/curve";
import { speedOfSound } from "../../acoustics/distance/air";
import { power } from "../../acoustics/response";
import type { Survey } from "../../survey/survey";
import { percent } from "../../text/decibels";
import type { Source, Venue } from "../../venue/venue";
import { adviceFor, type DipAdvice, groupReason } from "./advice";
import { depthCurve, responseOf } from "./dips";
import { PREDICTION_GRID, type Prediction, predict, SMOOTHING } from "./prediction";
import type { Dip, DipGroup, DipPart, DipSearch } from "./result";
import { type CauseKind, suspects } from "./suspects";
import { type Weighed, weigh } from "./weighing";

export type { DipAdvice } from "./advice";
export type { CauseKind } from "./suspects";

export interface DipCauseOptions {
  /** Kinds that are not to be considered. Default: none. */
  readonly leaveOut?: readonly CauseKind[];
}

/** A suspect for one group of dips. */
export interface DipCause {
  /** What sort of thing it is. */
  readonly kind: CauseKind;
  /** As it is called in the venue. */
  readonly name: string;
  /** Probability among all suspects and "none of these", 0…1. */
  readonly confidence_fraction: number;
  /** Root mean square of the found over the predicted frequency, octaves; null where nothing near was predicted. */
  readonly frequencyError_octaves: number | null;
  /** Mean of found less predicted depth, dB; null as above. */
  readonly depthError_db: number | null;
  /** Number of the group's positions at which a dip near the found one is predicted. */
  readonly agreeing_count: number;
  /** The dip found and the dip predicted at each of the group's positions. */
  readonly positions: readonly PredictedDip[];
  /** How well it agrees, in a sentence. */
  readonly reason: string;
}

export interface PredictedDip {
  /** Id of the position. */
  readonly position: string;
  /** Frequency of the dip found. */
  readonly found_hz: number;
  /** Its depth. */
  readonly found_db: number;
  /** Frequency of the predicted dip nearest to it; null where none is predicted. */
  readonly predicted_hz: number | null;
  /** Its depth; null as above. */
  readonly predicted_db: number | null;
}

export interface ExplainedDip {
  /** The dips that are explained. */
  readonly group: DipGroup;
  /** Most probable first; "none of these" is one of them. */
  readonly causes: readonly DipCause[];
  /** The most probable kind of cause. */
  readonly verdict: CauseKind;
  /** Its probability, 0…1. */
  readonly confidence_fraction: number;
  /** What could be done. */
  readonly advice: DipAdvice;
  /** What speaks for the verdict, in sentences. */
  readonly reasons: readonly string[];
}

/**
 * Why a survey dips: for each group of dips, what in the venue could make it, how well that agrees, and what could be done.
 *
 * Each suspect's own dips come from the model with the sources, the ground and the suspect alone. Suspects and
 * "none of these" are then weighed by Bayes' rule. A crossover is judged by the survey itself: two parts of like level and
 * opposite phase, neither of which dips.
 *
 * @param search  from `decide.dips`
 * @param venue  the venue in which the survey was made
 * @param survey  the survey that was searched
 * @param options  kinds to leave out
 * @returns one explanation per group, in the order of the groups, with a probability, 0…1, for each cause
 * @throws RangeError when the search names a position that the survey does not have
 * @source own way by Bayes' rule over the model, no outside source; check: tests/decision/dips/causes.test.ts
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
  const parts = [...new Set(search.groups.map((g) => g.part))];
  const byGroup = new Map<DipGroup, ExplainedDip>();
  for (const part of parts) {
    const groups = search.groups.filter((g) => g.part === part);
    const entries = entriesOf(part, groups, search, venue, survey, options);
    const weighed = weigh(
      groups.map((g) => g.dips),
      heardCurves(survey, part),
      entries,
      search.range_hz[part],
      part,
    );
    groups.forEach((group, i) => {
      byGroup.set(group, explained(group, entries, weighed[i], venue));
    });
  }
  return search.groups.map((g) => byGroup.get(g) as ExplainedDip);
}

export interface Entry {
  readonly kind: CauseKind;
  readonly name: string;
  readonly prediction: readonly Prediction[];
}

/** Suspects of a part with what they predict. */
export function entriesOf(
  part: DipPart,
  groups: readonly DipGroup[],
  search: DipSearch,
  venue: Venue,
  survey: Survey,
  { leaveOut = [] }: DipCauseOptions,
): Entry[] {
  const positions = survey.positions.map((p) => p.point);
  const cache = new Map<Venue, Float64Array[]>();
  const entries: Entry[] = suspects(venue, sourcesOf(part, survey))
    .filter((s) => !leaveOut.includes(s.kind))
    .map((s) => ({
      kind: s.kind,
      name: s.name,
      prediction: predict(s, positions, search.range_hz[part], cache),
    }));
  if (part === "sum" && !leaveOut.includes("mains against subs")) {
    const dips = groups.flatMap((g) => g.dips);
    const name = "mains against subs at the crossover";
    entries.push({
      kind: "mains against subs",
      name,
      prediction: opposed(dips, survey),
    });
  }
  return entries;
}

function explained(group: DipGroup, entries: readonly Entry[], weighed: Weighed, venue: Venue): ExplainedDip {
  const causes = entries.map((e, i): DipCause => causeOf(group, e, weighed.suspects[i]));
  causes.push({
    kind: "none of these",
    name: "none of these",
    confidence_fraction: weighed.none,
    frequencyError_octaves: null,
    depthError_db: null,
    agreeing_count: 0,
    positions: [],
    reason: "Something that the venue's file does not hold, or a fault of the system.",
  });
  causes.sort((a, b) => b.confidence_fraction - a.confidence_fraction);
  const [first, second] = causes;
  const advice = adviceFor(first.kind, group, speedOfSound(venue.air.temperature));
  return {
    group,
    causes,
    verdict: first.kind,
    confidence_fraction: first.confidence_fraction,
    advice,
    reasons: [groupReason(group), verdictReason(first, second), first.reason],
  };
}

function causeOf(group: DipGroup, { kind, name, prediction }: Entry, confidence: number): DipCause {
  const positions = group.dips.map((d): PredictedDip => {
    const near = [...prediction[d.row].dips].sort(
      (a, b) =>
        Math.abs(Math.log(a.frequency_hz / d.frequency_hz)) -
        Math.abs(Math.log(b.frequency_hz / d.frequency_hz)),
    )[0];
    return {
      position: d.position,
      found_hz: d.frequency_hz,
      found_db: d.depth_db,
      predicted_hz: near?.frequency_hz ?? null,
      predicted_db: near?.depth_db ?? null,
    };
  });
  const agreeing = positions.filter(
    (p) => p.predicted_hz !== null && Math.abs(Math.log2(p.found_hz / p.predicted_hz)) < NEAR,
  );
  const mean = (x: readonly number[]) => (x.length > 0 ? x.reduce((s, v) => s + v, 0) / x.length : null);
  const squares = mean(agreeing.map((p) => Math.log2(p.found_hz / (p.predicted_hz as number)) ** 2));
  const depthError_db = mean(agreeing.map((p) => p.found_db - (p.predicted_db as number)));
  const frequencyError_octaves = squares === null ? null : Math.sqrt(squares);
  return {
    kind,
    name,
    confidence_fraction: confidence,
    frequencyError_octaves,
    depthError_db,
    agreeing_count: agreeing.length,
    positions,
    reason: agreementReason(name, agreeing.length, positions.length, frequencyError_octaves, depthError_db),
  };
}

/** Octaves within which a predicted dip is the one found. */
const NEAR = 0.2;

function agreementReason(
  name: string,
  agreeing: number,
  positions: number,
  error: number | null,
  depth: number | null,
): string {
  if (agreeing === 0 || error === null || depth === null)
    return `${capital(name)} predicts no dip near those found.`;
  const off = `${(100 * (2 ** error - 1)).toFixed(0)} %`;
  const deep =
    Math.abs(depth) < 2
      ? "as deep as found"
      : `${Math.abs(depth).toFixed(0)} dB ${depth > 0 ? "shallower" : "deeper"} than found`;
  return `${capital(name)} predicts a dip near the one found at ${agreeing} of ${positions} positions, off by ${off} in frequency, ${deep}.`;
}

function verdictReason(first: DipCause, second: DipCause | undefined): string {
  const sure =
    first.confidence_fraction >= 0.9
      ? "Very likely"
      : first.confidence_fraction >= 0.7
        ? "Likely"
        : first.confidence_fraction >= 0.5
          ? "Perhaps"
          : "Undecided; first among many";
  const rest =
    second && second.confidence_fraction >= 0.05
      ? `; next is ${second.name} with ${percent(second.confidence_fraction)}`
      : "";
  // Among the causes that were thought of: certainty is not to be had.
  const share = first.confidence_fraction > 0.99 ? "over 99 %" : percent(first.confidence_fraction);
  return `${sure}: ${first.name} (${share})${rest}.`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function sourcesOf(part: DipPart, survey: Survey): Source["group"][] {
  if (part === "subs") return ["subs"];
  const front: Source["group"][] = survey.fills ? ["mains", "fills"] : ["mains"];
  return part === "mains" ? front : [...front, "subs"];
}

/** Degrees from opposite, and dB of level, within which two parts cancel by more than some decibels. */
const OPPOSED = 120;
const LIKE = 12;

/** Where the parts oppose each other at a dip of their sum, as the prediction that they are its cause: it stands on no curve. */
function opposed(dips: readonly Dip[], survey: Survey): Prediction[] {
  const nothing = new Float64Array(PREDICTION_GRID.length);
  return survey.positions.map((_, row) => ({
    dips: dips.filter((d) => d.row === row && opposes(survey, row, d.frequency_hz)),
    depth: nothing,
    base: nothing,
  }));
}

function opposes(survey: Survey, row: number, frequency: number): boolean {
  const i = nearest(survey.frequency, frequency);
  const mains = survey.mains[row];
  const subs = survey.subs[row];
  if (mains.magnitudeOnly || subs.magnitudeOnly) return false;
  const turn = Math.atan2(mains.im[i], mains.re[i]) - Math.atan2(subs.im[i], subs.re[i]);
  const degrees = Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) * (180 / Math.PI);
  const apart = Math.abs(10 * Math.log10(power(mains)[i] / power(subs)[i]));
  return degrees > OPPOSED && apart < LIKE;
}

/** Depth below the neighbourhood of what was heard, on the grid of predictions, by row. */
export function heardCurves(survey: Survey, part: DipPart): Float64Array[] {
  const depthOf = depthCurve(survey.frequency, { smoothing: SMOOTHING });
  return survey.positions.map((_, row) => {
    const heard = responseOf(survey, part, row);
    if (!heard) return new Float64Array(PREDICTION_GRID.length);
    const depth = depthOf(power(heard.response));
    const first = survey.frequency[0];
    const last = survey.frequency[survey.frequency.length - 1];
    return PREDICTION_GRID.map((f) =>
      f < first || f > last ? 0 : interpolateLog(survey.frequency, depth, f),
    );
  });
}

function nearest(frequency: Float64Array, wanted: number): number {
  let best = 0;
  for (let i = 1; i < frequency.length; i++) {
    if (Math.abs(frequency[i] - wanted) < Math.abs(frequency[best] - wanted)) best = i;
  }
  return best;
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
