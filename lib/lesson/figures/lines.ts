import { inDecibels } from "../../text/decibels";
import { decibelAxis, linearAxis } from "./parts/axes";
import type { Figure } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { plotText } from "./parts/plot-text";

export interface LinesOptions {
  /** Values along the axis, ascending. */
  readonly x: ArrayLike<number>;
  /** What they are, with the unit: "Distance from the stage edge (m)". */
  readonly xTitle: string;
  /** Curves in dB by what to call them; one called "mains" or "subs" gets their colour. */
  readonly curves: { readonly [label: string]: ArrayLike<number> };
  /** What the curves are, with the unit. Default "Level (dB)". */
  readonly yTitle?: string;
  /** Above the figure. Default "Level over distance". */
  readonly title?: string;
}

/**
 * A few curves in dB over a linear axis, each with its name at its end.
 *
 * Across: what `xTitle` says, in its unit. Up: what `yTitle` says (dB). The dB axis spans at least 20 dB, so that figures
 * side by side compare.
 *
 * @param options  values, names and units
 * @returns a figure, for `show`
 * @throws RangeError when there is no curve, or one has another length than the axis
 * @source own way, no outside source; check: tests/lesson/figures/figures.test.ts
 * @example
 * const x = [2, 4, 8, 16];
 * const loss = x.map((r) => -acoustics.distance.pointLoss(2, r)); // 0, −6, −12, −18 dB
 * show(draw.lines({ x, xTitle: "Distance (m)", curves: { "point source": loss } }));
 */
export function linesFigure({
  x,
  xTitle,
  curves,
  yTitle = "Level (dB)",
  title = "Level over distance",
}: LinesOptions): Figure {
  const entries = Object.entries(curves).map(([label, values]) => ({ label, y: Array.from(values) }));
  if (entries.length === 0) throw new RangeError("there is no curve to draw: give one or more in `curves`");
  for (const { label, y } of entries) {
    if (y.length !== x.length || y.length === 0) {
      throw new RangeError(`the curve "${label}" has ${y.length} values for ${x.length} along the axis`);
    }
  }
  const xs = Array.from(x);
  const yaxis = decibelAxis(
    yTitle,
    entries.flatMap(({ y }) => y),
    { span: 20 },
  );
  const [low, high] = yaxis.range as [number, number];
  const heights = spreadApart(
    entries.map(({ y }) => y[y.length - 1]),
    (high - low) / 12,
    [low, high],
  );
  return {
    title,
    alt: entries
      .map(
        ({ label, y }) =>
          `${label}: from ${inDecibels(y[0])} at ${xs[0]} to ${inDecibels(y[y.length - 1])} at ${xs[xs.length - 1]}.`,
      )
      .join(" "),
    height: 340,
    data: entries.map(({ label, y }, i) => ({
      type: "scatter",
      mode: xs.length <= 24 ? "lines+markers" : "lines",
      x: xs,
      y,
      cliponaxis: false,
      line: { color: look(label, i), width: 2.5, dash: dashes[i % dashes.length] },
      marker: { color: look(label, i), size: 7, symbol: symbols[i % symbols.length] },
      hovertemplate: `${plotText(label)}: %{y:.1f} dB<extra></extra>`,
    })),
    layout: {
      xaxis: linearAxis(xTitle, Math.min(0, xs[0]), xs[xs.length - 1]),
      yaxis,
      margin: { r: Math.max(90, 16 + 9.4 * Math.max(...entries.map(({ label }) => label.length))) },
      annotations: entries.map(({ label }, i) => ({
        text: `<b>${plotText(label)}</b>`,
        x: 1,
        xref: "paper",
        xanchor: "left",
        xshift: 8,
        y: heights[i],
        showarrow: false,
        font: { color: look(label, i) },
      })),
    },
  };
}

const palette = ["@mark", "@mains", "@subs", "@ink"];
const dashes = ["solid", "dash", "dot", "dashdot"];
const symbols = ["circle", "square", "diamond", "cross"];

const look = (label: string, i: number): string =>
  label === "mains" || label === "subs" ? `@${label}` : palette[i % palette.length];
