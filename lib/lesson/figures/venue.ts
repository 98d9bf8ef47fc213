import { areaTrace, type DrawnVenue, frontOfHouseTrace, plan, section, venueTraces } from "./parts/drawing";
import type { Figure } from "./parts/figure";
import { frame, type NamedPosition, nameLabels, nameMarks } from "./parts/venue-frame";

/**
 * The venue to scale: stage, walls, audience, loudspeakers, the zone where the mix engineer may stand, and named places.
 *
 * @param venue  what stands where
 * @param options  view "plan" (default) from above or "section" from the side; `marked` places to name
 */
export function venueFigure(
  venue: DrawnVenue,
  options: {
    readonly view?: "plan" | "section";
    readonly marked?: readonly NamedPosition[];
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
