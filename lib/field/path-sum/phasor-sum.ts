import { PHASOR_SUM_MODULE } from "./phasor-sum.generated";

/**
 * The hot loop: sums of phasors over paths, at every frequency of one place.
 *
 *     out[f] += Σ_p scale[p] · weight[row[p]][f] · e^{-j k[f] length[p]}
 *
 * In plain TypeScript, sine and cosine come from one table over a turn: with the rest δ to the nearest point, at
 * most half a step, cos(a + δ) and sin(a + δ) follow by the sum of angles with cos δ ≈ 1 − δ²/2 and sin δ ≈ δ −
 * δ³/6, whose neglected terms are below 3e-13. The SIMD kernel takes polynomials (scripts/kernel/phasor-sum.ts),
 * as good as 1e-12. Beside that stands the rounding of the phase itself: 1e-16 of it, some 1e-12 rad for 100 m at
 * 16 kHz.
 *
 * All arrays are made once; a caller fills `length`, `scale`, `row` and the weights, and nothing is allocated per
 * place and frequency. Lengths up to 2^31/2048 wavelengths, 22 km at 16 kHz.
 */
export interface PhasorSum {
  /** Distance from one row of weights to the next, in numbers; the frequencies rounded up to a multiple of 8. */
  readonly stride: number;
  /** Most paths in one call, and rows of weights. */
  readonly capacity: number;
  /** Complex weights, capacity × stride. */
  readonly weightRe: Float64Array;
  readonly weightIm: Float64Array;
  /** Per path: metres, factor, and the row of weights it takes. */
  readonly length: Float64Array;
  readonly scale: Float64Array;
  readonly row: Int32Array;
  /** The sums, one per frequency. Each call adds to them. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Adds the first `paths` paths, at the first frequencies alone where a multiple of 8 is given. */
  run(paths: number, frequencies?: number): void;
  /**
   * Where it runs in WebAssembly: its memory (`object`, for a notebook's compiler knows no more), and what takes
   * doubles of the room asked for beside the sum's own.
   */
  readonly memory?: object;
  readonly take?: (doubles: number) => Float64Array;
}

/**
 * The fastest sum that this machine runs: WebAssembly SIMD where there is one, else plain TypeScript.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param capacity  most paths in one call
 * @param room  doubles wanted beside, in the same memory
 */
export function phasorSum(waveNumber: Float64Array, capacity: number, room = 0): PhasorSum {
  return simdPhasorSum(waveNumber, capacity, room) ?? plainPhasorSum(waveNumber, capacity);
}

/**
 * The sum in plain TypeScript.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param capacity  most paths in one call
 */
export function plainPhasorSum(waveNumber: Float64Array, capacity: number): PhasorSum {
  const n = waveNumber.length;
  const stride = strideOf(n);
  const k = waveNumber.map((x) => (x / (2 * Math.PI)) * POINTS);
  const weightRe = new Float64Array(capacity * stride);
  const weightIm = new Float64Array(capacity * stride);
  const length = new Float64Array(capacity);
  const scale = new Float64Array(capacity);
  const row = new Int32Array(capacity);
  const re = new Float64Array(stride);
  const im = new Float64Array(stride);
  const run = (paths: number, frequencies = n): void => {
    for (let p = 0; p < paths; p++)
      addPath(Math.min(n, frequencies), k, length[p], scale[p], row[p] * stride, weightRe, weightIm, re, im);
  };
  return { stride, capacity, weightRe, weightIm, length, scale, row, re, im, run };
}

/**
 * The sum by the SIMD kernel of scripts/kernel/phasor-sum.ts; undefined where WebAssembly SIMD is missing.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param capacity  most paths in one call
 * @param room  doubles wanted beside, in the same memory
 */
export function simdPhasorSum(waveNumber: Float64Array, capacity: number, room = 0): PhasorSum | undefined {
  const module = simdModule();
  if (!module) return undefined;
  const stride = strideOf(waveNumber.length);
  const doubles = 3 * stride + 2 * capacity * stride + 3 * capacity + room;
  const memory = new WebAssembly.Memory({ initial: Math.ceil((doubles * 8) / 65536) });
  let end = 0;
  const take = (count: number): Float64Array => {
    const part = new Float64Array(memory.buffer, end, count);
    end += count * 8;
    return part;
  };
  const k = take(stride);
  const re = take(stride);
  const im = take(stride);
  const weightRe = take(capacity * stride);
  const weightIm = take(capacity * stride);
  const length = take(capacity);
  const scale = take(capacity);
  const row = new Int32Array(take(capacity).buffer, end - 8 * capacity, capacity);
  k.set(waveNumber.map((x) => x / Math.PI));
  const sum = new WebAssembly.Instance(module, { host: { memory } }).exports.sum as (...at: number[]) => void;
  const at = [k, weightRe, weightIm, length, scale, row, re, im].map((array) => array.byteOffset);
  const run = (paths: number, frequencies = stride): void => {
    if (paths > 0) sum(paths, frequencies, stride * 8, ...at);
  };
  return { stride, capacity, weightRe, weightIm, length, scale, row, re, im, run, memory, take };
}

/** The kernel takes frequencies by blocks of eight: the next whole number of them. */
export function strideOf(frequencies: number): number {
  return (frequencies + 7) & ~7;
}

let compiled: WebAssembly.Module | null | undefined;

function simdModule(): WebAssembly.Module | null {
  if (compiled === undefined) {
    const bytes = Uint8Array.from(atob(PHASOR_SUM_MODULE), (c) => c.charCodeAt(0));
    compiled = WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : null;
  }
  return compiled;
}

const POINTS = 2048;
const STEP = (2 * Math.PI) / POINTS;
const COSINE = Float64Array.from({ length: POINTS }, (_, i) => Math.cos(i * STEP));
const SINE = Float64Array.from({ length: POINTS }, (_, i) => Math.sin(i * STEP));

function addPath(
  n: number,
  k: Float64Array,
  length: number,
  scale: number,
  row: number,
  weightRe: Float64Array,
  weightIm: Float64Array,
  re: Float64Array,
  im: Float64Array,
): void {
  for (let f = 0; f < n; f++) {
    const phase = k[f] * length;
    const nearest = (phase + 0.5) | 0;
    const delta = (phase - nearest) * STEP;
    const square = delta * delta;
    const near = 1 - square * 0.5;
    const cross = delta * (1 - square * (1 / 6));
    const i = nearest & (POINTS - 1);
    const c0 = COSINE[i];
    const s0 = SINE[i];
    const c = (c0 * near - s0 * cross) * scale;
    const s = (s0 * near + c0 * cross) * scale;
    const a = weightRe[row + f];
    const b = weightIm[row + f];
    re[f] += a * c + b * s;
    im[f] += b * c - a * s;
  }
}
