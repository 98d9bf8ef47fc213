/**
 * What a venue file can't know exactly, as numbers to be fitted: each with how far off it may be.
 *
 * Every value is counted in its own standard deviations from what the file says, so that 0 is the file and ±1 is as far off as
 * one would expect.
 */
import type { Boundary, Cavity, Source, Venue } from "../../venue/venue";

export interface UncertainValue {
  /** In words, such as "level of the subs". */
  readonly name: string;
  readonly unit: string;
  /** How far off it may be: one standard deviation, in `unit`. */
  readonly deviation: number;
  /** The venue with this value off by an amount in `unit`. */
  readonly apply: (venue: Venue, amount: number) => Venue;
  /** What a venue has, in a quantity that a person knows; absent where the change itself is one. */
  readonly plain?: (venue: Venue) => PlainQuantity;
}

/** Of several bands or surfaces the mean. */
export type PlainQuantity = { readonly fraction: number } | { readonly s: number };

/** Standard deviations of what a venue file says; common practice, no source. 0 leaves a value as the file has it. */
export interface Uncertainty {
  /** Levels of subs and of mains, dB. */
  readonly level?: number;
  /** Slope of the subs' response, dB per octave about 50 Hz. */
  readonly slope?: number;
  /** Delay of the subs relative to the mains, milliseconds. */
  readonly delay?: number;
  /** Energy absorption of each surface: of the logarithm of α/(1 − α). */
  readonly absorption?: number;
  /** Depth of each cavity, metres. */
  readonly cavityDepth?: number;
  /** Position of the subs from front to back, metres: with it their distance to the wall behind. */
  readonly subDistance?: number;
  /** Height of the mains, metres. */
  readonly mainsHeight?: number;
  /** Temperature, °C. */
  readonly temperature?: number;
  /** Reverberation time, of its logarithm. */
  readonly reverberation?: number;
}

export const usualUncertainty: Required<Uncertainty> = {
  level: 3,
  slope: 1.5,
  delay: 0.5,
  absorption: 0.7,
  cavityDepth: 0.2,
  subDistance: 0.1,
  mainsHeight: 0.2,
  temperature: 3,
  reverberation: 0.2,
};

/**
 * Values of a venue that may be off.
 *
 * @param venue  a venue
 * @param uncertainty  standard deviations; 0 leaves one out
 * @returns those that the venue has: a value per surface name and cavity
 */
export function uncertainValues(venue: Venue, uncertainty: Uncertainty = {}): UncertainValue[] {
  const sigma = { ...usualUncertainty, ...uncertainty };
  const has = (group: Source["group"]) => venue.sources.some((s) => s.group === group);
  const values: UncertainValue[] = [
    ...(has("subs") ? [levelOf("subs", sigma.level)] : []),
    ...(has("mains") ? [levelOf("mains", sigma.level)] : []),
    {
      name: "slope of the subs' response",
      unit: "dB per octave",
      deviation: sigma.slope,
      apply: (v, x) => ofGroup(v, "subs", (s) => ({ ...s, level: tilted(s.level, x) })),
    },
    {
      name: "delay of the subs",
      unit: "ms",
      deviation: sigma.delay,
      apply: (v, x) => ofGroup(v, "subs", (s) => ({ ...s, delay: s.delay + x / 1000 })),
    },
    {
      name: "distance of the subs from the stage's edge",
      unit: "m",
      deviation: sigma.subDistance,
      apply: (v, x) => ofGroup(v, "subs", (s) => ({ ...s, point: { ...s.point, x: s.point.x + x } })),
    },
    {
      name: "height of the mains",
      unit: "m",
      deviation: sigma.mainsHeight,
      apply: (v, x) => ofGroup(v, "mains", (s) => ({ ...s, point: { ...s.point, z: s.point.z + x } })),
    },
    {
      name: "temperature",
      unit: "°C",
      deviation: sigma.temperature,
      apply: (v, x) => ({ ...v, air: { ...v.air, temperature: v.air.temperature + x } }),
    },
    ...[...new Set(venue.boundaries.map((b) => b.name))].map((name) => surface(name, sigma.absorption)),
    ...venue.cavities.map(({ name }) => depthOf(name, sigma.cavityDepth)),
  ];
  if (venue.room) {
    values.push({
      name: "reverberation time",
      unit: "of its logarithm",
      deviation: sigma.reverberation,
      apply: (v, x) => (v.room ? { ...v, room: { ...v.room, reverberationTime: scaled(v.room, x) } } : v),
      plain: (v) => ({ s: mean(v.room ? [...v.room.reverberationTime.value] : []) }),
    });
  }
  return values.filter((v) => v.deviation > 0);
}

/**
 * The venue with all values off by so many standard deviations.
 *
 * @param venue  as its file has it
 * @param values  from `uncertainValues`
 * @param amounts  one per value, in standard deviations
 */
export function venueWith(
  venue: Venue,
  values: readonly UncertainValue[],
  amounts: ArrayLike<number>,
): Venue {
  return values.reduce((v, value, i) => value.apply(v, amounts[i] * value.deviation), venue);
}

function levelOf(group: "subs" | "mains", deviation: number): UncertainValue {
  return {
    name: `level of the ${group}`,
    unit: "dB",
    deviation,
    apply: (v, x) => ofGroup(v, group, (s) => ({ ...s, gain: s.gain + x })),
  };
}

function surface(name: string, deviation: number): UncertainValue {
  const change = <T extends Boundary | Cavity>(b: T, x: number): T =>
    b.name === name
      ? {
          ...b,
          absorption: { ...b.absorption, value: b.absorption.value.map((a) => shifted(a, x)) },
        }
      : b;
  return {
    name: `absorption of "${name}"`,
    unit: "of the logarithm of α/(1 − α)",
    deviation,
    apply: (v, x) => ({ ...v, boundaries: v.boundaries.map((b) => change(b, x)) }),
    plain: (v) => ({
      fraction: mean(v.boundaries.flatMap((b) => (b.name === name ? [...b.absorption.value] : []))),
    }),
  };
}

const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;

function depthOf(name: string, deviation: number): UncertainValue {
  return {
    name: `depth of "${name}"`,
    unit: "m",
    deviation,
    apply: (v, x) => ({
      ...v,
      cavities: v.cavities.map((c) => (c.name === name ? { ...c, depth: Math.max(0.1, c.depth + x) } : c)),
    }),
  };
}

/** Moves a share between 0 and 1 so that it stays there. */
function shifted(fraction: number, x: number): number {
  const a = Math.min(0.99, Math.max(0.01, fraction));
  return 1 / (1 + ((1 - a) / a) * Math.exp(-x));
}

function scaled({ reverberationTime: t }: NonNullable<Venue["room"]>, x: number) {
  return { ...t, value: t.value.map((seconds) => seconds * Math.exp(x)) };
}

function tilted({ frequency, level }: Source["level"], perOctave: number): Source["level"] {
  return { frequency, level: level.map((l, i) => l + perOctave * Math.log2(frequency[i] / 50)) };
}

function ofGroup(venue: Venue, group: Source["group"], change: (s: Source) => Source): Venue {
  return { ...venue, sources: venue.sources.map((s) => (s.group === group ? change(s) : s)) };
}
