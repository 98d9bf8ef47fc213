import type { Point } from "../../acoustics/point";
import type { Position } from "../../survey/survey";
import { inDecibels, signedDecibels } from "../../text/decibels";
import type { AudienceArea } from "../../venue/venue";
import { withSign } from "./parts/axes";
import {
  areaTrace,
  type DrawnVenue,
  frontOfHouseTrace,
  type Projection,
  plan,
  section,
  venueTraces,
} from "./parts/drawing";
import type { Figure, FigureLayout, FigureTrace } from "./parts/figure";
import { plotText } from "./parts/plot-text";
import { goodWithin } from "./parts/style";
import { frame, type NamedPosition, nameLabels, nameMarks } from "./parts/venue-frame";

export interface SeatsOptions {
  /** "plan" from above, "section" from the side. Default "plan". */
  readonly view?: "plan" | "section";
  /** Above the figure; by default it says from where the audience is seen. */
  readonly title?: string;
  /** What the values are, with their unit. Default "Bass relative to the target (dB)". */
  readonly quantity?: string;
  /**
   * "deviation": around 0, too little to too much. "level": from low to high. Default "deviation".
   */
  readonly scale?: "deviation" | "level";
  /** Largest value of the scale of a deviation in either direction, dB. Default 9; levels have their own span. */
  readonly limit?: number;
  /** Positions to name in the drawing, such as microphones and the mix position; none by default. */
  readonly marked?: readonly NamedPosition[];
  /** Points, metres, that the drawing must hold as well, so that its axes stay while loudspeakers move. */
  readonly holding?: readonly Point[];
}

/**
 * The venue to scale with one coloured mark for each position.
 *
 * From above (across: house left to house right; down: distance from the stage edge, m) or from the side (across: distance
 * from the stage edge; up: height, m). The colour is the value (dB). Marks of a deviation differ in shape as well: a dot is
 * within 3 dB of the target, a triangle points up where there is too much and down where there is too little. Look for
 * whole areas of one colour: they can be helped, single seats can't.
 *
 * @param venue  what stands where
 * @param positions  such as those of a survey
 * @param values  one per position, dB
 * @param options  view and scale
 * @returns a figure, for `show`
 * @throws RangeError when the numbers of positions and values differ
 * @source colours: vik for a deviation (Crameri, Scientific colour maps, doi:10.5281/zenodo.1243862), viridis for a level
 *   (van der Walt and Smith, 2015); 3 dB: common practice, no source; check: tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 60 }), { order: 0 });
 * const { positions } = decide.balance(survey, { offset: 3 });
 * show(draw.seats(hall, survey.positions, positions.map((p) => p.deviation_db)));
 */
export function seatsFigure(
  venue: DrawnVenue,
  positions: readonly Position[],
  values: ArrayLike<number>,
  options: SeatsOptions = {},
): Figure {
  if (positions.length !== values.length || positions.length === 0) {
    throw new RangeError(
      `${values.length} values for ${positions.length} places: give one value for each position`,
    );
  }
  const { view = "plan", marked = [], holding = [] } = options;
  const project = view === "plan" ? plan : section;
  const list = Array.from(values);
  const { layout, shape, stageLabel } = frame(venue, [...positions.map((p) => p.point), ...holding], view);
  const drawn = layers(venue, positions);
  const first = drawn.findIndex(({ indices }) => indices.length > 0);
  return {
    title: options.title ?? (view === "plan" ? "The audience from above" : "The audience from the side"),
    alt: inWords(positions, list, options),
    height: 670,
    shape,
    data: [
      ...venueTraces(venue, project),
      ...drawn.flatMap(({ area, indices }, i) => [
        ...(area ? [areaTrace(area, project)] : []),
        ...(indices.length > 0 ? [marks(positions, list, indices, project, options, i === first)] : []),
      ]),
      frontOfHouseTrace(venue, project),
      ...(marked.length > 0 ? [nameMarks(marked, project)] : []),
    ],
    layout: {
      ...layout,
      margin: { b: 116 },
      annotations: [...stageLabel, ...nameLabels(marked, project, view, layout)],
    },
  };
}

/** The audience's areas from the lowest to the highest, each with its places; then the places of no area. */
function layers(
  venue: DrawnVenue,
  positions: readonly Position[],
): { readonly area?: AudienceArea; readonly indices: readonly number[] }[] {
  const height = (area: AudienceArea) => area.corners.reduce((sum, { z }) => sum + z, 0);
  const inside = (name?: string) =>
    positions.flatMap((p, i) => {
      const known = venue.audience.some((area) => area.name === p.area);
      return (name === undefined ? !known : p.area === name) ? [i] : [];
    });
  const areas = [...venue.audience].sort((a, b) => height(a) - height(b));
  const others = inside();
  return [
    ...areas.map((area) => ({ area, indices: inside(area.name) })),
    ...(others.length > 0 ? [{ indices: others }] : []),
  ];
}

function marks(
  all: readonly Position[],
  allValues: readonly number[],
  indices: readonly number[],
  project: Projection,
  { scale = "deviation", limit, quantity = "Bass relative to the target (dB)" }: SeatsOptions,
  withScale: boolean,
): FigureTrace {
  const positions = indices.map((i) => all[i]);
  const values = indices.map((i) => allValues[i]);
  const points = positions.map((p) => project(p.point));
  const deviation = scale === "deviation";
  const ends = deviation ? [-(limit ?? 9), limit ?? 9] : levelEnds(allValues);
  return {
    type: "scatter",
    mode: "markers",
    x: points.map((p) => p[0]),
    y: points.map((p) => p[1]),
    customdata: values,
    marker: {
      size: all.length > 900 ? 5 : all.length > 400 ? 6 : all.length > 60 ? 8 : 12,
      symbol: deviation ? values.map(shape) : "circle",
      color: values,
      cmin: ends[0],
      cmax: ends[1],
      colorscale: deviation ? "@balance" : "@level",
      line: { color: "@faint", width: 0.5 },
      showscale: withScale,
      colorbar: {
        orientation: "h",
        title: { text: quantity, side: "bottom" },
        thickness: 12,
        len: 0.9,
        yref: "container",
        y: 0.01,
        yanchor: "bottom",
        outlinewidth: 0,
        ...(deviation ? signedTicks(ends[1]) : {}),
      },
    },
    hovertemplate: positions.map(
      (p, i) =>
        `${plotText(p.id)}<br>${deviation ? signedDecibels(values[i]) : inDecibels(values[i])}<extra></extra>`,
    ),
  };
}

function signedTicks(limit: number): FigureLayout {
  const tickvals = Array.from({ length: 7 }, (_, i) => ((i - 3) * limit) / 3);
  return { tickvals, ticktext: tickvals.map(withSign) };
}

const shape = (deviation: number): string =>
  deviation > goodWithin ? "triangle-up" : deviation < -goodWithin ? "triangle-down" : "circle";

const levelEnds = (values: readonly number[]): [number, number] => {
  const top = Math.ceil(Math.max(...values));
  return [Math.min(top - 12, Math.floor(Math.min(...values))), top];
};

function inWords(
  positions: readonly Position[],
  values: readonly number[],
  { scale = "deviation", quantity = "Bass relative to the target (dB)" }: SeatsOptions,
): string {
  const lowest = values.indexOf(Math.min(...values));
  const highest = values.indexOf(Math.max(...values));
  const ends = `from ${inDecibels(values[lowest])} at ${positions[lowest].id} to ${inDecibels(values[highest])} at ${positions[highest].id}`;
  const what = quantity.replace(/ \(dB.*\)$/, "");
  if (scale === "level") return `Level at ${positions.length} places: ${ends}.`;
  const good = values.filter((v) => Math.abs(v) <= goodWithin).length;
  return `${what} at ${positions.length} places: ${ends}; ${good} of them are within ${goodWithin} dB.`;
}
