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
 * Layouts compared: how even the bass is over the audience, and how much of it the stage or the front row gets.
 *
 * Across: deviation of the audience from the target balance, RMS (dB). Up: level of the subs on stage relative to the
 * audience (dB), with the front row's bass as the colour; without a stage, bass at the front row relative to the audience
 * (dB). Down and left is better in both: a layout with no other below and to the left of it is a best trade-off (Pareto
 * front).
 *
 * @param layouts  `layouts` from `decide.compareLayouts`, or `choices` from `decide.searchLayouts`
 * @param options  title
 * @returns a figure, for `show`
 * @throws RangeError when there is no layout
 * @source colours of distance: viridis (van der Walt and Smith, 2015); else own way, no outside source; check:
 *   tests/lesson/figures/layouts.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const options = { cabinet: hall.sources.find((s) => s.group === "subs"), count: 4 };
 * const line = (spacing) => layouts.line({ ...options, position: { x: 0.5, y: 0, z: 0.3 }, spacing });
 * const tried = { "1.2 m apart": line(1.2), "2.4 m apart": line(2.4) };
 * const positions = venues.seats(hall, { count: 12 });
 * show(draw.layouts(decide.compareLayouts(hall, tried, { positions, field: { order: 0 } }).layouts));
 */
export function layoutsFigure(
  layouts: readonly JudgedLayout[],
  options: {
    /** Above the figure; by default it says what is compared. */
    readonly title?: string;
  } = {},
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
 * One layout of subs where it stands in the venue, to scale: each cabinet with its delay, gain and polarity.
 *
 * From above (across: house left to house right; down: distance from the stage edge, m) or from the side (across: distance
 * from the stage edge; up: height, m). Squares are filled where the polarity is normal and open where it is inverted; the
 * pointer reads position and settings. Look whether the cabinets find room there, and whether the delays follow the pattern
 * that was meant.
 *
 * @param venue  what stands where; its own subs are left out
 * @param cabinets  those of one of the `choices` from `decide.searchLayouts`, or others in the same words: point in metres,
 *   `gain_db`, `delay_ms`, polarity
 * @param options  view, title
 * @returns a figure, for `show`
 * @throws RangeError when there is no cabinet
 * @source own way, no outside source; check: tests/lesson/figures/layouts.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const front = { point: { x: 1.5, y: 0, z: 0.3 }, flown: false, gain_db: 0, delay_ms: 0, polarity: 1 as const };
 * const rear = { ...front, point: { x: 0.5, y: 0, z: 0.3 }, delay_ms: 2.9, polarity: -1 as const };
 * show(draw.layout(hall, [front, rear], { title: "A gradient pair" }));
 */
export function layoutFigure(
  venue: Venue,
  cabinets: readonly Omit<ChosenCabinet, "zone" | "kind">[],
  options: {
    /** "plan" from above, "section" from the side. Default "plan". */
    readonly view?: "plan" | "section";
    /** Above the figure; venue and number of cabinets by default. */
    readonly title?: string;
  } = {},
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
