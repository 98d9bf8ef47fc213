import type { Figure, FigureLayout, FigureTrace } from "./figure";
import { spreadApart } from "./label-spacing";
import { plotText } from "./plot-text";

/** A line of a figure, with its name at its end. */
export interface Curve {
  readonly label: string;
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
  /** Of the house style, such as "@subs". */
  readonly colour: string;
  readonly dash?: "solid" | "dash" | "dot" | "dashdot";
}

/** A place along the axis, as an upright line with a name above it. */
export interface Upright {
  readonly x: number;
  readonly label: string;
}

export interface CurvesOptions {
  readonly title: string;
  readonly alt: string;
  readonly curves: readonly Curve[];
  /** From axes.ts, with a range. */
  readonly xaxis: FigureLayout;
  readonly yaxis: FigureLayout;
  readonly uprights?: readonly Upright[];
  /** What the pointer reads after the number. Default "dB". */
  readonly unit?: string;
  readonly height?: number;
}

/**
 * Curves on given axes, so that a figure keeps its span while a slider moves.
 *
 * A curve is named at the end that lies inside the axes; uprights name a place along the axis.
 *
 * @param options  curves, axes and words
 * @throws RangeError when there is no curve, or a curve's x and y differ in length
 */
export function curvesFigure({
  title,
  alt,
  curves,
  xaxis,
  yaxis,
  uprights = [],
  unit = "dB",
  height = 340,
}: CurvesOptions): Figure {
  if (curves.length === 0) throw new RangeError("there is no curve to draw: give one or more");
  for (const { label, x, y } of curves) {
    if (x.length !== y.length || y.length === 0)
      throw new RangeError(`the curve "${label}" has ${y.length} values for ${x.length} along the axis`);
  }
  const [low, high] = yaxis.range as [number, number];
  const end = (values: ArrayLike<number>) => Math.min(Math.max(values[values.length - 1], low), high);
  const heights = spreadApart(
    curves.map(({ y }) => end(y)),
    (high - low) / 13,
    [low, high],
  );
  const along = positionOn(xaxis);
  const longest = Math.max(...curves.map(({ label }) => label.length));
  return {
    title,
    alt,
    height,
    data: curves.map((curve) => line(curve, unit)),
    layout: {
      xaxis,
      yaxis,
      margin: { r: 16 + 9.4 * longest, ...(uprights.length > 0 ? { t: 34 } : {}) },
      shapes: uprights.map(({ x }) => ({
        type: "line",
        x0: x,
        x1: x,
        yref: "paper",
        y0: 0,
        y1: 1,
        line: { color: "@mark", width: 1.5, dash: "dot" },
      })),
      annotations: [
        ...curves.map(({ label, colour, x }, i) => ({
          text: `<b>${plotText(label)}</b>`,
          x: along(Math.min(x[x.length - 1], along.end)),
          xanchor: "left",
          xshift: 6,
          y: heights[i],
          showarrow: false,
          font: { color: colour },
        })),
        ...uprights.map(({ x, label }, i) => ({
          text: plotText(label),
          x: along(x),
          yref: "paper",
          y: 1,
          yanchor: "bottom",
          yshift: i % 2 ? 15 : 1,
          showarrow: false,
          font: { color: "@mark" },
        })),
      ],
    },
  };
}

/** Where a value stands on an axis, as annotations count: by its logarithm on a logarithmic one. */
function positionOn(axis: FigureLayout): ((value: number) => number) & { readonly end: number } {
  const log = axis.type === "log";
  const [, last] = axis.range as [number, number];
  return Object.assign((value: number) => (log ? Math.log10(value) : value), {
    end: log ? 10 ** last : last,
  });
}

const line = ({ label, x, y, colour, dash = "solid" }: Curve, unit: string): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x: Array.from(x),
  y: Array.from(y),
  line: { color: colour, width: 2.5, dash },
  hovertemplate: `${plotText(label)}: %{y:.1f} ${unit}<extra></extra>`,
});
