import type { OffsetResult } from "../../decision/offset/result";
import { inDecibels, signedDecibels } from "../../text/decibels";
import { linearAxis, withSign } from "./parts/axes";
import type { Figure, FigureLayout, FigureTrace } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { plotText } from "./parts/plot-text";

/** One answer to how loud the subs should be, with the name its curve gets. */
export interface NamedOffset {
  /** At the end of its curve, such as "measured". */
  readonly label: string;
  /** From `decide.offset`. */
  readonly result: OffsetResult;
}

/**
 * What each level offset of the subs costs the audience, with the best one, and what single positions would prefer.
 *
 * Across: change of the subs' level (dB), positive is louder. Up: deviation of the audience from its target balance, RMS
 * (dB). The dot at the lowest point is the best offset for all. Look how wide the valley is: where it is flat, a decibel
 * more or less costs nobody much. Dotted lines show who would prefer another level.
 *
 * @param answers  one or two, such as "measured" and "model"; the positions that prefer a level are those of the last
 * @param options  offsets shown, title
 * @returns a figure, for `show`
 * @throws RangeError when there is no answer, `from` is not below `to`, either is beyond ±120 dB, or none of the curve lies
 *   between
 * @source own way, no outside source; check: tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * show(draw.offset([{ label: "model", result: decide.offset(survey) }], { from: -12, to: 12 }));
 */
export function offsetFigure(
  answers: readonly NamedOffset[],
  options: {
    /** Above the figure. Default "What each level of the subs costs the audience". */
    readonly title?: string;
    /** Lowest offset shown, dB, −120 or more. Default −15. */
    readonly from?: number;
    /** Highest offset shown, dB, 120 or less. Default 15. */
    readonly to?: number;
  } = {},
): Figure {
  const { from = -15, to = 15, title = "What each level of the subs costs the audience" } = options;
  if (answers.length === 0)
    throw new RangeError("there is no offset to draw: give the result of decide.offset()");
  if (!(from < to && from >= -120 && to <= 120))
    throw new RangeError(
      `from ${from} to ${to} dB can't be drawn: expected from below to, both within ±120 dB`,
    );
  const curves = answers.map(({ label, result }, i) => ({
    label,
    result,
    look: looks[i % looks.length],
    ...curve(result, from, to),
  }));
  const top = Math.max(6, Math.ceil(Math.min(18, Math.max(...curves.flatMap(({ y }) => y))) / 3) * 3);
  const { preferred: asked } = answers[answers.length - 1].result;
  const shown = asked.filter((a) => a.offset_db >= from && a.offset_db <= to);
  return {
    title,
    alt: inWords(answers),
    height: 400,
    data: curves.flatMap(({ x, y, label, result, look }) => [
      line(x, y, label, look),
      best(result, label, look),
    ]),
    layout: {
      margin: { r: 112 },
      xaxis: linearAxis("Change of the subs' level (dB)", from, to, signed(from, to)),
      yaxis: linearAxis("Deviation of the audience, RMS (dB)", 0, top * 1.35, { tickvals: steps(top) }),
      shapes: shown.map((a) => ({
        type: "line",
        x0: a.offset_db,
        x1: a.offset_db,
        y0: 0,
        y1: top,
        line: { color: "@faint", width: 1, dash: "dot" },
      })),
      annotations: [...preferredLabels(shown, top, to - from), ...curveLabels(curves, top)],
    },
  };
}

const looks = [
  { color: "@mark", dash: "solid" },
  { color: "@mains", dash: "dash" },
] as const;

type Look = (typeof looks)[number];

function curve({ curve: c }: OffsetResult, from: number, to: number): { x: number[]; y: number[] } {
  const inside = c.offset_db.flatMap((x, i) => (x >= from && x <= to ? [i] : []));
  if (inside.length === 0) throw new RangeError(`no offset of the result lies between ${from} and ${to} dB`);
  return { x: inside.map((i) => c.offset_db[i]), y: inside.map((i) => c.rms_db[i]) };
}

const line = (x: number[], y: number[], label: string, look: Look): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x,
  y,
  line: { ...look, width: 2.5 },
  hovertemplate: `${plotText(label)}<br>subs %{x:+.1f} dB: %{y:.1f} dB rms<extra></extra>`,
});

const best = (result: OffsetResult, label: string, look: Look): FigureTrace => ({
  type: "scatter",
  mode: "markers",
  x: [result.offset_db],
  y: [result.audience.rms_db],
  marker: { color: look.color, size: 13, line: { color: "@page", width: 2 } },
  hovertemplate: `${plotText(label)}, best: ${signedDecibels(result.offset_db)}<extra></extra>`,
});

/** Who asks for what, on four steps where they would cover one another. */
function preferredLabels(asked: OffsetResult["preferred"], top: number, span: number): FigureLayout[] {
  const sorted = [...asked].sort((a, b) => a.offset_db - b.offset_db);
  const rows: number[] = [];
  return sorted.map(({ who, offset_db }) => {
    let row = rows.findIndex((last) => offset_db - last > span * 0.28);
    if (row < 0) row = Math.min(rows.length, 3);
    rows[row] = offset_db;
    return {
      text: `${who}: ${signedDecibels(offset_db)}`,
      x: offset_db,
      y: top * (1.31 - row * 0.085),
      showarrow: false,
      xanchor: "center",
      font: { color: "@ink" },
      bgcolor: "@page",
    };
  });
}

/** Name and best offset of each curve, at its end. */
function curveLabels(
  curves: readonly { y: number[]; label: string; result: OffsetResult; look: Look }[],
  top: number,
): FigureLayout[] {
  const ends = curves.map(({ y }) => Math.min(y[y.length - 1], top * 1.2));
  const heights = spreadApart(ends, top * 0.22);
  return curves.map(({ label, result, look }, i) => ({
    text: `<b>${plotText(label)}</b><br>best ${signedDecibels(result.offset_db)}`,
    x: 1,
    xref: "paper",
    xanchor: "left",
    xshift: 6,
    y: heights[i],
    align: "left",
    showarrow: false,
    font: { color: look.color },
  }));
}

function signed(from: number, to: number): FigureLayout {
  const tickvals = steps(to - from).map((s) => from + s);
  return { tickvals, ticktext: tickvals.map(withSign) };
}

const steps = (top: number): number[] => {
  const step = top > 20 ? 5 : 3;
  return Array.from({ length: Math.floor(top / step) + 1 }, (_, i) => i * step);
};

function inWords(answers: readonly NamedOffset[]): string {
  return answers
    .map(({ label, result }) => {
      const wishes = result.preferred.map((a) => `${a.who} ${signedDecibels(a.offset_db)}`).join(", ");
      return `${label}: the subs at ${signedDecibels(result.offset_db)} leave ${inDecibels(result.audience.rms_db)} rms over the audience. Asked for alone: ${wishes}.`;
    })
    .join(" ");
}
