/** What a thread gets to do to explain dips. */
import { type ExplainedDip, explainDips } from "../decision/dips/causes";
import { findDips } from "../decision/dips/dips";
import type { CutAir } from "../field/waves/room";
import type { Survey } from "../survey/survey";
import type { Venue } from "../venue/venue";
import type { Sender } from "./sent";

export interface DipWork {
  readonly venue: Venue;
  readonly survey: Survey;
  /** The venue's air, as the thread that asks has it. */
  readonly cut: CutAir;
  readonly to: Sender;
}

/** @param alive  called while waves are computed */
export const explainedDips = (survey: Survey, venue: Venue, alive?: () => void): ExplainedDip[] =>
  explainDips(findDips(survey), venue, survey, { progress: alive });
