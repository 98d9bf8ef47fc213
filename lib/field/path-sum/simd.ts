/** The path sum in WebAssembly SIMD: the source is scripts/assembly/path-sum.ts. */
import type { Orientation, Pattern } from "../../acoustics/directivity/pattern";
import { sphereSides } from "../../acoustics/directivity/sphere";
import type { Point } from "../../acoustics/point";
import { compiled, type Scratch } from "../../numeric/compiled";
import { EDGE_LIMIT, edgeTable, FADE_FROM, PER_UNIT } from "../paths/fresnel";
import { pathSumWasm } from "./path-sum.generated";
import { type PathSum, rootPerWavelength, strideOf, type WeightedPathSum, type WeightOptions } from "./types";

/**
 * The sum; undefined where WebAssembly SIMD is missing.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param rows  of weights
 */
export function simdPathSum(waveNumber: Float64Array, rows: number): PathSum | undefined {
  const scratch = scratchOf((3 + 2 * rows) * strideOf(waveNumber.length), 5);
  return scratch && sumIn(scratch, waveNumber, rows);
}

/** The sum with weights; undefined where WebAssembly SIMD is missing. */
export function simdWeightedPathSum(options: WeightOptions): WeightedPathSum | undefined {
  const { sources, waveNumber, nepers, reflectionFactors = [] } = options;
  const n = strideOf(waveNumber.length);
  const radii = new Set(
    sources.flatMap(({ pattern }) => (pattern.kind === "sphere" ? [pattern.radius] : [])),
  );
  const scratch = scratchOf(
    n * (7 + 2 * sources.length + reflectionFactors.length / 2 + 1.5 * radii.size) + edgeTable().length + 16,
    10 + 2 * sources.length + reflectionFactors.length + radii.size,
  );
  if (!scratch) return undefined;
  const { code } = scratch;
  const sum = sumIn(scratch, waveNumber, 1);
  /** Beyond the last frequency the last value, so that nothing there is divided by 0. */
  const filled = (array: Float32Array | Float64Array, values: Float64Array): number => {
    array.fill(values[values.length - 1]).set(values);
    return array.byteOffset;
  };
  const floats = (values: Float64Array): number => filled(scratch.floats(n), values);
  const doubles = (values: Float64Array): number => filled(scratch.doubles(n), values);
  code.setup(
    floats(waveNumber.map((k) => k / Math.PI)),
    floats(nepers),
    floats(rootPerWavelength(waveNumber)),
    sum.weightRe.byteOffset,
    sum.weightIm.byteOffset,
    edgesIn(scratch.floats(2 * edgeTable().length)),
    EDGE_LIMIT * PER_UNIT,
    PER_UNIT,
    FADE_FROM,
    scratch.floats(32).byteOffset,
  );
  const drives = sources.map(({ drive }) => [doubles(drive.re), doubles(drive.im)]);
  const reflections = reflectionFactors.map(floats);
  const known = new Map<number, number>();
  const spheres = sources.map(({ pattern }) => {
    if (pattern.kind !== "sphere") return 0;
    const at = known.get(pattern.radius) ?? spheresIn(scratch.floats(3 * n), waveNumber, pattern.radius);
    known.set(pattern.radius, at);
    return at;
  });
  return {
    ...sum,
    begin(source, image, direction, length, chain, frequencies) {
      const [re, im] = drives[source];
      const { gain, width, height, rear, area, ahead } = toward(sources[source].pattern, image, direction);
      const bytes = 4 * strideOf(frequencies);
      code.begin(
        bytes,
        re,
        im,
        gain,
        width,
        height,
        length,
        rear,
        area,
        reflections[chain] ?? 0,
        spheres[source],
        ahead,
      );
    },
    finiteSize(d, act, frequencies, { length, mirrored, width, height } = SOFT) {
      const end = 4 * strideOf(frequencies);
      code.finite(end, d[0], d[1], d[2], d[3], acts.indexOf(act), length, mirrored, width, height);
    },
  };
}

type Code = Record<"add" | "setup" | "begin" | "finite", (...args: number[]) => void>;

const scratchOf = compiled<Code>(pathSumWasm);
/** Edges without a second wave. */
const SOFT = { length: 0, mirrored: 0, width: 0, height: 0 };
const acts = ["reflected", "passed", "in shadow"];

function sumIn({ code, doubles }: Scratch<Code>, waveNumber: Float64Array, rows: number): PathSum {
  const stride = strideOf(waveNumber.length);
  const k = doubles(stride);
  const re = doubles(stride);
  const im = doubles(stride);
  const weightRe = doubles(rows * stride);
  const weightIm = doubles(rows * stride);
  k.set(waveNumber.map((x) => x / Math.PI));
  const [kAt, reAt, imAt, weightReAt, weightImAt] = [k, re, im, weightRe, weightIm].map((a) => a.byteOffset);
  const add = (row: number, length: number, frequencies = stride): void => {
    const start = 8 * stride * row;
    code.add(kAt, weightReAt + start, weightImAt + start, reAt, imAt, length, 8 * strideOf(frequencies));
  };
  return { stride, weightRe, weightIm, re, im, add };
}

/** Writes per point E's two parts, and how much each grows to the next point. */
function edgesIn(into: Float32Array): number {
  const e = edgeTable();
  for (let i = 0; i < e.length; i++) {
    const at = 4 * (i >> 1) + (i & 1);
    into[at] = e[i];
    into[at + 2] = i + 2 < e.length ? e[i + 2] - e[i] : 0;
  }
  return into.byteOffset;
}

/** Writes what a sphere sends to the side, and by how much the cosine ahead and its square add, four frequencies at a time each. */
function spheresIn(into: Float32Array, waveNumber: Float64Array, radius: number): number {
  for (let f = 0; f < into.length / 3; f++) {
    const { side, back } = sphereSides(radius * waveNumber[Math.min(f, waveNumber.length - 1)]);
    const at = 12 * (f >> 2) + (f & 3);
    into[at] = side;
    into[at + 4] = (1 - back) / 2;
    into[at + 8] = (1 + back) / 2 - side;
  }
  return into.byteOffset;
}

/** A pattern toward a direction as the compiled code takes it: the same as `patternFactors`, without its wave numbers. */
function toward(pattern: Pattern, { axis, up }: Orientation, direction: Point) {
  if (pattern.kind === "omni") return OMNI;
  const { x, y, z } = direction;
  const length = Math.sqrt(x * x + y * y + z * z);
  const ahead = (x * axis.x + y * axis.y + z * axis.z) / length;
  if (pattern.kind === "first-order") return { ...OMNI, gain: 1 - pattern.a + pattern.a * ahead };
  if (pattern.kind === "sphere") return { ...OMNI, ahead };
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
    ahead: 0,
  };
}

const OMNI = { gain: 1, width: 0, height: 0, rear: 0, area: 0, ahead: 0 };
