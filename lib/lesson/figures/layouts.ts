import type { LayoutFigures } from "../../decision/layouts/compare-result";
import type { ChosenCabinet } from "../../decision/layouts/search-result";
import { inDecibels, signedDecibels } from "../../text/decibels";
import type { Venue } from "../../venue/venue";
import { linearAxis } from "./parts/axes";
import { areaTrace, drawnPart, plan, section, venueTraces } from "./parts/drawing";
import type { Figure, FigureTrace } from "./parts/figure";
import { plotText } from "./parts/plot-text";
import { frame } from "./parts/venue-frame";

/** What of a layout the figure of trade-offs needs: a row of `compareLayouts` or a choice of `searchLayouts`. */
export type JudgedLayout = Pick<LayoutFigures, "name" | "deviation_db" | "frontRow_db" | "spill_db">;

/**
 * Layouts compared: how even each is, and what the stage or the front row gets. Down and left is better in both.
 *
 * Where there is a stage the height is spill and the colour is the front row; without one the height is the front row.
 *
 * @param layouts  from `compareLayouts(…).layouts` or `searchLayouts(…).choices`
 * @param options  title
 * @throws RangeError when there is no layout
 */
export function layoutsFigure(
  layouts: readonly JudgedLayout[],
  options: { readonly title?: string } = {},
): Figure {
  if (layouts.length === 0)
    throw new RangeError(
      "there is no layout to draw: give some of decide.compareLayouts() or decide.searchLayouts()",
    );
  const onStage = layouts.every((l) => l.spill_db !== null);
  const height = (l: JudgedLayout) => (onStage ? (l.spill_db as number) : l.frontRow_db);
  const x = layouts.map((l) => l.deviation_db);
  const y = layouts.map(height);
  const front = layouts.map((l) => l.frontRow_db);
  const [low, high] = widened(y, 0.5);
  const [even, uneven] = widened(x, 0.2);
  return {
    title: options.title ?? `Layouts: evenness and ${onStage ? "spill on stage" : "bass at the front row"}`,
    alt: inWords(layouts, onStage),
    height: 420,
    data: [
      {
        type: "scatter",
        mode: "markers+text",
        x,
        y,
        text: layouts.map((l) => plotText(l.name)),
        textposition: "top center",
        textfont: { color: "@ink", size: layouts.length > 12 ? 11 : 14 },
        marker: {
          size: 12,
          color: front,
          colorscale: "@level",
          line: { color: "@ink", width: 1 },
          ...(onStage
            ? { showscale: true, colorbar: { title: { text: "Front row<br>(dB)" }, thickness: 12 } }
            : {}),
        },
        customdata: front,
        hovertemplate:
          "%{text}<br>%{x:.1f} dB rms<br>%{y:+.1f} dB<br>front row %{customdata:+.1f} dB<extra></extra>",
      },
    ],
    layout: {
      xaxis: linearAxis("Deviation from the target, RMS (dB)", even, uneven),
      yaxis: linearAxis(
        onStage
          ? "Subs on stage relative to the audience (dB)"
          : "Bass at the front row relative to the audience (dB)",
        low,
        high,
      ),
    },
  };
}

/**
 * One layout where it stands, to scale: each cabinet with its delay, gain and polarity.
 *
 * @param venue  the venue; its own subs are left out
 * @param cabinets  of a choice of `searchLayouts`, or sources put in the same words
 * @param options  view "plan" (default) or "section"; title
 * @throws RangeError when there is no cabinet
 */
export function layoutFigure(
  venue: Venue,
  cabinets: readonly Omit<ChosenCabinet, "zone" | "kind">[],
  options: { readonly view?: "plan" | "section"; readonly title?: string } = {},
): Figure {
  if (cabinets.length === 0) throw new RangeError("the layout has no cabinets, expected one or more");
  const { view = "plan" } = options;
  const project = view === "plan" ? plan : section;
  const drawn = drawnPart({ ...venue, sources: venue.sources.filter((s) => s.group !== "subs") });
  const { layout, shape, stageLabel } = frame(
    drawn,
    cabinets.map((c) => c.point),
    view,
  );
  return {
    title: options.title ?? `A layout in ${venue.name}: ${cabinets.length} cabinets`,
    alt: `${cabinets.length} subs in ${venue.name}: ${cabinets.map((c) => `${position(c)} ${setting(c)}`).join("; ")}.`,
    height: view === "plan" ? 600 : 420,
    shape,
    data: [
      ...venueTraces(drawn, project),
      ...venue.audience.map((area) => areaTrace(area, project)),
      ...([1, -1] as const).flatMap((polarity) => marks(cabinets, polarity, project)),
    ],
    layout: { ...layout, annotations: [...stageLabel] },
  };
}

type Drawn = Parameters<typeof layoutFigure>[1][number];

/** Filled squares as driven, open ones inverted: told apart without colour. */
function marks(cabinets: readonly Drawn[], polarity: 1 | -1, project: typeof plan): FigureTrace[] {
  const some = cabinets.filter((c) => c.polarity === polarity);
  if (some.length === 0) return [];
  const points = some.map((c) => project(c.point));
  return [
    {
      type: "scatter",
      mode: "markers",
      x: points.map((p) => p[0]),
      y: points.map((p) => p[1]),
      marker: {
        symbol: polarity === 1 ? "square" : "square-open",
        size: 13,
        color: "@subs",
        line: { color: "@subs", width: 2 },
      },
      hovertemplate: some.map((c) => `${position(c)}<br>${setting(c)}<extra></extra>`),
    },
  ];
}

const position = ({ point, flown }: Drawn): string =>
  `${flown ? "hanging at" : "at"} ${[point.x, point.y, point.z].map((v) => v.toFixed(1).replace("-", "−")).join(", ")} m`;

const setting = ({ gain_db, delay_ms, polarity }: Drawn): string =>
  `${signedDecibels(gain_db)}, ${delay_ms.toFixed(1)} ms${polarity === -1 ? ", inverted" : ""}`;

function inWords(layouts: readonly JudgedLayout[], onStage: boolean): string {
  const least = (cost: (l: JudgedLayout) => number) => layouts.reduce((a, b) => (cost(b) < cost(a) ? b : a));
  const even = least((l) => l.deviation_db);
  const quiet = onStage ? least((l) => l.spill_db as number) : undefined;
  const relief = least((l) => l.frontRow_db);
  return [
    `${layouts.length} layouts. Most even: ${even.name}, ${inDecibels(even.deviation_db)} rms.`,
    ...(quiet
      ? [
          `Least on stage: ${quiet.name}, ${signedDecibels(quiet.spill_db as number)} relative to the audience.`,
        ]
      : []),
    `Least at the front row: ${relief.name}, ${signedDecibels(relief.frontRow_db)} relative to the audience.`,
  ].join(" ");
}

/** The span of some values with room for their names, in whole steps. */
function widened(values: readonly number[], step: number): [number, number] {
  const room = Math.max(step, 0.08 * (Math.max(...values) - Math.min(...values)));
  return [
    Math.floor((Math.min(...values) - room) / step) * step,
    Math.ceil((Math.max(...values) + 1.5 * room) / step) * step,
  ];
}
