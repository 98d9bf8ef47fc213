import type { Point } from "../../../lib/acoustics/point";
import type { Rectangle } from "../../../lib/field/paths/rectangle";
import { type Cells, cellsOf, pieceAt } from "../../../lib/field/waves/cells";
import { type Dispersion, dispersionOf } from "../../../lib/field/waves/dispersion";
import { type Equations, equationsOf } from "../../../lib/field/waves/equations";
import { layerOf } from "../../../lib/field/waves/layer";
import { runFields } from "../../../lib/field/waves/run";
import { spotAt } from "../../../lib/field/waves/spot";

export const SPEED = 343.2;

export const at = (x: number, y: number, z: number): Point => ({ x, y, z });

/** A piece of air on a grid, with the step of time that the library takes. */
export interface Grid {
  readonly cells: Cells;
  readonly equations: Equations;
  readonly size: number;
  readonly step: number;
  readonly dispersion: Dispersion;
}

export function grid(
  surfaces: readonly Rectangle[],
  size: number,
  from: Point,
  to: Point,
  inside: Point,
  parts?: number,
): Grid {
  const cells = cellsOf(surfaces, { size, from, to, parts });
  const equations = equationsOf(cells, [pieceAt(cells, inside) ?? -1]);
  const step = (0.74 * size) / SPEED;
  return { cells, equations, size, step, dispersion: dispersionOf(size, step, SPEED) };
}

/** The same layer as venues have: metres deep, beyond a box that may go on below. */
export function open({ cells, equations, step }: Grid, low: Point, high: Point, deep: number) {
  const ends = [
    [low.x, high.x],
    [low.y, high.y],
    [low.z, high.z],
  ];
  return layerOf(cells, equations, {
    speedOfSound: SPEED,
    step,
    damping: (axis, x) => 900 * (Math.max(0, ends[axis][0] - x, x - ends[axis][1]) / deep) ** 2,
  });
}

export interface Heard {
  /** Complex pressure at a place for a source of 1/r, in the convention e^{+jωt}. */
  response(field: number, place: number, frequency: number, decay?: number): Complex;
  readonly series: readonly Float32Array[];
  readonly steps: number;
}

export type Complex = readonly [re: number, im: number];

/** What places hear of single sources, each a field of its own. */
export function hear(
  g: Grid,
  sources: readonly Point[],
  places: readonly Point[],
  seconds: number,
  more: {
    readonly layer?: ReturnType<typeof open>;
    readonly admittance?: readonly number[];
    readonly peak?: number;
  } = {},
): Heard {
  const { cells, equations, step, dispersion } = g;
  const peak = 2 * Math.PI * (more.peak ?? 70);
  const before = Math.ceil(4.5 / peak / step);
  // A derivative of a Gaussian: nothing at 0 Hz, next to nothing beyond three times its peak.
  const samples = Float32Array.from({ length: 2 * before }, (_, n) => {
    const t = (n - before) * step * peak;
    return t * Math.exp((-t * t) / 2);
  });
  const steps = Math.ceil(seconds / step);
  const series = runFields(cells, equations, {
    speedOfSound: SPEED,
    step,
    steps,
    every: 1,
    admittance: () => more.admittance ?? [0],
    fields: sources.map((source) => [{ spot: spotAt(cells, equations, source), samples }]),
    receivers: places.map((place) => spotAt(cells, equations, place)),
    layer: more.layer,
  });
  const transform = (count: number, value: (n: number) => number, radian: number, decay: number): Complex => {
    let re = 0;
    let im = 0;
    for (let n = 0; n < count; n++) {
      const v = value(n) * Math.exp(-decay * n * step);
      re += v * Math.cos(radian * n * step);
      im -= v * Math.sin(radian * n * step);
    }
    return [re, im];
  };
  return {
    series,
    steps,
    response(field, place, frequency, decay = 0) {
      const k = (2 * Math.PI * frequency) / SPEED;
      const radian = dispersion.radian(k);
      const sent = transform(samples.length, (n) => samples[n], radian, decay);
      const got = transform(steps, (n) => series[field][n * places.length + place], radian, decay);
      return times(over(got, sent), [dispersion.strength(k), 0]);
    },
  };
}

export const plus = (a: Complex, b: Complex): Complex => [a[0] + b[0], a[1] + b[1]];
export const times = (a: Complex, b: Complex): Complex => [
  a[0] * b[0] - a[1] * b[1],
  a[0] * b[1] + a[1] * b[0],
];
export const over = (a: Complex, b: Complex): Complex => {
  const d = b[0] ** 2 + b[1] ** 2;
  return [(a[0] * b[0] + a[1] * b[1]) / d, (a[1] * b[0] - a[0] * b[1]) / d];
};
export const scaled = (a: Complex, by: number): Complex => [a[0] * by, a[1] * by];
/** A point source of 1/r at a distance. */
export const wave = (k: number, r: number): Complex => [Math.cos(k * r) / r, -Math.sin(k * r) / r];

export const distance = (a: Point, b: Point): number => Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z);

/** How many dB one is above the other. */
export const decibels = (a: Complex, b: Complex): number =>
  20 * Math.log10(Math.hypot(...a) / Math.hypot(...b));

/** The value that a part of the amounts don't exceed. */
export function quantile(values: readonly number[], part: number): number {
  const sorted = values.map(Math.abs).sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))];
}

/** Frequencies so many to the octave. */
export const frequencies = (from: number, to: number, each: number): number[] =>
  Array.from({ length: Math.round(each * Math.log2(to / from)) + 1 }, (_, i) => from * 2 ** (i / each));
