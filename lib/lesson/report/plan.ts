/** Everything that stands somewhere, by numbers on a plan and with its distances in a table beside it. */
import type { Point } from "../../acoustics/point";
import type { RankedPosition } from "../../decision/reference/result";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import type { Source } from "../../venue/venue";
import { areaTrace, frontOfHouseTrace, plan, venueTraces } from "../figures/parts/drawing";
import type { Figure, FigureTrace } from "../figures/parts/figure";
import { plotText } from "../figures/parts/plot-text";
import { frame, nameLabels } from "../figures/parts/venue-frame";
import type { Showable } from "../output/showable";
import { table } from "../output/table";
import { mixPosition } from "./mix-engineer";

interface Standing {
  readonly what: string;
  readonly kind: keyof typeof marks | "loudspeaker";
  readonly point: Point;
}

/** Told apart by shape as well as by colour; loudspeakers have the shapes of every drawing of a venue. */
const marks = {
  measured: { symbol: "circle", size: 9, color: "@mark" },
  recommended: { symbol: "star", size: 12, color: "@ink" },
} as const;

/** The plan, and the table that says what each number is. */
export function numberedPlan(study: Study, result: StudyResult): readonly [Figure, Showable] {
  const standing = whatStands(study, result);
  return [planFigure(study, standing), planTable(standing)];
}

function whatStands(study: Study, result: StudyResult): Standing[] {
  const { show, measured, measurement } = study;
  const { position: mixing } = mixPosition(study, result);
  const microphones = (measured?.survey ?? measurement.survey)?.positions ?? [];
  const isKnown = (point: Point, others: readonly { readonly point: Point }[]) =>
    others.some((o) => distance(o.point, point) < SAME_PLACE);
  const best = apart(result.answer.ranking?.positions ?? []);
  return [
    ...(["mains", "fills", "subs"] as const).flatMap((group) =>
      clusters(show.venue.sources.filter((s) => s.group === group)).map(
        (sources): Standing => ({
          what: loudspeakers(group, sources),
          kind: "loudspeaker",
          point: middle(sources),
        }),
      ),
    ),
    ...microphones.map(({ id, point }): Standing => ({ what: `measured: ${id}`, kind: "measured", point })),
    ...(mixing && !isKnown(mixing.point, [...microphones, ...best])
      ? [{ what: `mix position: ${mixing.id}`, kind: "measured" as const, point: mixing.point }]
      : []),
    ...best.map(
      ({ rank, point }): Standing => ({
        what: `to mix from: rank ${rank}${isKnown(point, microphones) ? ", measured" : ""}`,
        kind: "recommended",
        point,
      }),
    ),
  ];
}

/** What stands nearer than this in plan is one thing there, metres. */
const SAME_PLACE = 0.3;
/** Cabinets and elements of one stack or array lie within this of the next, metres. */
const ONE_STACK = 1;

/** The best positions that are not the same few steps, best first. */
function apart(ranked: readonly RankedPosition[]): RankedPosition[] {
  const chosen: RankedPosition[] = [];
  for (const position of ranked) {
    if (chosen.length < CHOICES && chosen.every((c) => distance(c.point, position.point) >= A_CHOICE))
      chosen.push(position);
  }
  return chosen;
}

const CHOICES = 3;
/** What stands nearer to a better position than this is no other choice, metres. */
const A_CHOICE = 2;

const distance = (a: Point, b: Point) => Math.hypot(a.x - b.x, a.y - b.y);

function clusters(sources: readonly Source[]): Source[][] {
  const found: Source[][] = [];
  for (const source of sources) {
    const near = found.filter((one) => one.some((s) => distance(s.point, source.point) < ONE_STACK));
    const joined = [...near.flat(), source];
    found.splice(0, found.length, ...found.filter((one) => !near.includes(one)), joined);
  }
  return found;
}

function middle(sources: readonly Source[]): Point {
  const mean = (axis: keyof Point) => sources.reduce((sum, s) => sum + s.point[axis], 0) / sources.length;
  return { x: mean("x"), y: mean("y"), z: mean("z") };
}

const loudspeakers = (group: Source["group"], { length }: readonly Source[]) =>
  length > 1 ? `${group} (${length})` : group;

function planFigure({ show: { venue } }: Study, standing: readonly Standing[]): Figure {
  const points = standing.map((s) => s.point);
  const { layout, shape, stageLabel } = frame(venue, points, "plan");
  const numbered = standing.map(({ point }, i) => ({ id: String(i + 1), point }));
  return {
    title: "What stands where",
    alt: `${venue.name} from above. ${standing.map((s, i) => `${i + 1}: ${s.what}`).join("; ")}.`,
    height: 620,
    shape,
    data: [
      ...venueTraces(venue, plan),
      ...venue.audience.map((area) => areaTrace(area, plan)),
      frontOfHouseTrace(venue, plan),
      ...(Object.keys(marks) as (keyof typeof marks)[]).flatMap((kind) =>
        marked(
          standing.filter((s) => s.kind === kind),
          kind,
        ),
      ),
    ],
    layout: {
      ...layout,
      annotations: [...stageLabel, ...nameLabels(numbered, plan, "plan", layout, HALF_A_SHEET)],
    },
  };
}

/** The axes in half of a sheet's width, pixels. */
const HALF_A_SHEET = [230, 400] as const;

function marked(standing: readonly Standing[], kind: keyof typeof marks): FigureTrace[] {
  if (standing.length === 0) return [];
  const points = standing.map((s) => plan(s.point));
  return [
    {
      type: "scatter",
      mode: "markers",
      x: points.map((p) => p[0]),
      y: points.map((p) => p[1]),
      marker: { ...marks[kind], line: { color: "@page", width: 1 } },
      hovertemplate: standing.map((s) => `${plotText(s.what)}<extra></extra>`),
    },
  ];
}

const planTable = (standing: readonly Standing[]): Showable =>
  table(
    standing.map(({ what, point: { x, y } }, i) => {
      const aside = Math.abs(y).toFixed(1);
      return {
        number: i + 1,
        what,
        "stage edge (m)": x.toFixed(1).replace("-", "−"),
        "centre line (m)": aside === "0.0" ? "on it" : `${aside} ${y > 0 ? "left" : "right"}`,
      };
    }),
    { caption: "Distances from the stage edge and, to house left or right, from the centre line" },
  );
