import type { Position } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import { deviationAxis, linearAxis } from "./parts/axes";
import type { Figure } from "./parts/figure";
import { plotText } from "./parts/plot-text";
import { goodWithin } from "./parts/style";

/** One place with its balance, as `balance` returns it. */
export interface BalanceAtPosition extends Pick<Position, "id" | "point" | "people"> {
  readonly deviation_db: number;
}

/**
 * Balance at each place over its distance from the stage: too much bass above the band, too little below.
 *
 * @param positions  from `balance(survey).positions`
 * @param options  title; `limit` in dB, the span to either side, default 12
 * @throws RangeError when there is no place
 */
export function balanceOverDistanceFigure(
  positions: readonly BalanceAtPosition[],
  options: { readonly title?: string; readonly limit?: number } = {},
): Figure {
  if (positions.length === 0)
    throw new RangeError("there is no position to draw: the survey has no positions");
  const { limit = 12, title = "Bass relative to the target, from front to back" } = options;
  const x = positions.map((p) => p.point.x);
  const end = Math.ceil(Math.max(...x) / 5) * 5;
  const start = Math.min(0, Math.floor(Math.min(...x)));
  return {
    title,
    alt: inWords(positions),
    height: 340,
    data: [
      {
        type: "scatter",
        mode: "markers",
        x,
        y: positions.map((p) => clamp(p.deviation_db, limit)),
        marker: {
          color: positions.map((p) => p.deviation_db),
          cmin: -9,
          cmax: 9,
          colorscale: "@balance",
          line: { color: "@ink", width: 0.7 },
          size: positions.length > 60 ? 7 : 12,
          symbol: positions.map((p) =>
            p.deviation_db > goodWithin
              ? "triangle-up"
              : p.deviation_db < -goodWithin
                ? "triangle-down"
                : "circle",
          ),
        },
        hovertemplate: positions.map(
          (p) => `${plotText(p.id)}<br>${p.deviation_db.toFixed(1)} dB<extra></extra>`,
        ),
      },
    ],
    layout: {
      xaxis: linearAxis("Distance from the stage edge (m)", start, end, { dtick: end > 40 ? 10 : 5 }),
      yaxis: deviationAxis("Bass relative to the target (dB)", limit),
      shapes: [
        {
          type: "rect",
          xref: "paper",
          x0: 0,
          x1: 1,
          y0: -goodWithin,
          y1: goodWithin,
          fillcolor: "@good",
          line: { width: 0 },
          layer: "below",
        },
      ],
      margin: { r: 76 },
      annotations: [
        label("too much", (limit + goodWithin) / 2),
        label(`within<br>${goodWithin} dB`, 0),
        label("too little", -(limit + goodWithin) / 2),
      ],
    },
  };
}

/** Beyond the span a mark stays at its edge; its number is in its hover text. */
const clamp = (x: number, limit: number): number => Math.min(Math.max(x, -limit), limit);

const label = (text: string, y: number) => ({
  text,
  x: 1,
  xref: "paper",
  xanchor: "left",
  xshift: 6,
  y,
  align: "left",
  showarrow: false,
  font: { color: "@faint" },
});

function inWords(positions: readonly BalanceAtPosition[]): string {
  const sorted = [...positions].sort((a, b) => a.point.x - b.point.x);
  const [front, back] = [sorted[0], sorted[sorted.length - 1]];
  const good = positions.filter((p) => Math.abs(p.deviation_db) <= goodWithin).length;
  return `Bass relative to the target at ${positions.length} places: ${inDecibels(front.deviation_db)} at ${front.id} in front, ${inDecibels(back.deviation_db)} at ${back.id} at the back; ${good} places are within ${goodWithin} dB.`;
}
