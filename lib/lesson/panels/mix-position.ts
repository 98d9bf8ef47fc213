/**
 * Where the mix engineer stands: what is heard there against what the audience gets, while the place and the subs' level move.
 */
import { audienceWeights } from "../../decision/balance/audience";
import {
  type BalanceOptions,
  type DeviationForms,
  deviationForms,
  deviationsAt,
} from "../../decision/balance/balance";
import type { Position, Survey } from "../../survey/survey";
import { signedDecibels } from "../../text/decibels";
import type { Venue } from "../../venue/venue";
import { type DrawnVenue, drawnPart } from "../figures/parts/drawing";
import { seatsFigure } from "../figures/seats";
import type { PanelKind, SliderValues, View } from "./panel";

export interface MixPositionData {
  readonly venue: Venue;
  /** Of the audience. */
  readonly survey: Survey;
  /** Of the positions where the mix engineer may stand, on the same frequencies. */
  readonly candidates: Survey;
  readonly options?: BalanceOptions;
  /** Where the level of the subs starts, dB. Default 0. */
  readonly offset?: number;
}

export interface MixPositionContent {
  readonly venue: DrawnVenue;
  readonly weights: Float64Array;
  readonly people: DeviationForms;
  readonly positions: readonly Position[];
  readonly here: DeviationForms;
  readonly offset: number;
}

export const mixPosition: PanelKind<MixPositionData, MixPositionContent> = {
  title: "What does the mix engineer hear here?",
  sliders: ({ positions, offset }) => {
    const span = (axis: "x" | "y") => positions.map((p) => p.point[axis]);
    const slider = (name: "back" | "left", label: string, values: readonly number[]) => {
      const [min, max] = [Math.ceil(2 * Math.min(...values)) / 2, Math.floor(2 * Math.max(...values)) / 2];
      const value = Math.round(min + max) / 2;
      return { name, label, unit: "m", min, max, step: 0.5, value };
    };
    return [
      slider("back", "Distance from the stage", span("x")),
      slider("left", "To house left", span("y")),
      {
        name: "offset",
        label: "Level of the subs",
        unit: "dB",
        min: -15,
        max: 15,
        step: 0.5,
        value: Math.min(15, Math.max(-15, Math.round(offset * 2) / 2)),
      },
    ];
  },
  reduce: ({ venue, survey, candidates, options, offset = 0 }) => ({
    venue: drawnPart(venue),
    weights: audienceWeights(survey, options?.weights),
    people: deviationForms(survey, options),
    positions: candidates.positions,
    here: deviationForms(candidates, options),
    offset,
  }),
  prepare: (content) => {
    const people = new Float64Array(content.weights.length);
    const here = new Float64Array(content.positions.length);
    return (values) => {
      deviationsAt(content.people, values.offset, people);
      const audience = people.reduce((sum, d, i) => sum + content.weights[i] * d, 0);
      const bias = Array.from(deviationsAt(content.here, values.offset, here), (d) => d - audience);
      return view(content, bias, audience, values);
    };
  },
};

function view(
  { venue, positions }: MixPositionContent,
  bias: readonly number[],
  audience: number,
  { back, left, offset }: SliderValues,
): View {
  const away = positions.map(({ point }) => Math.hypot(point.x - back, point.y - left));
  const at = away.indexOf(Math.min(...away));
  const near = positions.flatMap((_, i) =>
    distance(positions[i], positions[at]) <= 1.6 ? [bias[i] - bias[at]] : [],
  );
  const change = Math.max(...near.map(Math.abs));
  return {
    words: `Subs at ${signedDecibels(offset)}: the audience gets ${signedDecibels(audience)} relative to the target, this position ${signedDecibels(bias[at])} relative to the audience. Keep it in mind: here the bass must sound ${signedDecibels(bias[at])} relative to what seems right. A step of a metre and a half changes it by up to ${change.toFixed(1)} dB.`,
    figures: [
      seatsFigure(venue, positions, bias, {
        title: "Bass at each position relative to the audience",
        quantity: "Bass relative to the audience (dB)",
        marked: [{ id: "here", point: positions[at].point }],
      }),
    ],
  };
}

const distance = (a: Position, b: Position): number =>
  Math.hypot(a.point.x - b.point.x, a.point.y - b.point.y);
