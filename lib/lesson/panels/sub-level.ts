/**
 * How loud to set the subs: the balance over the audience while the level offset moves.
 */
import { audienceWeights, hasAudience } from "../../decision/balance/audience";
import {
  type BalanceOptions,
  type DeviationForms,
  deviationForms,
  deviationsAt,
} from "../../decision/balance/balance";
import { summarise } from "../../decision/balance/summary";
import { modelSurvey } from "../../field/model-survey";
import type { Position, Survey } from "../../survey/survey";
import { inDecibels, signedDecibels } from "../../text/decibels";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";
import { balanceOverDistanceFigure } from "../figures/balance-over-distance";
import { type DrawnVenue, drawnPart } from "../figures/parts/drawing";
import { seatsFigure } from "../figures/seats";
import type { PanelKind, View } from "./panel";

/** A survey, or a venue whose seats are then modelled; with both, the plan is drawn too. */
export interface SubLevelData {
  /** Of the audience; a model of the venue by default. */
  readonly survey?: Survey;
  /** What stands where, for the drawing; needed where there is no survey. */
  readonly venue?: Venue;
  /** About how many seats of the venue to model where there is no survey. Default 300. */
  readonly count?: number;
  readonly options?: BalanceOptions;
}

/** What the page needs of it: at each place the deviation is a quadratic in the subs' gain. */
export interface SubLevelContent {
  readonly positions: readonly Position[];
  readonly weights: Float64Array;
  readonly forms: DeviationForms;
  readonly venue?: DrawnVenue;
}

export const subLevel: PanelKind<SubLevelData, SubLevelContent> = {
  title: "How loud should the subs be?",
  sliders: () => [
    { name: "offset", label: "Level of the subs", unit: "dB", min: -15, max: 15, step: 0.5, value: 0 },
  ],
  reduce: (data) => {
    const survey = surveyOf(data);
    const everywhere = hasAudience(survey) ? data.options?.weights : survey.positions.map(() => 1);
    return {
      positions: survey.positions,
      weights: audienceWeights(survey, everywhere),
      forms: deviationForms(survey, data.options),
      ...(data.venue && { venue: drawnPart(data.venue) }),
    };
  },
  prepare: (content) => {
    const deviation = new Float64Array(content.positions.length);
    return ({ offset }) => view(content, deviationsAt(content.forms, offset, deviation), offset);
  },
};

function surveyOf({ survey, venue, count = 300 }: SubLevelData): Survey {
  if (survey) return survey;
  if (!venue) throw new RangeError('the panel needs a survey or a venue: panel("sub level", { survey: … })');
  return modelSurvey(venue, seats(venue, { count }));
}

function view({ positions, weights, venue }: SubLevelContent, deviation: Float64Array, offset: number): View {
  const audience = summarise(positions, weights, deviation);
  const fraction = Math.round(audience.within3dB_fraction * 100);
  const overDistance = balanceOverDistanceFigure(
    positions.map((p, i) => ({ ...p, deviation_db: deviation[i] })),
  );
  return {
    words: `Subs at ${signedDecibels(offset)}: ${fraction} of 100 people are within 3 dB of the target. The front gets ${asked(audience.front_db)}, the back ${asked(audience.back_db)}.`,
    figures: venue
      ? [seatsFigure(venue, positions, deviation, { title: "From above" }), overDistance]
      : [overDistance],
  };
}

function asked(deviation: number): string {
  if (Math.abs(deviation) < 0.05) return "as much bass as the target";
  return `${inDecibels(Math.abs(deviation))} ${deviation > 0 ? "more" : "less"} bass than the target`;
}
