/**
 * Experiments on the model: what a dip's place hears with everything there, with one element after another taken away, with one
 * stack of subs alone, and how much of the dip each of them fills.
 */
import { logGrid } from "../../acoustics/bands/bands";
import type { Point } from "../../acoustics/point";
import { cubeFor, type Heard, type TakenAwayOptions, takenAway } from "../../field/taken-away";
import { handOver, LOWEST, noWaves } from "../../field/waves/low-band";
import type { Progress } from "../../field/waves/run";
import { mean } from "../../numeric/statistics";
import type { Source, Venue } from "../../venue/venue";
import { depthCurve } from "./dips";
import { type CauseKind, type Element, elementsOf, stacksOf } from "./elements";
import type { Dip, DipPart } from "./result";

/** The model's dip near a found one, heard at its place or a little beside it. */
export interface Sample {
  readonly frequency_hz: number;
  /** Its depth, and the most about it, dB. */
  readonly depth_db: number;
  readonly around_db: number;
  /** Difference of both curves within half an octave, dB rms. */
  readonly misfit_db: number;
  /** What is left of it with each of the elements taken away, dB. */
  readonly left_db: readonly number[];
}

/** A found dip in the model. */
export interface Modelled {
  readonly found_hz: number;
  readonly found_db: number;
  /** At its place first. */
  readonly samples: readonly Sample[];
}

export interface Outcome {
  /** Whether waves were computed, or paths. */
  readonly byWaves: boolean;
  readonly elements: readonly { readonly kind: CauseKind; readonly name: string }[];
  readonly dips: readonly Modelled[];
}

/** What the experiments say of dips of one part; undefined where these lie beyond what was computed. */
export type Experiments = (part: DipPart, dips: readonly Dip[], heard: HeardCurves) => Outcome | undefined;

/** Depth below the neighbourhood of what was heard, by row, at any of the experiments' frequencies, dB. */
export type HeardCurves = (row: number, frequency: Float64Array) => Float64Array;

/** Hertz: in a room the experiments end where waves do. */
export const highestIn = (venue: Venue): number => (venue.room ? handOver.from : 320);

/** Elements that are tried at most: the largest surfaces, and all cavities. */
const MOST_ELEMENTS = 14;
const PER_OCTAVE = 24;

/** Metres to each side at which a place is listened to as well: a drawing is as far off. */
const BESIDE = 0.2;
const around: readonly (readonly [number, number])[] = [
  [0, 0],
  [BESIDE, 0],
  [-BESIDE, 0],
  [0, BESIDE],
  [0, -BESIDE],
];
/** A group of more stacks than this is one voice. */
const MOST_STACKS = 4;
/** Subs whose fronts' middles lie lower than this stand on the ground, metres: it is part of them, and can't be what to mend. */
export const ON_GROUND = 1.2;

/**
 * Does the experiments on a drawing.
 *
 * @param venue  as it is drawn
 * @param places  of the survey's positions
 * @param highest  frequency of the dips, hertz
 * @param options  kinds that are not considered
 */
export function experiments(
  venue: Venue,
  places: readonly Point[],
  highest: number,
  { leaveOut = [], progress }: ExperimentOptions = {},
): Experiments {
  const all = elementsOf(venue, leaveOut);
  const cavities = all.filter((e) => e.cavity !== undefined);
  const surfaces = all.filter((e) => e.cavity === undefined);
  const tried = [...surfaces.slice(0, Math.max(1, MOST_ELEMENTS - cavities.length)), ...cavities];
  // As much beyond the highest dip as its neighbourhood needs, as far as waves go; their cubes need carry but the dip itself.
  const to = Math.min(noWaves(venue) === undefined ? 0.99 * handOver.to : 640, 1.7 * highest);
  const size = cubeFor(venue, Math.min(to, 1.3 * highest));
  return experimentsOn(venue, tried, places, { to, size, beside: around, leaveOut, progress });
}

export interface ExperimentOptions {
  readonly leaveOut?: readonly CauseKind[];
  readonly progress?: Progress | undefined;
}

/** Sources that sound together and can be left to sound alone, by group. */
export function voicesOf({ sources }: Pick<Venue, "sources">) {
  const group = (name: Source["group"]): Source[][] => {
    const own = sources.filter((s) => s.group === name);
    const stacks = stacksOf(own);
    return stacks.length > MOST_STACKS || name === "fills" ? (own.length > 0 ? [own] : []) : stacks;
  };
  const [mains, fills, subs] = [group("mains"), group("fills"), group("subs")];
  const number = (some: readonly Source[][], from: number) => some.map((_, i) => from + i);
  const front = mains.length + fills.length;
  return {
    voices: [...mains, ...fills, ...subs],
    mains: number(mains, 0),
    subs: number(subs, front),
    of: {
      mains: number([...mains, ...fills], 0),
      subs: number(subs, front),
      sum: number([...mains, ...fills, ...subs], 0),
    } satisfies Readonly<Record<DipPart, readonly number[]>>,
  };
}

/**
 * Does the experiments on any elements.
 *
 * @param options  highest frequency, hertz; steps beside each place; waves and their cubes as for `takenAway`
 */
export function experimentsOn(
  venue: Venue,
  elements: readonly Element[],
  places: readonly Point[],
  {
    to,
    beside = [[0, 0]],
    leaveOut = [],
    ...options
  }: ExperimentOptions & {
    readonly to: number;
    readonly beside?: readonly (readonly [number, number])[];
  } & Omit<TakenAwayOptions, "frequency">,
): Experiments {
  const { voices, mains, subs, of } = voicesOf(venue);
  const frequency = logGrid(LOWEST, to, Math.max(8, Math.round(PER_OCTAVE * Math.log2(to / LOWEST))));
  const ears = places.flatMap((p) => beside.map(([x, y]): Point => ({ x: p.x + x, y: p.y + y, z: p.z })));
  // Nothing that is taken away asks for single stacks: mains with fills, and subs, suffice.
  const together = [of.mains, of.subs].filter((own) => own.length > 0);
  const joined = (part: readonly number[]) =>
    together.flatMap((own, t) => (part.includes(own[0]) ? [t] : []));
  const heard = takenAway(venue, voices, ears, elements, { ...options, together, frequency });
  const curve = depthCurves(frequency);
  const standing = subs.every((v) => voices[v].every((s) => s.point.z < ON_GROUND));
  const left = (part: DipPart): Taken[] => {
    const whole = of[part];
    const alone = (name: "mains" | "subs", each: readonly number[]): Taken[] =>
      each.length < 2 || part === (name === "mains" ? "subs" : "mains") || leaveOut.includes("other source")
        ? []
        : [
            {
              kind: "other source",
              name: `the other ${name}`,
              // Each stack beside all that is not of its group: where none of them dips, they take each other away.
              left: (near) =>
                mean(each.map((v) => near(heard.whole, [...whole.filter((w) => !each.includes(w)), v]))),
            },
          ];
    const parted: Taken[] =
      part !== "sum" || of.mains.length === 0 || subs.length === 0 || leaveOut.includes("mains against subs")
        ? []
        : [
            {
              kind: "mains against subs",
              name: "mains against subs at the crossover",
              left: (near) => Math.max(near(heard.whole, of.mains), near(heard.whole, of.subs)),
            },
          ];
    return [
      ...elements.flatMap(({ kind, name }, e): Taken[] =>
        part === "subs" && standing && kind === "floor"
          ? []
          : [{ kind, name, left: (near) => near(heard.without[e], joined(whole)) }],
      ),
      ...alone("mains", mains),
      ...alone("subs", subs),
      ...parted,
    ];
  };
  return (part, dips, heardAt) => {
    const which = of[part];
    if (which.length === 0 || dips.some((d) => d.frequency_hz > to / 1.1)) return undefined;
    const taken = left(part);
    return {
      byWaves: options.waves ?? noWaves(venue) === undefined,
      elements: taken.map(({ kind, name }) => ({ kind, name })),
      dips: dips.map(({ row, frequency_hz, depth_db }): Modelled => {
        const real = heardAt(row, frequency);
        const samples = beside.map((_, side): Sample => {
          const ear = row * beside.length + side;
          const whole = curve(heard.whole, which, ear);
          const match = matchOf(frequency, whole, frequency_hz);
          const near: Near = (from, some) => leftOf(frequency, curve(from, some, ear), match.frequency_hz);
          return {
            ...match,
            misfit_db: difference(frequency, whole, real, frequency_hz),
            left_db: taken.map((t) => t.left(near)),
          };
        });
        return { found_hz: frequency_hz, found_db: depth_db, samples };
      }),
    };
  };
}

/** What is left of a dip where some voices sound. */
type Near = (from: Heard, voices: readonly number[]) => number;

interface Taken {
  readonly kind: CauseKind;
  readonly name: string;
  readonly left: (near: Near) => number;
}

/** Makes the function that gives the depth below the neighbourhood of voices together at an ear; each is computed once. */
function depthCurves(frequency: Float64Array) {
  const depthOf = depthCurve(frequency);
  const known = new Map<Heard, Map<string, Float64Array>>();
  return (from: Heard, voices: readonly number[], ear: number): Float64Array => {
    const own = known.get(from) ?? new Map<string, Float64Array>();
    known.set(from, own);
    const key = `${voices} ${ear}`;
    const found =
      own.get(key) ??
      depthOf(
        frequency.map((_, f) => {
          const re = voices.reduce((sum, v) => sum + from[v][ear].re[f], 0);
          const im = voices.reduce((sum, v) => sum + from[v][ear].im[f], 0);
          return re * re + im * im;
        }),
      );
    own.set(key, found);
    return found;
  };
}

/** Octaves about a dip within which it has not gone, only moved. */
const AROUND = 1 / 8;
/** What a curve of depths has left of a dip, dB: no less than nothing. */
export const leftOf = (frequency: Float64Array, depth: Float64Array, at: number): number =>
  Math.max(0, most(frequency, depth, at, AROUND));

/** Octaves within which the model's dip may be the one found, and by which it is believed less. */
const REACH = 0.2;
const PER_TENTH = 4;
/** The model's dip that a found one most likely is: the deeper the better, the nearer the better. */
function matchOf(frequency: Float64Array, depth: Float64Array, found: number) {
  let best = Number.NEGATIVE_INFINITY;
  let at = 0;
  depth.forEach((x, f) => {
    const off = Math.log2(frequency[f] / found);
    if (Math.abs(off) > REACH) return;
    const rank = x - PER_TENTH * (off / 0.1) ** 2;
    if (rank > best) {
      best = rank;
      at = f;
    }
  });
  return {
    frequency_hz: frequency[at],
    depth_db: depth[at],
    around_db: most(frequency, depth, frequency[at], AROUND),
  };
}

function most(frequency: Float64Array, depth: Float64Array, at: number, octaves: number): number {
  let found = Number.NEGATIVE_INFINITY;
  depth.forEach((x, f) => {
    if (Math.abs(Math.log2(frequency[f] / at)) <= octaves) found = Math.max(found, x);
  });
  return found;
}

/** Of both curves within half an octave of a frequency, dB rms. */
function difference(frequency: Float64Array, a: Float64Array, b: Float64Array, at: number): number {
  let sum = 0;
  let count = 0;
  a.forEach((x, f) => {
    if (Math.abs(Math.log2(frequency[f] / at)) >= 0.5) return;
    sum += (x - b[f]) ** 2;
    count++;
  });
  return Math.sqrt(sum / Math.max(1, count));
}
