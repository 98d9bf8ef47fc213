/** What one survey answers: spread, balance, offset, alignment, where to mix. */
import { alignment } from "../decision/alignment/alignment";
import type { AlignmentResult } from "../decision/alignment/result";
import { type BalanceResult, balance } from "../decision/balance/balance";
import { type SpreadResult, spread } from "../decision/balance/spread";
import { type Listeners, offsetWithPowers } from "../decision/offset/offset";
import type { OffsetOptions, OffsetResult } from "../decision/offset/result";
import { rankReferences } from "../decision/reference/rank";
import type { ReferenceResult } from "../decision/reference/result";
import { joinSurveys } from "../survey/part";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";

/** What one survey answers. */
export interface Findings {
  readonly survey: Survey;
  readonly spread: SpreadResult;
  /** With the subs as they were. */
  readonly balance: BalanceResult;
  readonly offset: OffsetResult;
  /** Delay and polarity of the subs for the audience as a whole; absent where phases are not known. */
  readonly alignment?: AlignmentResult;
  /** Positions where the mix engineer may stand, best first; absent where the survey has none. */
  readonly ranking?: ReferenceResult;
}

export function findings(
  survey: Survey,
  zone: Survey | undefined,
  venue: Venue,
  settings: OffsetOptions,
): Findings {
  const found = findingsAsSet(survey, zone, venue, settings);
  const aligned = alignmentAt(survey, found.offset.offset_db, settings);
  return { ...found, ...(aligned && { alignment: aligned }) };
}

/** Delay and polarity where the subs are so much louder; undefined where phases are not known. */
export const alignmentAt = (
  survey: Survey,
  offset: number,
  { coherenceLimit }: OffsetOptions,
): AlignmentResult | undefined =>
  hasPhases(survey) ? alignment(survey, { offset, coherenceLimit }) : undefined;

/** Whether phases of mains and subs are known everywhere. */
export const hasPhases = ({ mains, subs }: Survey): boolean =>
  ![...mains, ...subs].some((r) => r.magnitudeOnly);

/**
 * With delay and polarity as the settings have them.
 *
 * @param maybe  listeners of surveys that may as well be true: the level is decided over all of them
 */
export function findingsAsSet(
  survey: Survey,
  zone: Survey | undefined,
  venue: Venue,
  settings: OffsetOptions,
  maybe: readonly Listeners[] = [],
): Findings {
  const of = (group: "mains" | "subs") => venue.sources.filter((s) => s.group === group).map((s) => s.point);
  // The measured survey holds the mix position already; the model's zone is asked beside its seats.
  const whole = zone && !survey.positions.includes(zone.positions[0]) ? joinSurveys(survey, zone) : survey;
  const { result: offset } = offsetWithPowers(whole, settings, maybe);
  return {
    survey,
    spread: spread(survey, { ...settings, origins: { mains: of("mains"), subs: of("subs") } }),
    balance: balance(survey, settings),
    offset,
    ...(zone && { ranking: rankReferences(survey, zone, { ...settings, offset: offset.offset_db }) }),
  };
}
