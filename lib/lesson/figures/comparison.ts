import type { Survey } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import { decibelAxis, frequencyAxis } from "./parts/axes";
import type { Figure, FigureLayout } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { levelOverFrequency } from "./parts/levels";
import { lowestIndex } from "./parts/over-frequency";
import { plotText } from "./parts/plot-text";

/**
 * Level over frequency at one position as two surveys have it, such as measured and modelled.
 *
 * Across: frequency (Hz, logarithmic). Up: level relative to the curve's own mean (dB); the means are taken out because a
 * measured ratio and a modelled pressure have no level in common. Look for dips: one that both curves have at the same
 * frequency is explained by what the model knows.
 *
 * @param surveys  two surveys by what to call them: `{ measured, model }`
 * @param position  id of the position, which both must have
 * @param options  which group, which frequencies, how smooth
 * @returns a figure, for `show`
 * @throws RangeError when there is no survey, one lacks the position, or has nothing between `from` and `to`
 * @source frequency axis at the nominal mid-band frequencies of IEC 61260-1; else own way, no outside source; check:
 *   tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const row = venues.positions(hall, ["row 3"]);
 * const direct = predict.survey(hall, row, { order: 0 });
 * show(draw.comparison({ direct, reflected: predict.survey(hall, row, { order: 1 }) }, "row 3"));
 */
export function comparisonFigure(
  surveys: { readonly [label: string]: Survey },
  position: string,
  options: {
    /** Which part of the surveys. Default "subs". */
    readonly group?: "mains" | "subs";
    /** Lowest frequency drawn, hertz. Default 25. */
    readonly from?: number;
    /** Highest frequency drawn, hertz. Default 160. */
    readonly to?: number;
    /** Of an octave: 6 for sixths, 0 for none. Default 6. */
    readonly smoothing?: number;
    /** Above the figure; group, position and surveys by default. */
    readonly title?: string;
  } = {},
): Figure {
  const { group = "subs", from = 25, to = 160, smoothing = 6 } = options;
  const curves = Object.entries(surveys).map(([label, survey]) => ({
    label,
    ...curveAt(survey, position, group, from, to, smoothing),
  }));
  if (curves.length === 0) throw new RangeError("there is no survey to compare: give two");
  const yaxis = decibelAxis(
    "Level relative to the mean (dB)",
    curves.flatMap(({ y }) => y),
    { span: 30 },
  );
  const [low, high] = yaxis.range as [number, number];
  const heights = spreadApart(
    curves.map(({ y }) => y[y.length - 1]),
    (high - low) / 12,
    [low, high],
  );
  return {
    title: options.title ?? `The ${group} at ${position}: ${curves.map((c) => c.label).join(" and ")}`,
    alt: `The ${group} at ${position}, ${from} to ${to} Hz. ${curves.map(lowest).join(" ")}`,
    height: 340,
    data: curves.map(({ label, x, y }, i) => ({
      type: "scatter",
      mode: "lines",
      x,
      y,
      line: { color: looks[i % 2].color, width: 2.5, dash: looks[i % 2].dash },
      hovertemplate: `${plotText(label)}<br>%{x:.3~s}Hz: %{y:.1f} dB<extra></extra>`,
    })),
    layout: {
      xaxis: frequencyAxis(from, to),
      yaxis,
      margin: { r: 90 },
      annotations: curves.map(
        ({ label }, i): FigureLayout => ({
          text: `<b>${plotText(label)}</b>`,
          x: 1,
          xref: "paper",
          xanchor: "left",
          xshift: 6,
          y: Math.min(Math.max(heights[i], low), high),
          showarrow: false,
          font: { color: looks[i % 2].color },
        }),
      ),
    },
  };
}

const looks = [
  { color: "@mark", dash: "solid" },
  { color: "@mains", dash: "dash" },
] as const;

function curveAt(
  survey: Survey,
  position: string,
  group: "mains" | "subs",
  from: number,
  to: number,
  smoothing: number,
) {
  const at = survey.positions.findIndex((p) => p.id === position);
  if (at < 0) {
    throw new RangeError(
      `the survey "${survey.name}" has no position "${position}", it has ${survey.positions
        .slice(0, 8)
        .map((p) => p.id)
        .join(", ")}`,
    );
  }
  const level = levelOverFrequency(survey[group][at], survey.quantity, smoothing);
  const inside = Array.from(survey.frequency.keys()).filter(
    (i) => survey.frequency[i] >= from && survey.frequency[i] <= to,
  );
  const mean = inside.reduce((sum, i) => sum + level[i], 0) / inside.length;
  return { x: inside.map((i) => survey.frequency[i]), y: inside.map((i) => level[i] - mean) };
}

function lowest({ label, x, y }: { label: string; x: number[]; y: number[] }): string {
  const at = lowestIndex(y);
  return `${label}: lowest at ${Math.round(x[at])} Hz, ${inDecibels(y[at])} relative to its mean.`;
}
