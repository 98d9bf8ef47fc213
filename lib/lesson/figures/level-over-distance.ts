import { bandLevel } from "../../acoustics/bands/bands";
import { power } from "../../acoustics/response";
import { distanceLevel } from "../../decision/balance/distance";
import type { Position, Survey } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import type { Source, Venue } from "../../venue/venue";
import { decibelAxis, linearAxis } from "./parts/axes";
import type { Figure, FigureTrace } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { plotText } from "./parts/plot-text";

export interface LevelOverDistanceOptions {
  /** Draws what distance alone would do, from the mains and from the subs of this venue. */
  readonly venue?: Venue;
  /** Band of the subs, from one third octave to another, hertz. Default 31.5 to 80. */
  readonly lowBand?: readonly [number, number];
  /** Band of the mains, from one third octave to another, hertz. Default 500 to 2000. */
  readonly midBand?: readonly [number, number];
  /** Only positions within this many metres of the centre line; all by default. */
  readonly across?: number;
  /** Above the figure. Default "How mains and subs fall off from front to back". */
  readonly title?: string;
}

/**
 * How the levels of mains and subs fall off from front to back, each relative to its own level in the middle of the front
 * row.
 *
 * Across: distance from the stage edge (m). Up: level relative to the front row (dB), of the subs in the low band and of
 * the mains in the mid band. Look for where the two curves part: there the balance of the bass changes from row to row.
 * With a venue, broken lines show what distance alone would do.
 *
 * @param survey  measured or modelled
 * @param options  bands; a venue to compare with distance alone
 * @returns a figure, for `show`
 * @throws RangeError when a band lies outside the survey's frequencies, fewer than two positions are left, or the venue
 *   lacks mains or subs
 * @source distance alone: spherical spreading, 20 lg of the ratio; the figure: own way, no outside source; check:
 *   tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * show(draw.levelOverDistance(survey, { venue: hall }));
 */
export function levelOverDistanceFigure(survey: Survey, options: LevelOverDistanceOptions = {}): Figure {
  const { lowBand = [31.5, 80], midBand = [500, 2000], across = Number.POSITIVE_INFINITY, venue } = options;
  const chosen = survey.positions
    .map((position, index) => ({ position, index }))
    .filter(({ position }) => Math.abs(position.point.y) <= across)
    .sort((a, b) => a.position.point.x - b.position.point.x);
  if (chosen.length < 2) {
    throw new RangeError(
      `${chosen.length} positions lie within ${across} m of the centre line: a drop needs two`,
    );
  }
  const positions = chosen.map(({ position }) => position);
  const front = middleOfRow(positions, 0);
  const back = middleOfRow(positions, positions.length - 1);
  const groups = (["mains", "subs"] as const).map((group) => {
    const [from, to] = group === "mains" ? midBand : lowBand;
    const levels = chosen.map(({ index }) =>
      bandLevel(survey.frequency, power(survey[group][index]), from * 2 ** (-1 / 6), to * 2 ** (1 / 6)),
    );
    return { group, from, to, levels: levels.map((level) => level - levels[front]) };
  });
  const { area } = positions[front];
  const centre = [...new Set(positions.map((_, i) => middleOfRow(positions, i)))].filter(
    (i) => positions[i].area === area,
  );
  const alongCentre = centre.map((i) => positions[i]);
  const laws = venue
    ? groups.map(({ group }) => ({ group, levels: distanceAlone(venue, group, alongCentre) }))
    : [];
  const xs = positions.map((p) => p.point.x);
  const end = Math.ceil((xs[xs.length - 1] + 0.1) / 5) * 5;
  const yaxis = decibelAxis(
    "Level relative to the front row (dB)",
    [...groups, ...laws].flatMap(({ levels }) => levels),
    {
      span: 20,
    },
  );
  const [low, high] = yaxis.range as [number, number];
  const labels = groups.map(({ group, levels }) => ({ group, y: levels[back] }));
  const heights = spreadApart(
    labels.map(({ y }) => y),
    (high - low) / 12,
    [low, high],
  );
  return {
    title: options.title ?? "How mains and subs fall off from front to back",
    alt: groups
      .map(({ group, from, to, levels }) => {
        const law = laws.find((l) => l.group === group)?.levels.at(-1);
        const alone = law === undefined ? "" : ` (distance alone: ${inDecibels(law)})`;
        return `Along the middle, from ${xs[0].toFixed(1)} m to ${xs[xs.length - 1].toFixed(1)} m, the ${group}, ${from} to ${to} Hz, change by ${inDecibels(levels[back])}${alone}.`;
      })
      .join(" "),
    height: 400,
    data: [
      ...laws.map(({ group, levels }) =>
        law(
          alongCentre.map((p) => p.point.x),
          levels,
          group,
        ),
      ),
      ...groups.map(({ group, levels }) => places(positions, levels, group)),
    ],
    layout: {
      xaxis: linearAxis("Distance from the stage edge (m)", Math.min(0, Math.floor(xs[0])), end, {
        dtick: end > 40 ? 10 : 5,
      }),
      yaxis,
      margin: { r: 60 },
      annotations: [
        ...labels.map(({ group }, i) => ({
          text: `<b>${group}</b>`,
          x: 1,
          xref: "paper",
          xanchor: "left",
          xshift: 6,
          y: heights[i],
          showarrow: false,
          font: { color: `@${group}` },
        })),
        ...(venue
          ? [
              {
                text: "broken lines: distance alone",
                x: 1,
                xref: "paper",
                xanchor: "right",
                y: high,
                yanchor: "top",
                showarrow: false,
                font: { color: "@faint" },
              },
            ]
          : []),
      ],
    },
  };
}

/** Of the places within half a metre of depth of this one, the one nearest to the centre line. */
function middleOfRow(positions: readonly Position[], index: number): number {
  const { x } = positions[index].point;
  let best = index;
  positions.forEach(({ point }, i) => {
    if (Math.abs(point.x - x) < 0.5 && Math.abs(point.y) < Math.abs(positions[best].point.y)) best = i;
  });
  return best;
}

/** Level by distance from a group's loudspeakers alone, dB against the first place. */
function distanceAlone(venue: Venue, group: Source["group"], positions: readonly Position[]): number[] {
  const origins = venue.sources.filter((s) => s.group === group).map((s) => s.point);
  if (origins.length === 0) throw new RangeError(`the venue "${venue.name}" has no ${group}`);
  const levels = positions.map((p) => distanceLevel(p.point, origins));
  return levels.map((level) => level - levels[0]);
}

const law = (x: readonly number[], y: readonly number[], group: "mains" | "subs"): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x,
  y,
  line: { color: `@${group}`, width: 2, dash: group === "mains" ? "dash" : "dot" },
  hoverinfo: "skip",
});

const places = (
  positions: readonly Position[],
  y: readonly number[],
  group: "mains" | "subs",
): FigureTrace => ({
  type: "scatter",
  mode: positions.length <= 12 ? "lines+markers" : "markers",
  x: positions.map((p) => p.point.x),
  y,
  line: { color: `@${group}`, width: 2 },
  marker: {
    color: `@${group}`,
    size: positions.length <= 12 ? 9 : 5,
    symbol: group === "mains" ? "circle" : "square",
  },
  hovertemplate: positions.map((p) => `${plotText(p.id)}, ${group}<br>%{y:.1f} dB<extra></extra>`),
});
