/** What one survey answers: spread, balance, offset, alignment, where to mix. */
import { alignment } from "../decision/alignment/alignment";
import type { AlignmentResult } from "../decision/alignment/result";
import { type BalanceResult, balance } from "../decision/balance/balance";
import { type SpreadResult, spread } from "../decision/balance/spread";
import { levelOffset } from "../decision/offset/offset";
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
  const of = (group: "mains" | "subs") => venue.sources.filter((s) => s.group === group).map((s) => s.point);
  // The measured survey holds the mix position already; the model's zone is asked beside its seats.
  const whole = zone && !survey.positions.includes(zone.positions[0]) ? joinSurveys(survey, zone) : survey;
  const offset = levelOffset(whole, settings);
  const phases = ![...survey.mains, ...survey.subs].some((r) => r.magnitudeOnly);
  return {
    survey,
    spread: spread(survey, { ...settings, origins: { mains: of("mains"), subs: of("subs") } }),
    balance: balance(survey, settings),
    offset,
    ...(phases && {
      alignment: alignment(survey, { offset: offset.offset_db, coherenceLimit: settings.coherenceLimit }),
    }),
    ...(zone && { ranking: rankReferences(survey, zone, { ...settings, offset: offset.offset_db }) }),
  };
}
