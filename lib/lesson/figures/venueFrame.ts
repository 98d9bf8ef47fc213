/** What all drawings of a venue share: axes to scale, the stage's name, and places with their names. */
import type { Point } from "../../acoustics/point";
import { linearAxis } from "../axes";
import type { Layout, Trace } from "../figure";
import { plotText } from "../plotText";
import { type DrawnVenue, extent, type Projection, plan, section } from "./drawing";

/** A place to name in a drawing, such as a microphone or the mix position. */
export interface NamedPlace {
  readonly id: string;
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
  places: readonly Point[],
  view: View,
): { readonly layout: Layout; readonly shape: number; readonly stageLabel: readonly Layout[] } {
  const span = extent(venue, places, view === "plan" ? plan : section);
  const shape = (span.up[1] - span.up[0]) / (span.across[1] - span.across[0]);
  return { layout: axes(view, span), shape, stageLabel: view === "plan" ? stageLabel(venue) : [] };
}

/** Rings around places. */
export function nameMarks(marked: readonly NamedPlace[], project: Projection): Trace {
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

/** Names beside the places from above; over them, on two steps, from the side. */
export const nameLabels = (marked: readonly NamedPlace[], project: Projection, view: View): Layout[] =>
  marked.map((m, i) => {
    const [x, y] = project(m.point);
    return {
      text: plotText(m.id),
      x,
      y,
      ...(view === "plan" ? { xanchor: "left", xshift: 10 } : { yanchor: "bottom", yshift: i % 2 ? 24 : 8 }),
      showarrow: false,
      bgcolor: "@page",
      opacity: 0.9,
      font: { color: "@ink" },
    };
  });

function axes(view: View, span: ReturnType<typeof extent>): Layout {
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

function stageLabel(venue: DrawnVenue): Layout[] {
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
