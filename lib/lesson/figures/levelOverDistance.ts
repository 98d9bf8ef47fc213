import { bandLevel } from "../../acoustics/bands";
import { distance, type Point } from "../../acoustics/point";
import { power } from "../../acoustics/response";
import type { Position, Survey } from "../../survey/survey";
import type { Source, Venue } from "../../venue/venue";
import { decibelAxis, linearAxis } from "../axes";
import type { Figure, Trace } from "../figure";
import { inDecibels } from "../levels";
import { plotText } from "../plotText";
import { spreadApart } from "../spread";

export interface LevelOverDistanceOptions {
  /** Draws what distance alone would do, from the middle of the mains and of the subs of this venue. */
  readonly venue?: Venue;
  /** Band of the subs, hertz. Default 31.5 to 80. */
  readonly lowBand?: readonly [number, number];
  /** Band of the mains, hertz. Default 500 to 2000. */
  readonly midBand?: readonly [number, number];
  /** Only places within this many metres of the centre line; all unless said. */
  readonly across?: number;
  readonly title?: string;
}

/**
 * How mains and subs fall off from front to back, each against its own level at the nearest place.
 *
 * @param survey  measured or modelled
 * @param options  bands; a venue to compare with distance alone
 * @throws RangeError when a band lies outside the survey's frequencies or fewer than two places are left
 */
export function levelOverDistanceFigure(survey: Survey, options: LevelOverDistanceOptions = {}): Figure {
  const { lowBand = [31.5, 80], midBand = [500, 2000], across = Number.POSITIVE_INFINITY, venue } = options;
  const chosen = survey.positions
    .map((position, index) => ({ position, index }))
    .filter(({ position }) => Math.abs(position.point.y) <= across)
    .sort((a, b) => a.position.point.x - b.position.point.x);
  if (chosen.length < 2) {
    throw new RangeError(
      `${chosen.length} places lie within ${across} m of the centre line: a drop needs two`,
    );
  }
  const groups = (["mains", "subs"] as const).map((group) => {
    const [from, to] = group === "mains" ? midBand : lowBand;
    const levels = chosen.map(({ index }) =>
      bandLevel(survey.frequency, power(survey[group][index]), from * 2 ** (-1 / 6), to * 2 ** (1 / 6)),
    );
    return { group, from, to, levels: levels.map((level) => level - levels[0]) };
  });
  const positions = chosen.map(({ position }) => position);
  const laws = venue
    ? groups.map(({ group }) => ({ group, levels: distanceAlone(venue, group, positions) }))
    : [];
  const all = [...groups, ...laws].flatMap(({ levels }) => levels);
  const xs = positions.map((p) => p.point.x);
  const end = Math.ceil(Math.max(...xs) / 5) * 5;
  const yaxis = decibelAxis("Level against the nearest place (dB)", all, { span: 20 });
  const [low, high] = yaxis.range as [number, number];
  const labels = [
    ...groups.map(({ group, levels }) => ({ text: group, y: levels.at(-1)!, colour: `@${group}` })),
    ...laws.map(({ group, levels }) => ({
      text: `distance alone, ${group}`,
      y: levels.at(-1)!,
      colour: "@faint",
    })),
  ];
  const heights = spreadApart(
    labels.map((l) => l.y),
    (high - low) / 12,
  );
  return {
    title: options.title ?? "How mains and subs fall off from front to back",
    alt: groups
      .map(({ group, from, to, levels }) => {
        const law = laws.find((l) => l.group === group)?.levels.at(-1);
        const alone = law === undefined ? "" : ` (distance alone: ${inDecibels(law)})`;
        return `From ${xs[0].toFixed(1)} m to ${xs.at(-1)!.toFixed(1)} m the ${group}, ${from} to ${to} Hz, change by ${inDecibels(levels.at(-1)!)}${alone}.`;
      })
      .join(" "),
    height: 400,
    data: [
      ...laws.map(({ group, levels }) => law(xs, levels, group)),
      ...groups.map(({ group, levels }) => places(positions, levels, group)),
    ],
    layout: {
      xaxis: linearAxis("Distance from the stage edge (m)", Math.min(0, Math.floor(xs[0])), end, {
        dtick: end > 40 ? 10 : 5,
      }),
      yaxis,
      margin: { r: venue ? 150 : 60 },
      annotations: labels.map(({ text, colour }, i) => ({
        text,
        x: 1,
        xref: "paper",
        xanchor: "left",
        xshift: 6,
        y: heights[i],
        showarrow: false,
        font: { color: colour },
      })),
    },
  };
}

/** Level by the distance to the middle of a group alone, dB against the first place: 20 lg of the ratio. */
function distanceAlone(venue: Venue, group: Source["group"], positions: readonly Position[]): number[] {
  const sources = venue.sources.filter((s) => s.group === group);
  if (sources.length === 0) throw new RangeError(`the venue "${venue.name}" has no ${group}`);
  const mean = (axis: keyof Point) => sources.reduce((sum, s) => sum + s.point[axis], 0) / sources.length;
  const middle = { x: mean("x"), y: mean("y"), z: mean("z") };
  const lengths = positions.map((p) => distance(middle, p.point));
  return lengths.map((r) => -20 * Math.log10(r / lengths[0]));
}

const law = (x: readonly number[], y: readonly number[], group: "mains" | "subs"): Trace => ({
  type: "scatter",
  mode: "lines",
  x,
  y,
  line: { color: "@faint", width: 1.5, dash: group === "mains" ? "dash" : "dot" },
  hoverinfo: "skip",
});

const places = (positions: readonly Position[], y: readonly number[], group: "mains" | "subs"): Trace => ({
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
