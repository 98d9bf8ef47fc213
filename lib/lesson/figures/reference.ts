import type { RankedPosition, ReferenceResult } from "../../decision/reference/result";
import { inDecibels } from "../../text/decibels";
import type { Venue } from "../../venue/venue";
import { linearAxis } from "./parts/axes";
import { areaTrace, plan, venueTraces } from "./parts/drawing";
import type { Figure, FigureLayout } from "./parts/figure";
import { plotText } from "./parts/plot-text";

/**
 * Where the mix engineer may stand, from above and to scale: each position with how far off a judgement of the bass made
 * there is.
 *
 * Across: house left to house right (m). Down: distance from the stage edge (m), the stage at the top. Colour: how far off
 * a judgement is (dB), less is better. The three best positions carry their rank. Look whether the good ones lie together:
 * then a step aside does no harm.
 *
 * @param venue  what stands where
 * @param result  from `decide.rankPositions`
 * @param options  title
 * @returns a figure, for `show`
 * @throws RangeError when no position was ranked
 * @source colours of distance: viridis (van der Walt and Smith, 2015); else own way, no outside source; check:
 *   tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const audience = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const zone = predict.survey(hall, venues.zone(hall, { spacing: 4 }), { order: 0 });
 * show(draw.ranking(hall, decide.rankPositions(audience, zone)));
 */
export function referenceFigure(
  venue: Venue,
  result: ReferenceResult,
  options: {
    /** Above the figure. Default "Mix reference position: how far off each one is". */
    readonly title?: string;
  } = {},
): Figure {
  const { positions } = result;
  if (positions.length === 0)
    throw new RangeError("no position was ranked: decide.rankPositions() needs positions to compare");
  const points = positions.map((p) => plan(p.point));
  const scores = positions.map((p) => p.score_db);
  const around = 2;
  const range = (axis: 0 | 1): [number, number] => {
    const values = points.map((p) => p[axis]);
    return [Math.min(...values) - around, Math.max(...values) + around];
  };
  const [across, along] = [range(0), range(1)];
  return {
    title: options.title ?? "Mix reference position: how far off each one is",
    alt: inWords(positions),
    height: 560,
    shape: (along[1] - along[0]) / (across[1] - across[0]),
    data: [
      ...venueTraces(venue, plan),
      ...venue.audience.map((area) => areaTrace(area, plan)),
      {
        type: "scatter",
        mode: "markers",
        x: points.map((p) => p[0]),
        y: points.map((p) => p[1]),
        marker: {
          symbol: "square",
          size: positions.length > 60 ? 13 : 24,
          color: scores,
          cmin: 0,
          cmax: Math.max(6, Math.ceil(Math.max(...scores))),
          colorscale: "@distance",
          line: { color: "@page", width: 1 },
          colorbar: {
            orientation: "h",
            title: { text: "A judgement made here is off by (dB)", side: "bottom" },
            thickness: 12,
            len: 0.9,
            yref: "container",
            y: 0.01,
            yanchor: "bottom",
            outlinewidth: 0,
          },
        },
        hovertemplate: positions.map(
          (p) => `${p.rank}. ${plotText(p.id)}<br>off by ${inDecibels(p.score_db)}<extra></extra>`,
        ),
      },
    ],
    layout: {
      margin: { b: 116 },
      xaxis: linearAxis("← house left    Across (m)    house right →", across[1], across[0], {
        constrain: "domain",
        dtick: 2,
      }),
      yaxis: linearAxis("Distance from the stage edge (m)", along[1], along[0], {
        scaleanchor: "x",
        scaleratio: 1,
        constrain: "domain",
        dtick: 2,
      }),
      annotations: positions.slice(0, 3).map(rankLabel),
    },
  };
}

const rankLabel = (position: RankedPosition): FigureLayout => ({
  text: `<b>${position.rank}</b>`,
  x: plan(position.point)[0],
  y: plan(position.point)[1],
  showarrow: false,
  bgcolor: "@page",
  borderpad: 2,
  font: { color: "@ink" },
});

function inWords(positions: readonly RankedPosition[]): string {
  const [best, worst] = [positions[0], positions[positions.length - 1]];
  const where = ({ point }: RankedPosition) =>
    `${point.x.toFixed(1)} m from the stage, ${Math.abs(point.y).toFixed(1)} m to house ${point.y < 0 ? "right" : "left"}`;
  return `${positions.length} positions compared. Best: ${best.id}, ${where(best)}, off by ${inDecibels(best.score_db)}. Worst: ${worst.id}, ${where(worst)}, off by ${inDecibels(worst.score_db)}.`;
}
