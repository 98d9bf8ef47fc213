/**
 * What an offset costs over many seats: the hot loop of every search for one. In WebAssembly SIMD where there is one
 * (scripts/assembly/seat-costs.ts), else in plain TypeScript.
 */

import { ratiosToLevels } from "../../acoustics/level/of-ratios";
import { compiled } from "../../numeric/compiled";
import { type Complexes, complexes, delayFactor } from "../../numeric/complexes";
import { type DeviationForms, FLOOR } from "../balance/balance";
import type { Criterion } from "./criterion";
import { seatCostsWasm } from "./seat-costs.generated";

export interface SeatCosts {
  /** Cost of an offset by a criterion, dB. */
  of(offset_db: number, criterion: Criterion): number;
  /** All of a curve of costs at an offset, to 1e-5 dB; overwritten by the next call. */
  sums(offset_db: number): SeatSums;
  /** The same costs with the subs delayed, seconds, and of this polarity, from here on. */
  delay(seconds: number, polarity: 1 | -1): void;
  /** To be called when the forms have been written anew. */
  changed(): void;
}

/** Σ w|d|, Σ w d², worst |d|, fraction of the audience within 3 and within 6 dB. */
export type SeatSums = Float64Array;

/**
 * What b comes from with a delay of the subs: Σ re cos 2πft − im sin 2πft over the frequencies, in the forms' unit; one row
 * per seat, of one number per frequency.
 */
export interface SeatPhases extends Complexes {
  readonly frequency: Float64Array;
}

/**
 * Makes the function that says what offsets cost.
 *
 * @param forms  deviation forms of the seats; `delay` overwrites b
 * @param weights  fraction of the audience at each seat, above 0
 * @param options  `phases`, where the subs shall be delayed; `makeSums`, the loops to use, the fastest when left out
 */
export function seatCosts(
  forms: DeviationForms,
  weights: Float64Array,
  options: { readonly phases?: SeatPhases; readonly makeSums?: typeof fastestSums } = {},
): SeatCosts {
  const { phases = NONE, makeSums = fastestSums } = options;
  const { means, extremes, rough, delay, changed } = makeSums(forms, weights, phases);
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
    delay(seconds, polarity) {
      const { re, im } = delayFactor(phases.frequency, -seconds, polarity);
      delay(re, im);
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
  /** Least and most power relative to the target. */
  extremes(gain: number): Float64Array;
  rough(gain: number): SeatSums;
  /** Sets b to that of subs whose phase is delayed: cos and sin of it, per frequency. */
  delay(cos: Float64Array, sin: Float64Array): void;
  changed(): void;
}

const NONE: SeatPhases = { frequency: new Float64Array(), ...complexes(0) };

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
    delay(cos, sin) {
      const columns = cos.length;
      for (let i = 0; i < b.length; i++) {
        b[i] = 0;
        for (let k = 0; k < columns; k++) b[i] += re[i * columns + k] * cos[k] - im[i * columns + k] * sin[k];
      }
    },
    changed() {},
  };
}

/** The compiled sums; undefined where WebAssembly SIMD is missing. */
export function simdSums(
  forms: DeviationForms,
  weights: Float64Array,
  phases: SeatPhases = NONE,
): SumMaker | undefined {
  const self = {};
  const seats = weights.length;
  const width = phases.frequency.length;
  // Seats go by fours, frequencies by twos; where each array begins, in doubles.
  const n = (seats + 3) & ~3;
  const columns = (width + 1) & ~1;
  const [a, b, c, w, fractions] = [0, 1, 2, 3, 4].map((k) => RESULTS + k * n);
  const cos = fractions + n / 2;
  const sin = cos + columns;
  const re = sin + columns;
  const im = re + seats * columns;
  const end = im + seats * columns;
  let delayed: readonly Float64Array[] | undefined;
  const load = (): Memory | undefined => {
    const memory = memoryFor(end);
    if (!memory) return undefined;
    const { values } = memory;
    // A seat that only fills up hears its target, and counts nothing.
    values.fill(0, RESULTS, end).fill(1, a, a + n);
    values.set(forms.a, a);
    values.set(forms.b, b);
    values.set(forms.c, c);
    values.set(weights, w);
    new Float32Array(values.buffer, values.byteOffset + 8 * fractions, seats).set(weights);
    for (let i = 0; i < seats && width > 0; i++) {
      values.set(phases.re.subarray(i * width, (i + 1) * width), re + i * columns);
      values.set(phases.im.subarray(i * width, (i + 1) * width), im + i * columns);
    }
    owner = self;
    if (delayed) delay(memory, delayed);
    return memory;
  };
  const delay = ({ code, values, at }: Memory, [x, y]: readonly Float64Array[]): void => {
    values.set(x, cos);
    values.set(y, sin);
    code.delay(seats, columns, at(re), at(im), at(cos), at(sin), at(b));
  };
  if (!load()) return undefined;
  const loaded = () => (owner === self ? current : load()) as Memory;
  return {
    means(gain) {
      const { code, at, out } = loaded();
      code.means(n, at(a), at(b), at(c), at(w), gain, FLOOR, at(0));
      return out;
    },
    extremes(gain) {
      const { code, at, out } = loaded();
      code.extremes(n, at(a), at(b), at(c), gain, FLOOR, at(0));
      return out;
    },
    rough(gain) {
      const { code, at, out } = loaded();
      code.rough(n, at(a), at(b), at(c), at(fractions), gain, FLOOR, at(0));
      return out;
    },
    delay(x, y) {
      delayed = [x, y];
      if (owner === self) delay(current as Memory, delayed);
    },
    changed() {
      if (owner === self) owner = undefined;
    },
  };
}

/** Doubles before the arrays; an even number, so that these begin where a vector may. */
const RESULTS = 6;

interface Memory {
  readonly code: Record<"means" | "extremes" | "rough" | "delay", (...args: number[]) => void>;
  readonly values: Float64Array;
  /** Where the sums are left. */
  readonly out: Float64Array;
  /** Byte offset of a value. */
  at(index: number): number;
}

const scratchOf = compiled<Memory["code"]>(seatCostsWasm);
/** One memory serves all, since many searches are short: whose seats lie there now. */
let current: Memory | undefined;
let owner: object | undefined;

function memoryFor(doubles: number): Memory | undefined {
  if (current && current.values.length >= doubles) return current;
  const size = Math.max(doubles, 2 * (current?.values.length ?? 0), 1 << 15);
  const scratch = scratchOf(size, 1);
  if (!scratch) return undefined;
  const values = scratch.doubles(size);
  const start = values.byteOffset;
  current = { code: scratch.code, values, out: values.subarray(0, RESULTS), at: (i) => start + 8 * i };
  return current;
}
