/**
 * Invented venues with one known cause of a dip, by seed.
 *
 * The truth: a hall in which one thing reflects well, or two things work against each other, and all else absorbs. It is heard
 * by the field model to a higher order, with its diffuse field turned into a random part, noise, a loudspeaker that is not as drawn,
 * microphones that stand up to some decimetres off, walls and cavity that are not quite where they are drawn, and other air.
 * The explainer gets the drawing: nominal places, guessed absorption, nominal air.
 *
 * A seed counts when the cause rules: without it it is gone at three places or more, and
 * all other dips together are less than half of it. That is asked of the field model alone, never of the explainer.
 */

import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Point } from "../../../lib/acoustics/point";
import { power, type Response, sumResponses } from "../../../lib/acoustics/response";
import { depthCurve, dipFinder } from "../../../lib/decision/dips/dips";
import type { DipPart } from "../../../lib/decision/dips/result";
import type { CauseKind } from "../../../lib/decision/dips/suspects";
import { modelSurvey } from "../../../lib/field/model-survey";
import { normal, uniform } from "../../../lib/numeric/random";
import type { Position, Survey } from "../../../lib/survey/survey";
import type { Boundary, Cavity, Source, Venue } from "../../../lib/venue/venue";
import { source, venue } from "../../field/venues";

export const CAUSES = [
  "wall behind the subs",
  "cavity",
  "floor",
  "ceiling",
  "side wall",
  "rear wall",
  "other source",
  "mains against subs",
  "room mode",
] as const satisfies readonly CauseKind[];

export type Cause = (typeof CAUSES)[number];

export interface KnownDip {
  readonly cause: Cause;
  /** The part in which the cause makes its dip. */
  readonly part: DipPart;
  /** As the technician drew it. */
  readonly drawn: Venue;
  /** As it was heard. */
  readonly survey: Survey;
  /** The dips that the cause makes, from the field without noise. */
  readonly caused: readonly { readonly row: number; readonly frequency_hz: number }[];
}

const GRID = logGrid(20, 640, 121);
const BAND: Record<DipPart, [number, number]> = { subs: [28, 150], mains: [70, 300], sum: [40, 200] };

/** The venue of a seed; undefined where its cause makes no dip. */
export function knownDip(seed: number, cause: Cause): KnownDip | undefined {
  const random = uniform(seed);
  const draw = normal(seed + 1);
  const between = (a: number, b: number) => a + (b - a) * random();
  const plan = planOf(cause, between, random);
  const truth = built(
    plan,
    {
      strong: between(0.02, 0.2),
      weak: (name) => (name === "floor" ? between(0.3, 0.6) : between(0.85, 0.98)),
    },
    cause,
    draw,
    1,
  );
  // Guessed absorption: off by a tenth either way, and nobody writes down less than 0.02.
  const guess = (a: number) => Math.min(0.95, Math.max(0.02, a + 0.1 * draw()));
  const drawn = redrawn(built(plan, { cavity: 0.9, ...truth.absorption }, cause, draw, 0).venue, guess);
  const part: DipPart = cause === "floor" ? "mains" : cause === "mains against subs" ? "sum" : "subs";
  const positions = plan.positions;
  const heardAt = positions.map((p) => ({
    ...p,
    point: {
      x: p.point.x + 0.12 * draw(),
      y: p.point.y + 0.12 * draw(),
      z: p.point.z + 0.05 * draw(),
    },
  }));
  const order = cause === "room mode" ? 6 : 2;
  const field = (v: Venue) => modelSurvey(v, heardAt, { frequency: GRID, order });
  const clean = field(truth.venue);
  const caused = ruling(clean, field(without(truth.venue, cause)), part);
  if (!caused) return undefined;
  const noise = between(-32, -20);
  const tone = [draw(), draw(), draw()];
  const survey: Survey = {
    ...clean,
    positions,
    mains: clean.mains.map((r) => measured(r, noise, tone, draw)),
    subs: clean.subs.map((r) => measured(r, noise, tone, draw)),
  };
  return { cause, part, drawn, survey, caused };
}

interface Plan {
  readonly length: number;
  readonly width: number;
  readonly height: number;
  readonly behind: number;
  readonly stage: number;
  readonly subs: Source[];
  readonly mains: Source[];
  readonly positions: Position[];
  readonly cavity?: Cavity;
}

function planOf(cause: Cause, between: (a: number, b: number) => number, random: () => number): Plan {
  const mode = cause === "room mode";
  const length = between(16, 30);
  const width = mode ? between(9, 16) : between(14, 26);
  const height = cause === "ceiling" ? between(4.5, 8) : between(5.5, 11);
  const behind = cause === "wall behind the subs" ? between(0.9, 2.6) : between(5, 9);
  const subX = between(0.3, 0.8);
  const hasCavity = cause === "cavity" || (cause !== "wall behind the subs" && random() < 0.4);
  const flown = cause === "floor" || random() < 0.2;
  const apart = cause === "other source" ? between(5, 11) : 0;
  const subY =
    cause === "side wall" ? between(-2, width / 2 - 3) : mode ? between(-0.25, 0.25) * width : between(-2, 2);
  const sub = (y: number, i: number): Source =>
    source(
      { x: subX, y, z: flown && cause === "floor" ? between(3, 6) : 0.35 },
      {
        id: `sub ${i}`,
        group: "subs",
        level: { frequency: [20, 28, 40, 100, 200], level: [88, 100, 106, 106, 99] },
        filters: [{ kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: between(90, 120) }],
      },
    );
  const subs = apart > 0 ? [sub(apart / 2, 1), sub(-apart / 2, 2)] : [sub(subY, 1)];
  const hang = (y: number): Source =>
    source(
      { x: between(0, 1), y, z: between(3.5, Math.min(7, height - 1)) },
      {
        id: `mains ${y}`,
        group: "mains",
        level: { frequency: [40, 70, 120, 1000], level: [84, 98, 104, 104] },
        delay: cause === "mains against subs" ? between(-0.004, 0.008) : 0,
        polarity: cause === "mains against subs" && random() < 0.5 ? -1 : 1,
        filters: [{ kind: "linkwitz-riley", type: "highpass", order: 4, frequency: between(70, 100) }],
      },
    );
  const mains = [hang(between(-1, 1))];
  const count = 8;
  const first = between(2.5, 4);
  const last = length - between(1.5, 4);
  const side = between(-0.3, 0.3) * width;
  const zigzag = cause === "other source" ? 1 : between(0, 1);
  const positions: Position[] = Array.from({ length: count }, (_, i) => {
    const y = side + (i % 2 === 0 ? 1 : -1) * zigzag * between(0.05, 0.2) * width;
    return {
      id: `place ${i + 1}`,
      point: { x: first + ((last - first) * i) / (count - 1), y, z: 1.2 + (i / count) * between(0, 1) },
      area: "stalls",
      people: 10,
    };
  });
  const wide = between(6, 10);
  const high = between(0.9, 1.4);
  const corner = (y: number, z: number): Point => ({ x: 0, y, z });
  const cavity: Cavity | undefined = hasCavity
    ? {
        name: "under the stage",
        opening: [corner(wide / 2, 0), corner(-wide / 2, 0), corner(-wide / 2, high), corner(wide / 2, high)],
        depth: between(1, 2.8),
        absorption: { frequency: [100], value: [0.1] },
      }
    : undefined;
  return {
    length,
    width,
    height,
    behind,
    stage: 0,
    subs,
    mains,
    positions,
    ...(cavity && { cavity }),
  };
}

interface Absorptions {
  readonly strong: number;
  readonly weak: (name: string) => number;
}

/** The hall with its cause; `off` 1 moves what is built from where it is drawn. */
function built(
  plan: Plan,
  absorptions: Absorptions | Record<string, number>,
  cause: Cause,
  draw: () => number,
  off: 0 | 1,
): { venue: Venue; absorption: Record<string, number> } {
  const absorption: Record<string, number> = {};
  const given = "strong" in absorptions && typeof absorptions.weak === "function" ? absorptions : undefined;
  const value = (name: string, strong: boolean): number => {
    absorption[name] = given
      ? strong
        ? (given as Absorptions).strong
        : (given as Absorptions).weak(name)
      : (absorptions as Record<string, number>)[name];
    return absorption[name];
  };
  const moved = (x: number) => x + off * 0.08 * draw();
  const x0 = moved(plan.subs[0].point.x - plan.behind);
  const x1 = moved(plan.length);
  const yl = moved(plan.width / 2);
  const yr = moved(-plan.width / 2);
  const z1 = moved(plan.height);
  const along = cause === "room mode" && plan.width > 12.5;
  const across = cause === "room mode" && !along;
  const face = (name: string, strong: boolean, corners: readonly [number, number, number][]): Boundary => ({
    name,
    corners: corners.map(([x, y, z]) => ({ x, y, z })) as unknown as Boundary["corners"],
    absorption: { frequency: [100], value: [value(name, strong)] },
  });
  const boundaries: Boundary[] = [
    face("front wall", cause === "wall behind the subs" || along, [
      [x0, yl, 0],
      [x0, yr, 0],
      [x0, yr, z1],
      [x0, yl, z1],
    ]),
    face("back wall", cause === "rear wall" || along, [
      [x1, yl, 0],
      [x1, yr, 0],
      [x1, yr, z1],
      [x1, yl, z1],
    ]),
    face("left wall", cause === "side wall" || across, [
      [x0, yl, 0],
      [x1, yl, 0],
      [x1, yl, z1],
      [x0, yl, z1],
    ]),
    face("right wall", across, [
      [x0, yr, 0],
      [x1, yr, 0],
      [x1, yr, z1],
      [x0, yr, z1],
    ]),
    face("floor", cause === "floor", [
      [x0, yl, 0],
      [x0, yr, 0],
      [x1, yr, 0],
      [x1, yl, 0],
    ]),
    face("ceiling", cause === "ceiling", [
      [x0, yl, z1],
      [x0, yr, z1],
      [x1, yr, z1],
      [x1, yl, z1],
    ]),
  ];
  const { cavity } = plan;
  // Closed in truth where it is not the cause, but drawn: something to be acquitted.
  const cavities =
    cavity && (cause === "cavity" || off === 0)
      ? [
          {
            ...cavity,
            depth: cavity.depth * (1 + off * 0.04 * draw()),
            absorption: { frequency: [100], value: [value("cavity", cause === "cavity")] },
          },
        ]
      : [];
  const volume = plan.length * plan.width * plan.height;
  const surface = 2 * (plan.length * plan.width + plan.width * plan.height + plan.height * plan.length);
  return {
    absorption,
    venue: venue({
      name: "invented hall",
      air: { temperature: 20 + off * 2 * draw(), relativeHumidity: 50, pressure: 101.325 },
      sources: [...plan.mains, ...plan.subs],
      audience: [
        {
          name: "stalls",
          corners: [
            { x: 2, y: yl, z: 0 },
            { x: 2, y: yr, z: 0 },
            { x: plan.length - 1, y: yr, z: 0 },
            { x: plan.length - 1, y: yl, z: 0 },
          ],
          earHeight: 1.2,
          density: 1,
        },
      ],
      boundaries,
      cavities,
      room: { volume, surface, reverberationTime: { frequency: [100], value: [decay(boundaries, volume)] } },
    }),
  };
}

/** Reverberation time by Eyring's formula from the hall's own surfaces, seconds: Kuttruff, Room Acoustics (from memory). */
function decay(boundaries: readonly Boundary[], volume: number): number {
  let surface = 0;
  let absorbed = 0;
  for (const { corners, absorption } of boundaries) {
    const side = (a: Point, b: Point) => Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z);
    const area = side(corners[0], corners[1]) * side(corners[1], corners[2]);
    surface += area;
    absorbed += area * absorption.value[0];
  }
  return (0.161 * volume) / (-surface * Math.log(1 - absorbed / surface));
}

/** The drawing without the cause: what the explainer gets when the cause is taken out of its list. */
export function takenOut({ cause, drawn }: KnownDip): { drawn: Venue; leaveOut: CauseKind[] } {
  const walls: Partial<Record<Cause, string[]>> = {
    "wall behind the subs": ["front wall"],
    "rear wall": ["back wall"],
    "side wall": ["left wall"],
    floor: ["floor"],
    ceiling: ["ceiling"],
    "room mode": drawn.boundaries
      .map((b) => b.name)
      .filter((name) => /(front|back|left|right) wall/.test(name)),
  };
  return {
    drawn: {
      ...drawn,
      boundaries: drawn.boundaries.filter((b) => !walls[cause]?.includes(b.name)),
      cavities: cause === "cavity" ? [] : drawn.cavities,
    },
    leaveOut: cause === "other source" || cause === "mains against subs" ? [cause] : [],
  };
}

function redrawn(v: Venue, guess: (a: number) => number): Venue {
  const again = <T extends Boundary | Cavity>(b: T): T => ({
    ...b,
    absorption: { frequency: [100], value: [guess(b.absorption.value[0])] },
  });
  return { ...v, boundaries: v.boundaries.map(again), cavities: v.cavities.map(again) };
}

/** The truth without its cause. */
function without(v: Venue, cause: Cause): Venue {
  const dead = (names: readonly string[]): Venue => ({
    ...v,
    boundaries: v.boundaries.map((b) =>
      names.includes(b.name) ? { ...b, absorption: { frequency: [100], value: [1] } } : b,
    ),
  });
  switch (cause) {
    case "wall behind the subs":
      return dead(["front wall"]);
    case "rear wall":
      return dead(["back wall"]);
    case "side wall":
      return dead(["left wall"]);
    case "floor":
      return dead(["floor"]);
    case "ceiling":
      return dead(["ceiling"]);
    case "room mode":
      return dead(["front wall", "back wall", "left wall", "right wall"]);
    case "cavity":
      return { ...v, cavities: [] };
    case "other source":
      return { ...v, sources: v.sources.filter((s) => s.id !== "sub 2") };
    case "mains against subs":
      return v;
  }
}

/**
 * The dips that the cause makes, if it rules: heard without noise, three places or more have a dip of 6 dB or more that is half
 * as deep or less without the cause, and such dips outweigh all others two to one.
 */
function ruling(clean: Survey, free: Survey, part: DipPart): KnownDip["caused"] | undefined {
  const own: { row: number; frequency_hz: number; depth_db: number }[] = [];
  let others = 0;
  clean.positions.forEach((_, row) => {
    const left = depthOf(powerOf(free, row, part, true));
    for (const d of find(powerOf(clean, row, part, false), BAND[part], 4)) {
      if (valueNear(left, d.frequency_hz) <= d.depth_db / 2) own.push({ row, ...d });
      else others += d.depth_db;
    }
  });
  const positions = new Set(own.filter((d) => d.depth_db >= 6).map((d) => d.row)).size;
  const caused = own.reduce((sum, d) => sum + d.depth_db, 0);
  // What is left of a sum without its cause is its parts' own dips, which are no rivals.
  return positions >= 3 && (part === "sum" || caused >= 2 * others) ? own : undefined;
}

const find = dipFinder(GRID);
const depthOf = depthCurve(GRID);

/** Of a sum without its cause, which has no "without": the parts' powers together. */
function powerOf(s: Survey, row: number, part: DipPart, withoutCause: boolean): Float64Array {
  const [m, w] = [s.mains[row], s.subs[row]];
  const mean = (r: Response) => power(r);
  if (part === "subs") return mean(w);
  if (part === "mains") return mean(m);
  if (withoutCause) return addTo(mean(m), mean(w));
  return power(sumResponses(m, w));
}

const addTo = (a: Float64Array, b: Float64Array) => a.map((x, f) => x + b[f]);

function valueNear(values: Float64Array, frequency: number): number {
  let best = 0;
  GRID.forEach((f, i) => {
    if (Math.abs(f - frequency) < Math.abs(GRID[best] - frequency)) best = i;
  });
  return values[best];
}

/** The diffuse part as a random one, smooth over a few points; noise with its coherence; a loudspeaker of its own. */
function measured(r: Response, noise_db: number, tone: readonly number[], draw: () => number): Response {
  const n = r.frequency.length;
  const smooth = (): Float64Array => {
    const raw = Float64Array.from({ length: n + 2 }, draw);
    return Float64Array.from({ length: n }, (_, i) => (raw[i] + raw[i + 1] + raw[i + 2]) / Math.sqrt(3));
  };
  const [a, b] = [smooth(), smooth()];
  const whole = r.re.map((x, i) => x * x + r.im[i] ** 2 + (r.diffuse?.[i] ?? 0));
  const loudest = Math.max(...whole);
  const averages = 16;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const coherence = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const spread = Math.sqrt((r.diffuse?.[i] ?? 0) / 2);
    const x = Math.log2(r.frequency[i] / 80);
    const own =
      10 **
      ((1.2 * (tone[0] * Math.sin(x) + tone[1] * Math.cos(2 * x) + tone[2] * Math.sin(3 * x))) / 2 / 20);
    const signalRe = own * (r.re[i] + spread * a[i]);
    const signalIm = own * (r.im[i] + spread * b[i]);
    const signal = signalRe ** 2 + signalIm ** 2;
    const hiss = loudest * 10 ** (noise_db / 10);
    coherence[i] = signal / (signal + hiss);
    const error = Math.sqrt(hiss / (2 * averages));
    re[i] = signalRe + error * draw();
    im[i] = signalIm + error * draw();
  }
  return {
    frequency: r.frequency,
    re,
    im,
    coherence,
    averages: new Float64Array(n).fill(averages),
  };
}
