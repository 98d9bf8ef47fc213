/**
 * What one more microphone tells: a study's answer from the drawing alone, and with its microphones added one by one.
 */
import { balance } from "../../decision/balance/balance";
import { answerOf, type ShowAnswer, subsOptions, thinned } from "../../study/answer";
import { settingWords } from "../../study/answer-words";
import { decisionSettings } from "../../study/settings";
import type { Study } from "../../study/study";
import { partOfSurvey } from "../../survey/part";
import type { Position } from "../../survey/survey";
import { percent, signedDecibels } from "../../text/decibels";
import { decibelAxis, linearAxis } from "../figures/parts/axes";
import { type DrawnVenue, drawnPart } from "../figures/parts/drawing";
import type { Figure } from "../figures/parts/figure";
import type { NamedPosition } from "../figures/parts/venue-frame";
import { seatsFigure } from "../figures/seats";
import type { PanelKind, View } from "./panel";

/** Of a show that was measured; its microphones are added in their order there. */
export interface MicrophonesData {
  readonly study: Study;
}

/** What the page needs of it. */
export interface MicrophonesContent {
  readonly venue: DrawnVenue;
  readonly positions: readonly Position[];
  readonly microphones: readonly NamedPosition[];
  /** With none of them, with one, and so on. */
  readonly steps: readonly Step[];
}

interface Step {
  /** At each position with what is recommended then, dB. */
  readonly deviation: Float64Array;
  readonly setting: string;
  readonly offset: Range;
  readonly within3dB: Range;
}

/** Value, and ends of its 90 % interval. */
type Range = readonly [value: number, lower: number, upper: number];

export const microphones: PanelKind<MicrophonesData, MicrophonesContent> = {
  title: "What does one more microphone tell?",
  sliders: (content) => [
    {
      name: "microphones",
      label: "Microphones",
      unit: "",
      min: 0,
      max: content.microphones.length,
      step: 1,
      value: 0,
    },
  ],
  reduce: ({ study }) => {
    const { show, measurement, modelAtMicrophones: atThem, model, answer } = study;
    const measured = measurement.survey;
    if (!measured || !atThem)
      throw new RangeError("nothing was measured in this study: there is nothing to add");
    const settings = decisionSettings(show);
    const audience = thinned(model.survey);
    const ids = new Map(answer.survey.positions.map((p, i) => [p.id, i]));
    const seats = audience.positions.map((p) => ids.get(p.id) as number);
    const steps = [...Array(measured.positions.length + 1).keys()].map((count): Step => {
      const first = [...Array(count).keys()];
      if (count === measured.positions.length) return stepOf(answer, seats, settings);
      const heard = count > 0 && {
        measured: partOfSurvey(measured, first),
        model: partOfSurvey(atThem, first),
      };
      const found = answerOf(show.venue, audience, undefined, heard || undefined, settings);
      return stepOf(found, [...seats.keys()], settings);
    });
    return {
      venue: drawnPart(show.venue),
      positions: audience.positions,
      microphones: measured.positions.map(({ id, point }) => ({ id, point })),
      steps,
    };
  },
  prepare: (content) => (values) => view(content, values.microphones),
};

function stepOf(
  answer: ShowAnswer,
  seats: readonly number[],
  settings: ReturnType<typeof decisionSettings>,
): Step {
  const { setting, intervals, offset } = answer;
  const { positions } = balance(partOfSurvey(answer.survey, seats), {
    ...settings,
    ...subsOptions(setting),
    offset: offset.offset_db,
  });
  const range = ({ value, lower, upper }: (typeof intervals)["offset_db"]): Range => [value, lower, upper];
  return {
    deviation: Float64Array.from(positions, (p) => p.deviation_db),
    setting: settingWords(answer),
    offset: range(intervals.offset_db),
    within3dB: range(intervals.within3dB_fraction),
  };
}

function view({ venue, positions, microphones: all, steps }: MicrophonesContent, count: number): View {
  const { deviation, setting, offset, within3dB } = steps[count];
  const [level, lowest, highest] = offset.map((x) => signedDecibels(x));
  const [share, fewest, most] = within3dB.map(percent);
  const last = count > 0 && all[count - 1].id;
  const by =
    count === 0
      ? "By the drawing alone"
      : count === 1
        ? `With one microphone, at ${last}`
        : `With ${count} microphones, the last at ${last}`;
  return {
    words: `${by}: subs ${level}, ${setting}. In nine cases of ten the right change lies between ${lowest} and ${highest}; ${share} of the people are to be expected within 3 dB, ${fewest} to ${most}.`,
    figures: [
      seatsFigure(venue, positions, deviation, {
        title: "Each seat then, as far as anyone knows",
        marked: all.slice(0, count),
        holding: all.map((m) => m.point),
      }),
      levelFigure(steps, count),
    ],
  };
}

/** Level and its interval over the number of microphones. */
function levelFigure(steps: readonly Step[], count: number): Figure {
  const counts = [...steps.keys()];
  const trace = (some: readonly number[], color: string) => [
    {
      type: "scatter" as const,
      mode: "lines",
      x: some.flatMap((k) => [k, k, null]),
      y: some.flatMap((k) => [steps[k].offset[1], steps[k].offset[2], null]),
      line: { color, width: 5 },
      hoverinfo: "skip",
    },
    {
      type: "scatter" as const,
      mode: "markers",
      x: some,
      y: some.map((k) => steps[k].offset[0]),
      marker: { color, size: 11, symbol: "diamond" },
      hovertemplate: some.map(
        (k) => `${k} microphones: ${steps[k].offset.map((x) => signedDecibels(x)).join(", ")}<extra></extra>`,
      ),
    },
  ];
  const heard = counts.filter((k) => k <= count);
  return {
    title: "Change of the subs, with the interval that holds the right one in nine cases of ten",
    alt: heard
      .map(
        (k) =>
          `${k} microphones: ${signedDecibels(steps[k].offset[0])}, ${signedDecibels(steps[k].offset[1])} to ${signedDecibels(steps[k].offset[2])}.`,
      )
      .join(" "),
    height: 300,
    data: trace(heard, "@subs"),
    layout: {
      xaxis: linearAxis("Microphones", -0.5, counts.length - 0.5, { dtick: 1 }),
      yaxis: decibelAxis(
        "Level of the subs (dB)",
        steps.flatMap(({ offset }) => offset),
      ),
    },
  };
}
