/**
 * The venue's own lines for a plan or a section, to scale: walls, stage, audience, loudspeakers.
 */
import type { Point } from "../../../acoustics/point";
import type { AudienceArea, Source, Venue } from "../../../venue/venue";
import type { FigureTrace } from "./figure";
import { plotText } from "./plot-text";

/** What of a venue is drawn: a whole one will do, and a panel sends no more than this to the page. */
export type DrawnVenue = Pick<
  Venue,
  "name" | "audience" | "boundaries" | "cavities" | "frontOfHouse" | "stage"
> & {
  /** Its loudspeakers: what they belong to, and where they are. */
  readonly sources: readonly Pick<Source, "id" | "group" | "point">[];
};

/** What of a venue is drawn, and nothing else. */
export const drawnPart = ({
  name,
  audience,
  boundaries,
  cavities,
  frontOfHouse,
  stage,
  sources,
}: Venue): DrawnVenue => ({
  name,
  audience,
  boundaries,
  cavities,
  frontOfHouse,
  stage,
  sources: sources.map(({ id, group, point }) => ({ id, group, point })),
});

/** How a point in space becomes one on paper: across and up the page, metres. */
export type Projection = (point: Point) => readonly [number, number];

/** From above. The axes are turned so that the stage is at the top and house left at the left. */
export const plan: Projection = ({ x, y }) => [y, x];
/** From house right: the stage at the left. */
export const section: Projection = ({ x, z }) => [x, z];

/**
 * Lines and marks of a venue, without its audience.
 *
 * @param venue  to draw
 * @param project  plan or section
 */
export function venueTraces(venue: DrawnVenue, project: Projection): FigureTrace[] {
  return [
    ...(venue.stage ? [outline("stage", venue.stage.corners, project, "@grid")] : []),
    ...venue.boundaries.map((wall) => outline(wall.name, wall.corners, project)),
    ...venue.cavities.map((cavity) => outline(cavity.name, cavity.opening, project, undefined, "dot")),
    ...(["mains", "fills", "subs"] as const).flatMap((group) =>
      loudspeakers(
        venue.sources.filter((s) => s.group === group),
        group,
        project,
      ),
    ),
  ];
}

/** One part of the audience, nearly opaque: what lies under a balcony shows through faintly. */
export const areaTrace = (area: AudienceArea, project: Projection): FigureTrace =>
  outline(area.name, area.corners, project, "@floor 0.85");

/** Where the mix engineer may stand. */
export const frontOfHouseTrace = (venue: DrawnVenue, project: Projection): FigureTrace =>
  outline("front of house", venue.frontOfHouse.corners, project, undefined, "dash");

/**
 * The span that a venue and some places fill on paper, with a margin.
 *
 * @returns lowest and highest across, then up, metres
 */
export function extent(
  venue: DrawnVenue,
  positions: readonly Point[],
  project: Projection,
): { readonly across: [number, number]; readonly up: [number, number] } {
  const points = [
    ...venue.audience.flatMap((a) => a.corners),
    ...venue.boundaries.flatMap((b) => b.corners),
    ...(venue.stage?.corners ?? []),
    ...venue.frontOfHouse.corners,
    ...venue.sources.map((s) => s.point),
    ...positions,
  ].map(project);
  const range = (axis: 0 | 1): [number, number] => {
    const values = points.map((p) => p[axis]);
    return [Math.min(...values) - 1, Math.max(...values) + 1];
  };
  return { across: range(0), up: range(1) };
}

function outline(
  name: string,
  corners: readonly Point[],
  project: Projection,
  fill?: string,
  dash = "solid",
): FigureTrace {
  const points = [...corners, corners[0]].map(project);
  return {
    type: "scatter",
    mode: "lines",
    x: points.map((p) => p[0]),
    y: points.map((p) => p[1]),
    line: { color: fill ? "@grid" : "@wall", width: fill ? 1 : 1.5, dash },
    ...(fill ? { fill: "toself", fillcolor: fill } : {}),
    name: plotText(name),
    hoveron: "points",
    hovertemplate: `${plotText(name)}<extra></extra>`,
  };
}

function loudspeakers(
  sources: DrawnVenue["sources"],
  group: Source["group"],
  project: Projection,
): FigureTrace[] {
  if (sources.length === 0) return [];
  const points = sources.map((s) => project(s.point));
  const look = { mains: "triangle-down", fills: "diamond", subs: "square" }[group];
  return [
    {
      type: "scatter",
      mode: "markers",
      x: points.map((p) => p[0]),
      y: points.map((p) => p[1]),
      marker: {
        symbol: look,
        size: group === "fills" ? 8 : 11,
        color: group === "subs" ? "@subs" : "@mains",
        line: { color: "@page", width: 1 },
      },
      hovertemplate: sources.map((s) => `${plotText(s.id)}<extra></extra>`),
    },
  ];
}
