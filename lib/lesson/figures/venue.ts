import { areaTrace, type DrawnVenue, frontOfHouseTrace, plan, section, venueTraces } from "./parts/drawing";
import type { Figure } from "./parts/figure";
import { frame, type NamedPosition, nameLabels, nameMarks } from "./parts/venue-frame";

/**
 * The venue to scale: stage, walls, audience, loudspeakers, the zone where the mix engineer may stand, and named positions.
 *
 * From above (across: house left to house right; down: distance from the stage edge, m) or from the side (across: distance
 * from the stage edge; up: height, m). Mains are triangles, subs squares, front fills diamonds; the zone has a dashed
 * outline. Look whether it is the room that you stand in, before you believe what a model says about it.
 *
 * @param venue  what stands where
 * @param options  view, positions to name, title
 * @returns a figure, for `show`
 * @source own way, no outside source; check: tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * show(draw.venue(hall, { marked: hall.positions }));
 */
export function venueFigure(
  venue: DrawnVenue,
  options: {
    /** "plan" from above, "section" from the side. Default "plan". */
    readonly view?: "plan" | "section";
    /** Positions to name in the drawing, such as `venue.positions`; none by default. */
    readonly marked?: readonly NamedPosition[];
    /** Above the figure; name of the venue and view by default. */
    readonly title?: string;
  } = {},
): Figure {
  const { view = "plan", marked = [] } = options;
  const project = view === "plan" ? plan : section;
  const { layout, shape, stageLabel } = frame(
    venue,
    marked.map((m) => m.point),
    view,
  );
  const count = (group: string) => venue.sources.filter((s) => s.group === group).length;
  return {
    title: options.title ?? `${venue.name} ${view === "plan" ? "from above" : "from the side"}`,
    alt: `${venue.name}: ${count("mains")} elements of the mains (triangles), ${count("subs")} subs (squares), ${count("fills")} front fills (diamonds), audience in ${venue.audience.map((a) => a.name).join(", ")}.${marked.length > 0 ? ` Marked: ${marked.map((m) => m.id).join(", ")}.` : ""}`,
    height: view === "plan" ? 600 : 420,
    shape,
    data: [
      ...venueTraces(venue, project),
      ...venue.audience.map((area) => areaTrace(area, project)),
      frontOfHouseTrace(venue, project),
      ...(marked.length > 0 ? [nameMarks(marked, project)] : []),
    ],
    layout: { ...layout, annotations: [...stageLabel, ...nameLabels(marked, project, view, layout)] },
  };
}
