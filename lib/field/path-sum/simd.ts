/**
 * The arithmetic of a path's weights in WebAssembly SIMD, beside a phasor sum in the same memory: the source is
 * scripts/assembly/path-weights.ts.
 */

import type { Orientation } from "../../acoustics/directivity/pattern";
import type { Point } from "../../acoustics/point";
import type { Pattern } from "../../venue/venue";
import { EDGE_LIMIT, edgeTable, FADE_FROM, PER_UNIT } from "../paths/fresnel";
import { type PhasorSum, strideOf } from "./phasor-sum";
import { type PathKernel, type PathKernelOptions, rootPerWavelength } from "./plain";
import { pathWeightsWasm } from "./weights.generated";

/**
 * Doubles that a kernel takes of the sum's memory: three arrays of floats and one for each chain, two of doubles for each
 * voice, the table, notes.
 */
export function kernelRoom(frequencies: number, voices: number, chains = 0): number {
  return strideOf(frequencies) * (2 + 2 * voices + chains / 2) + edgeTable().length + 8;
}

/**
 * The kernel; undefined where the sum is in plain TypeScript.
 *
 * @param options  voices and what there is per frequency
 * @param sum  made with room for the kernel
 */
export function simdPathKernel(options: PathKernelOptions, sum: PhasorSum): PathKernel | undefined {
  const { memory, take } = sum;
  if (!memory || !take) return undefined;
  const { voices, waveNumber, nepers, kept } = options;
  const n = strideOf(waveNumber.length);
  /** Beyond the last frequency the last value, so that nothing there is divided by 0. */
  const fill = (array: Float32Array | Float64Array, values: Float64Array): number => {
    array.fill(values[values.length - 1]).set(values);
    return array.byteOffset;
  };
  const takeFloats = (count: number): Float32Array => {
    const { buffer, byteOffset } = take(Math.ceil(count / 2));
    return new Float32Array(buffer, byteOffset, count);
  };
  compiled ??= new WebAssembly.Module(Uint8Array.from(atob(pathWeightsWasm), (c) => c.charCodeAt(0)));
  const { setup, begin, finite } = new WebAssembly.Instance(compiled, {
    env: { memory: memory as WebAssembly.Memory },
  }).exports as Exports;
  const table = takeFloats(2 * edgeTable().length);
  fillTable(table);
  setup(
    n,
    fill(
      takeFloats(n),
      waveNumber.map((k) => k / Math.PI),
    ),
    fill(takeFloats(n), nepers),
    fill(takeFloats(n), rootPerWavelength(waveNumber)),
    table.byteOffset,
    EDGE_LIMIT * PER_UNIT,
    PER_UNIT,
    FADE_FROM,
    takeFloats(16).byteOffset,
  );
  const drives = voices.map(({ drive }) => {
    const re = fill(take(n), drive.re.subarray(0, waveNumber.length));
    fill(take(n), drive.im.subarray(0, waveNumber.length));
    return re;
  });
  const shares = kept?.map((share) => fill(takeFloats(n), share));
  const re = sum.weightRe.byteOffset;
  const im = sum.weightIm.byteOffset;
  const rowBytes = 8 * sum.stride;
  return {
    begin(row, voice, image, direction, length, chain) {
      const { pattern } = voices[voice].source;
      const at = row * rowBytes;
      const { gain, width, height, rear, area } = toward(pattern, image, direction);
      const share = shares ? shares[chain] : 0;
      begin(drives[voice], re + at, im + at, gain, width, height, length, rear, area, share);
    },
    finiteSize(row, d, act) {
      const at = row * rowBytes;
      finite(re + at, im + at, d[0], d[1], d[2], d[3], acts.indexOf(act));
    },
  };
}

type Exports = Record<"setup" | "begin" | "finite", (...args: number[]) => void>;

/** Per point E's two parts, and how much each grows to the next point. */
function fillTable(into: Float32Array): void {
  const e = edgeTable();
  for (let i = 0; i < e.length; i++) {
    const at = 4 * (i >> 1) + (i & 1);
    into[at] = e[i];
    into[at + 2] = i + 2 < e.length ? e[i + 2] - e[i] : 0;
  }
}

let compiled: WebAssembly.Module | undefined;
const acts = ["reflected", "passed", "in shadow"];

/** A pattern toward a direction as the kernel wants it: the same as `patternFactors`, without its wave numbers. */
function toward(pattern: Pattern, { axis, up }: Orientation, direction: Point) {
  if (pattern.kind === "omni") return OMNI;
  const { x, y, z } = direction;
  const length = Math.sqrt(x * x + y * y + z * z);
  const ahead = (x * axis.x + y * axis.y + z * axis.z) / length;
  if (pattern.kind === "first-order") return { ...OMNI, gain: 1 - pattern.a + pattern.a * ahead };
  const { width, height, rear } = pattern;
  // Along the cabinet's width points axis × up.
  const aside =
    x * (axis.y * up.z - axis.z * up.y) +
    y * (axis.z * up.x - axis.x * up.z) +
    z * (axis.x * up.y - axis.y * up.x);
  return {
    gain: 1,
    width: (width * aside) / (2 * length),
    height: (height * (x * up.x + y * up.y + z * up.z)) / (2 * length),
    rear: ahead < 0 ? (rear * -ahead * Math.LN10) / 20 : 0,
    area: Math.PI * width * height,
  };
}

const OMNI = { gain: 1, width: 0, height: 0, rear: 0, area: 0 };
