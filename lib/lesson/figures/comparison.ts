import type { Survey } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import { decibelAxis, frequencyAxis } from "./parts/axes";
import type { Figure, FigureLayout } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { levelOverFrequency } from "./parts/levels";
import { plotText } from "./parts/plot-text";

/**
 * One place as two surveys have it, such as measured and modelled, each against its own mean level.
 *
 * The means are taken out because a measured ratio and a modelled pressure have no level in common.
 *
 * @param surveys  two surveys by what to call them
 * @param position    id of the position
 * @param options  group, frequencies, smoothing of an octave (default 6)
 * @throws RangeError when a survey lacks the place or the group
 */
export function comparisonFigure(
  surveys: { readonly [label: string]: Survey },
  position: string,
  options: {
    readonly group?: "mains" | "subs";
    readonly from?: number;
    readonly to?: number;
    readonly smoothing?: number;
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
  const at = y.indexOf(Math.min(...y));
  return `${label}: lowest at ${Math.round(x[at])} Hz, ${inDecibels(y[at])} relative to its mean.`;
}
