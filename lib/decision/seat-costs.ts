/**
 * What an offset costs over many seats: the hot loop of every search for one. In WebAssembly SIMD where there is one
 * (scripts/assembly/seat-costs.ts), else in plain TypeScript.
 */
import { type DeviationForms, FLOOR } from "./balance";
import type { Criterion } from "./criterion";
import { ratiosToLevels } from "./levels-of-ratios";
import { seatCostsWasm } from "./seat-costs-wasm";

export interface SeatCosts {
  /** Cost of an offset by a criterion, dB. */
  of(offset_db: number, criterion: Criterion): number;
  /** All sums of an offset; overwritten by the next call. */
  sums(offset_db: number): SeatSums;
  /** To be called when the forms have been written anew. */
  changed(): void;
}

/** Σ w|d|, Σ w d², least and most power against the wanted one, share within 3 and within 6 dB. */
export type SeatSums = Float64Array;

/**
 * Makes the function that says what offsets cost.
 *
 * @param forms  deviation forms of the seats
 * @param weights  share of each seat, above 0
 * @param makeSums  the loops to use, the fastest when left out
 */
export function seatCosts(
  forms: DeviationForms,
  weights: Float64Array,
  makeSums: (forms: DeviationForms, weights: Float64Array) => SumMaker = fastestSums,
): SeatCosts {
  const { means, extremes, changed } = makeSums(forms, weights);
  const gainOf = (offset: number): number => {
    if (!Number.isFinite(offset)) throw new RangeError(`offset is ${offset}, expected decibels`);
    return 10 ** (offset / 20);
  };
  return {
    of(offset, criterion) {
      const gain = gainOf(offset);
      return costIn(criterion === "least worst" ? extremes(gain) : means(gain), criterion);
    },
    sums(offset) {
      const gain = gainOf(offset);
      means(gain);
      return extremes(gain);
    },
    changed,
  };
}

/** Cost by a criterion, dB, from the sums of an offset. */
export function costIn(sums: SeatSums, criterion: Criterion): number {
  if (criterion === "least mean") return sums[0];
  if (criterion === "least mean square") return Math.sqrt(sums[1]);
  // The worst seat is one of the two extremes.
  return 10 * Math.log10(Math.max(sums[3], 1 / sums[2]));
}

/** Each fills its part of the sums for a gain of the subs and returns them. */
export interface SumMaker {
  means(gain: number): SeatSums;
  extremes(gain: number): SeatSums;
  changed(): void;
}

function fastestSums(forms: DeviationForms, weights: Float64Array): SumMaker {
  return simdSums(forms, weights) ?? plainSums(forms, weights);
}

/** Powers 3 and 6 dB above the wanted one. */
const UP_3 = 10 ** 0.3;
const UP_6 = 10 ** 0.6;

export function plainSums({ a, b, c }: DeviationForms, weights: Float64Array): SumMaker {
  const power = new Float64Array(weights.length);
  const out = new Float64Array(6);
  const powers = (gain: number): void => {
    for (let i = 0; i < power.length; i++) power[i] = Math.max(a[i] + gain * (2 * b[i] + gain * c[i]), FLOOR);
  };
  return {
    means(gain) {
      powers(gain);
      ratiosToLevels(power);
      out.fill(0, 0, 2);
      power.forEach((d, i) => {
        out[0] += weights[i] * Math.abs(d);
        out[1] += weights[i] * d * d;
      });
      return out;
    },
    extremes(gain) {
      powers(gain);
      out.set([Infinity, FLOOR, 0, 0], 2);
      power.forEach((p, i) => {
        out[2] = Math.min(out[2], p);
        out[3] = Math.max(out[3], p);
        out[4] += weights[i] * Number(p >= 1 / UP_3 && p <= UP_3);
        out[5] += weights[i] * Number(p >= 1 / UP_6 && p <= UP_6);
      });
      return out;
    },
    changed() {},
  };
}

/** Undefined where WebAssembly SIMD is missing. */
export function simdSums(forms: DeviationForms, weights: Float64Array): SumMaker | undefined {
  const wasm = instance();
  if (!wasm) return undefined;
  const n = (weights.length + 3) & ~3;
  const self = {};
  const load = (): void => {
    wasm.reserve(4 * n + RESULTS);
    const values = new Float64Array(wasm.memory.buffer, 8 * RESULTS, 4 * n);
    // A seat that only fills up hears what it wants, and counts nothing.
    values.fill(1, 0, n).fill(0, n);
    values.set(forms.a);
    values.set(forms.b, n);
    values.set(forms.c, 2 * n);
    values.set(weights, 3 * n);
    loaded = self;
  };
  const [a, b, c, w] = [0, 1, 2, 3].map((k) => 8 * (RESULTS + k * n));
  return {
    means(gain) {
      if (loaded !== self) load();
      wasm.means(n, a, b, c, w, gain, FLOOR, 0);
      return wasm.results();
    },
    extremes(gain) {
      if (loaded !== self) load();
      wasm.extremes(n, a, b, c, w, gain, FLOOR, 0);
      return wasm.results();
    },
    changed() {
      if (loaded === self) loaded = undefined;
    },
  };
}

/** Doubles before the arrays. */
const RESULTS = 6;
/** One memory serves all: whose seats lie there now. */
let loaded: object | undefined;
let made: Wasm | null | undefined;

interface Wasm {
  readonly memory: WebAssembly.Memory;
  means(...args: number[]): void;
  extremes(...args: number[]): void;
  results(): Float64Array;
  /** Makes room for so many doubles. */
  reserve(doubles: number): void;
}

function instance(): Wasm | null {
  if (made !== undefined) return made;
  const bytes = Uint8Array.from(atob(seatCostsWasm), (c) => c.charCodeAt(0));
  if (!WebAssembly.validate(bytes)) {
    made = null;
    return made;
  }
  const memory = new WebAssembly.Memory({ initial: 4 });
  const { means, extremes } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { env: { memory } })
    .exports as unknown as Wasm;
  let results = new Float64Array(memory.buffer, 0, RESULTS);
  const reserve = (doubles: number): void => {
    const pages = Math.ceil((8 * doubles - memory.buffer.byteLength) / 65536);
    if (pages <= 0) return;
    memory.grow(pages);
    results = new Float64Array(memory.buffer, 0, RESULTS);
  };
  made = { memory, means, extremes, results: () => results, reserve };
  return made;
}
