/** What all drawings of a venue share: axes to scale, the stage's name, and places with their names. */
import type { Point } from "../../../acoustics/point";
import { linearAxis } from "./axes";
import { type DrawnVenue, extent, type Projection, plan, section } from "./drawing";
import type { FigureLayout, FigureTrace } from "./figure";
import { plotText } from "./plot-text";

/** A position to name in a drawing, such as that of a microphone or the mix position. */
export interface NamedPosition {
  /** What is written beside it. */
  readonly id: string;
  /** Where it is, metres. */
  readonly point: Point;
}

export type View = "plan" | "section";

/**
 * Axes of a drawing that shows a venue and some places whole.
 *
 * @returns layout, height over width, and the stage's name for the annotations
 */
export function frame(
  venue: DrawnVenue,
  positions: readonly Point[],
  view: View,
): { readonly layout: FigureLayout; readonly shape: number; readonly stageLabel: readonly FigureLayout[] } {
  const span = extent(venue, positions, view === "plan" ? plan : section);
  const shape = (span.up[1] - span.up[0]) / (span.across[1] - span.across[0]);
  return { layout: axes(view, span), shape, stageLabel: view === "plan" ? stageLabel(venue) : [] };
}

/** Rings around places. */
export function nameMarks(marked: readonly NamedPosition[], project: Projection): FigureTrace {
  const points = marked.map((m) => project(m.point));
  return {
    type: "scatter",
    mode: "markers",
    x: points.map((p) => p[0]),
    y: points.map((p) => p[1]),
    marker: { symbol: "circle-open", size: 14, color: "@mark", line: { width: 2.5, color: "@mark" } },
    hovertemplate: marked.map((m) => `${plotText(m.id)}<extra></extra>`),
  };
}

/**
 * Names beside the places from above, on a side where nothing stands; over them, on two steps, from the side.
 *
 * @param layout  from `frame`, whose axes tell how much room there is
 * @param least  the smallest that the axes will be drawn, pixels
 */
export function nameLabels(
  marked: readonly NamedPosition[],
  project: Projection,
  view: View,
  layout: FigureLayout,
  least: readonly [across: number, up: number] = TELEPHONE,
): FigureLayout[] {
  const points = marked.map((m) => project(m.point));
  const sides = view === "plan" ? freeSides(marked, points, layout, least) : [];
  return marked.map((m, i) => ({
    text: plotText(m.id),
    x: points[i][0],
    y: points[i][1],
    ...(sides[i]?.anchor ?? { yanchor: "bottom", yshift: i % 2 ? 24 : 8 }),
    showarrow: false,
    bgcolor: "@page",
    opacity: 0.9,
    font: { color: "@ink" },
  }));
}

/** Axes on a telephone's width, pixels. */
const TELEPHONE = [290, 500] as const;

/** Where a name may stand against its ring, and its box from the ring's centre: widths of itself, then pixels. */
const namesSides = [
  { anchor: { xanchor: "left", xshift: 10 }, left: 0, right: 1, x: 10, top: -9 },
  { anchor: { xanchor: "right", xshift: -10 }, left: -1, right: 0, x: -10, top: -9 },
  { anchor: { yanchor: "bottom", yshift: 8 }, left: -0.5, right: 0.5, x: 0, top: -28 },
  { anchor: { yanchor: "top", yshift: -8 }, left: -0.5, right: 0.5, x: 0, top: 10 },
] as const;

/** For each name the first side on which it touches no ring, no earlier name and no edge, even at its smallest. */
function freeSides(
  marked: readonly NamedPosition[],
  points: readonly (readonly [number, number])[],
  layout: FigureLayout,
  least: readonly [across: number, up: number],
): (typeof namesSides)[number][] {
  const [across, up] = [layout.xaxis, layout.yaxis].map((one) => (one as { range: [number, number] }).range);
  const scale = Math.min(least[0] / Math.abs(across[1] - across[0]), least[1] / Math.abs(up[1] - up[0]));
  const at = points.map(([x, y]) => [Math.abs(x - across[0]) * scale, Math.abs(y - up[1]) * scale]);
  const taken = at.map(([x, y]) => ({ left: x - 8, right: x + 8, top: y - 8, bottom: y + 8 }));
  const edge = Math.abs(across[1] - across[0]) * scale + 30;
  return marked.map(({ id }, i) => {
    const wide = 6.6 * id.length;
    const boxes = namesSides.map((side) => ({
      left: at[i][0] + side.x + side.left * wide,
      right: at[i][0] + side.x + side.right * wide,
      top: at[i][1] + side.top,
      bottom: at[i][1] + side.top + 18,
    }));
    const free = boxes.findIndex(
      (box) =>
        box.left > -30 &&
        box.right < edge &&
        !taken.some(
          (other, k) =>
            k !== i &&
            box.left < other.right &&
            other.left < box.right &&
            box.top < other.bottom &&
            other.top < box.bottom,
        ),
    );
    const chosen = Math.max(free, 0);
    taken.push(boxes[chosen]);
    return namesSides[chosen];
  });
}

function axes(view: View, span: ReturnType<typeof extent>): FigureLayout {
  const equal = { scaleanchor: "x", scaleratio: 1, constrain: "domain" };
  if (view === "section") {
    return {
      xaxis: linearAxis("Distance from the stage edge (m)", ...span.across, {
        constrain: "domain",
        dtick: step(span.across),
      }),
      yaxis: linearAxis("Height (m)", ...span.up, { ...equal, dtick: step(span.up) }),
    };
  }
  return {
    xaxis: linearAxis("← house left    Across (m)    house right →", span.across[1], span.across[0], {
      constrain: "domain",
      dtick: step(span.across),
    }),
    yaxis: linearAxis("Distance from the stage edge (m)", span.up[1], span.up[0], {
      ...equal,
      dtick: step(span.up),
    }),
  };
}

/** Metres between numbers: 4 to 8 of them along an axis. */
function step([from, to]: readonly [number, number]): number {
  return [1, 2, 5, 10, 20, 50].find((s) => (to - from) / s <= 8) ?? 100;
}

function stageLabel(venue: DrawnVenue): FigureLayout[] {
  if (!venue.stage) return [];
  const xs = venue.stage.corners.map((p) => p.x);
  const ys = venue.stage.corners.map((p) => p.y);
  return [
    {
      text: "stage",
      x: (Math.min(...ys) + Math.max(...ys)) / 2,
      y: (Math.min(...xs) + Math.max(...xs)) / 2,
      showarrow: false,
      font: { color: "@faint" },
    },
  ];
}
