/**
 * What an offset costs over many seats: the hot loop of every search for one. In WebAssembly SIMD where there is one
 * (scripts/assembly/seat-costs.ts), else in plain TypeScript.
 */

import { ratiosToLevels } from "../../acoustics/level/of-ratios";
import { type DeviationForms, FLOOR } from "../balance/balance";
import type { Criterion } from "./criterion";
import { seatCostsWasm } from "./seat-costs.generated";

export interface SeatCosts {
  /** Cost of an offset by a criterion, dB. */
  of(offset_db: number, criterion: Criterion): number;
  /** All of a curve of costs at an offset, to 1e-5 dB; overwritten by the next call. */
  sums(offset_db: number): SeatSums;
  /** The same costs with the subs later and turned over, from here on. */
  turn(delay: number, polarity: 1 | -1): void;
  /** To be called when the forms have been written anew. */
  changed(): void;
}

/** Σ w|d|, Σ w d², worst |d|, share within 3 and within 6 dB. */
export type SeatSums = Float64Array;

/** Whence b comes with a delay of the subs: Σ re cos 2πft − im sin 2πft over the frequencies, in the forms' unit. */
export interface SeatPhases {
  readonly frequency: Float64Array;
  /** One row per seat, of one number per frequency. */
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * Makes the function that says what offsets cost.
 *
 * @param forms  deviation forms of the seats; `turn` overwrites b
 * @param weights  share of each seat, above 0
 * @param options  `phases`, where the subs shall be delayed; `makeSums`, the loops to use, the fastest when left out
 */
export function seatCosts(
  forms: DeviationForms,
  weights: Float64Array,
  options: { readonly phases?: SeatPhases; readonly makeSums?: typeof fastestSums } = {},
): SeatCosts {
  const { phases = NONE, makeSums = fastestSums } = options;
  const { means, extremes, rough, turn, changed } = makeSums(forms, weights, phases);
  const gainOf = (offset: number): number => {
    if (!Number.isFinite(offset)) throw new RangeError(`offset is ${offset}, expected decibels`);
    return 10 ** (offset / 20);
  };
  return {
    of(offset, criterion) {
      const gain = gainOf(offset);
      if (criterion === "least mean") return means(gain)[0];
      if (criterion === "least mean square") return Math.sqrt(means(gain)[1]);
      // The worst seat is one of the two extremes.
      const [least, most] = extremes(gain);
      return 10 * Math.log10(Math.max(most, 1 / least));
    },
    sums: (offset) => rough(gainOf(offset)),
    turn(delay, polarity) {
      const phase = phases.frequency.map((f) => 2 * Math.PI * f * delay);
      turn(
        phase.map((x) => polarity * Math.cos(x)),
        phase.map((x) => polarity * Math.sin(x)),
      );
    },
    changed,
  };
}

/** Cost by a criterion, dB, from all the sums of an offset. */
export function costIn(sums: SeatSums, criterion: Criterion): number {
  if (criterion === "least mean") return sums[0];
  return criterion === "least mean square" ? Math.sqrt(sums[1]) : sums[2];
}

/** Each takes a gain of the subs and returns numbers that the next call overwrites. */
export interface SumMaker {
  /** Σ w|d|, Σ w d² */
  means(gain: number): Float64Array;
  /** Least and most power against the wanted one. */
  extremes(gain: number): Float64Array;
  rough(gain: number): SeatSums;
  turn(cos: Float64Array, sin: Float64Array): void;
  changed(): void;
}

const NONE: SeatPhases = {
  frequency: new Float64Array(),
  re: new Float64Array(),
  im: new Float64Array(),
};

function fastestSums(forms: DeviationForms, weights: Float64Array, phases: SeatPhases): SumMaker {
  return simdSums(forms, weights, phases) ?? plainSums(forms, weights, phases);
}

export function plainSums(
  { a, b, c }: DeviationForms,
  weights: Float64Array,
  { re, im }: SeatPhases = NONE,
): SumMaker {
  const power = new Float64Array(weights.length);
  const out = new Float64Array(5);
  const powers = (gain: number): void => {
    for (let i = 0; i < power.length; i++) power[i] = Math.max(a[i] + gain * (2 * b[i] + gain * c[i]), FLOOR);
  };
  const rough = (gain: number): SeatSums => {
    powers(gain);
    ratiosToLevels(power);
    out.fill(0);
    power.forEach((level, i) => {
      const d = Math.abs(level);
      out[0] += weights[i] * d;
      out[1] += weights[i] * d * d;
      out[2] = Math.max(out[2], d);
      out[3] += weights[i] * Number(d <= 3);
      out[4] += weights[i] * Number(d <= 6);
    });
    return out;
  };
  return {
    means: rough,
    extremes(gain) {
      powers(gain);
      out[0] = power.reduce((x, y) => Math.min(x, y));
      out[1] = power.reduce((x, y) => Math.max(x, y));
      return out;
    },
    rough,
    turn(cos, sin) {
      const columns = cos.length;
      for (let i = 0; i < b.length; i++) {
        b[i] = 0;
        for (let k = 0; k < columns; k++) b[i] += re[i * columns + k] * cos[k] - im[i * columns + k] * sin[k];
      }
    },
    changed() {},
  };
}

/** Undefined where WebAssembly SIMD is missing. */
export function simdSums(
  forms: DeviationForms,
  weights: Float64Array,
  phases: SeatPhases = NONE,
): SumMaker | undefined {
  const seats = weights.length;
  const n = (seats + 3) & ~3;
  const width = phases.frequency.length;
  const columns = (width + 1) & ~1;
  const self = {};
  // Where each array begins, in doubles.
  const [a, b, c, w] = [0, 1, 2, 3].map((k) => RESULTS + k * n);
  const shares = w + n;
  const [cos, sin] = [shares + n / 2, shares + n / 2 + columns];
  const re = sin + columns;
  const im = re + seats * columns;
  const end = im + seats * columns;
  const first = instance(end);
  if (!first) return undefined;
  let wasm = first;
  let factors: readonly Float64Array[] | undefined;
  const load = (): void => {
    wasm = instance(end) ?? wasm;
    const { values } = wasm;
    // A seat that only fills up hears what it wants, and counts nothing.
    values.fill(0, RESULTS, end).fill(1, a, a + n);
    values.set(forms.a, a);
    values.set(forms.b, b);
    values.set(forms.c, c);
    values.set(weights, w);
    new Float32Array(values.buffer, 8 * shares, seats).set(weights);
    for (let i = 0; i < seats && width > 0; i++) {
      values.set(phases.re.subarray(i * width, (i + 1) * width), re + i * columns);
      values.set(phases.im.subarray(i * width, (i + 1) * width), im + i * columns);
    }
    loaded = self;
    if (factors) turn(factors);
  };
  const turn = ([x, y]: readonly Float64Array[]): void => {
    wasm.values.set(x, cos);
    wasm.values.set(y, sin);
    wasm.turn(seats, columns, 8 * re, 8 * im, 8 * cos, 8 * sin, 8 * b);
  };
  return {
    means(gain) {
      if (loaded !== self) load();
      wasm.means(n, 8 * a, 8 * b, 8 * c, 8 * w, gain, FLOOR, 0);
      return wasm.results.means;
    },
    extremes(gain) {
      if (loaded !== self) load();
      wasm.extremes(n, 8 * a, 8 * b, 8 * c, gain, FLOOR, 0);
      return wasm.results.extremes;
    },
    rough(gain) {
      if (loaded !== self) load();
      wasm.rough(n, 8 * a, 8 * b, 8 * c, 8 * shares, gain, FLOOR, 0);
      return wasm.results.rough;
    },
    turn(x, y) {
      factors = [x, y];
      if (loaded === self) turn(factors);
    },
    changed() {
      if (loaded === self) loaded = undefined;
    },
  };
}

/** Doubles before the arrays; an even number, so that these begin where a vector may. */
const RESULTS = 10;
/** One memory serves all: whose seats lie there now. */
let loaded: object | undefined;
let made: Wasm | undefined;
let compiled: WebAssembly.Module | null | undefined;

interface Wasm {
  means(...args: number[]): void;
  extremes(...args: number[]): void;
  rough(...args: number[]): void;
  turn(...args: number[]): void;
  /** The memory as doubles. */
  readonly values: Float64Array;
  /** Where the sums are left. */
  readonly results: Readonly<Record<"means" | "extremes" | "rough", Float64Array>>;
}

/** The loops with a memory for so many doubles. */
function instance(doubles: number): Wasm | undefined {
  if (compiled === undefined) {
    const bytes = Uint8Array.from(atob(seatCostsWasm), (c) => c.charCodeAt(0));
    compiled = WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : null;
  }
  if (!compiled) return undefined;
  if (made && made.values.length >= doubles) return made;
  // A larger memory is a new one: to grow the old would detach its buffer, after which V8 compiles every typed array slower.
  const room = Math.max(doubles, 2 * (made?.values.length ?? 0), 1 << 15);
  const memory = new WebAssembly.Memory({ initial: Math.ceil((8 * room) / 65536) });
  const values = new Float64Array(memory.buffer);
  const { means, extremes, rough, turn } = new WebAssembly.Instance(compiled, { env: { memory } })
    .exports as unknown as Wasm;
  const part = (start: number, end: number) => values.subarray(start, end);
  made = {
    means,
    extremes,
    rough,
    turn,
    values,
    results: { means: part(0, 2), extremes: part(2, 4), rough: part(4, RESULTS) },
  };
  loaded = undefined;
  return made;
}
