/**
 * How loud to set the subs: the balance over the audience while the level offset moves.
 */
import { type BalanceOptions, type BalanceResult, prepareBalance } from "../../decision/balance";
import { modelSurvey } from "../../field/model-survey";
import type { Survey } from "../../survey/survey";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";
import { balanceOverDistanceFigure } from "../figures/balanceOverDistance";
import { seatsFigure } from "../figures/seats";
import { inDecibels, signedDecibels } from "../levels";
import type { PanelKind, View } from "./panel";

/** A venue, whose seats the panel computes itself, or a survey, measured or modelled; with both, the plan is drawn too. */
export interface SubLevelData {
  readonly venue?: Venue;
  readonly survey?: Survey;
  /** About how many seats of the venue. Default 300. */
  readonly count?: number;
  readonly options?: BalanceOptions;
}

export const subLevel: PanelKind<SubLevelData> = {
  title: "How loud should the subs be?",
  sliders: () => [
    { name: "offset", label: "Level of the subs", unit: "dB", min: -15, max: 15, step: 0.5, value: 0 },
  ],
  prepare: (data) => {
    const balance = prepareBalance(surveyOf(data), data.options);
    return ({ offset }) => view(data.venue, balance.evaluate(offset));
  },
};

function surveyOf({ survey, venue, count = 300 }: SubLevelData): Survey {
  if (survey) return survey;
  if (!venue) throw new RangeError('the panel needs a venue or a survey: panel("sub level", { venue })');
  return modelSurvey(venue, seats(venue, { count }));
}

function view(venue: Venue | undefined, result: BalanceResult): View {
  const { positions, audience, offset_db } = result;
  const share = Math.round(audience.within3dB_share * 100);
  const overDistance = balanceOverDistanceFigure(positions);
  const deviations = positions.map((p) => p.deviation_db);
  return {
    words: `Subs at ${signedDecibels(offset_db)}: ${share} of 100 people hear the wanted balance within 3 dB. The front gets ${asked(audience.front_db)}, the back ${asked(audience.back_db)}.`,
    figures: venue
      ? [seatsFigure(venue, positions, deviations, { title: "From above" }), overDistance]
      : [overDistance],
  };
}

function asked(deviation: number): string {
  if (Math.abs(deviation) < 0.05) return "as much bass as wanted";
  return `${inDecibels(Math.abs(deviation))} ${deviation > 0 ? "more" : "less"} bass than wanted`;
}
