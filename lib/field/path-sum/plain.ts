/** The path sum in plain TypeScript: the reference, and what runs where WebAssembly SIMD is missing. */
import { patternFactors } from "../../acoustics/directivity/pattern";
import { applyFiniteSize } from "../paths/finite-size";
import { type PathSum, rootPerWavelength, strideOf, type WeightedPathSum, type WeightOptions } from "./types";

/**
 * The sum; sine and cosine come from one table over a turn. With the rest δ to the nearest point, at most half a step,
 * cos(a + δ) and sin(a + δ) follow by the sum of angles with cos δ ≈ 1 − δ²/2 and sin δ ≈ δ − δ³/6, whose neglected terms are
 * below 3e-13.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param rows  of weights
 */
export function plainPathSum(waveNumber: Float64Array, rows: number): PathSum {
  const n = waveNumber.length;
  const stride = strideOf(n);
  const k = waveNumber.map((x) => (x / (2 * Math.PI)) * POINTS);
  const weightRe = new Float64Array(rows * stride);
  const weightIm = new Float64Array(rows * stride);
  const re = new Float64Array(stride);
  const im = new Float64Array(stride);
  const add = (row: number, length: number, frequencies = n): void =>
    addPath(Math.min(n, frequencies), k, length, row * stride, weightRe, weightIm, re, im);
  return { stride, weightRe, weightIm, re, im, add };
}

/** The sum with weights. */
export function plainWeightedPathSum({
  sources,
  waveNumber,
  nepers,
  reflectionFactors,
}: WeightOptions): WeightedPathSum {
  const sum = plainPathSum(waveNumber, 1);
  const { weightRe, weightIm } = sum;
  const root = rootPerWavelength(waveNumber);
  const factor = new Float64Array(waveNumber.length);
  return {
    ...sum,
    begin(source, image, direction, length, chain, frequencies) {
      const { pattern, drive } = sources[source];
      const reflection = reflectionFactors?.[chain];
      const first = factor.subarray(0, frequencies);
      patternFactors(pattern, image, direction, waveNumber.subarray(0, frequencies), first);
      for (let f = 0; f < first.length; f++) {
        const g = first[f] * (reflection ? reflection[f] : 1) * Math.exp(-nepers[f] * length);
        weightRe[f] = g * drive.re[f];
        weightIm[f] = g * drive.im[f];
      }
    },
    finiteSize(detours, act, frequencies, edges) {
      applyFiniteSize(weightRe, weightIm, 0, detours, root.subarray(0, frequencies), act, edges);
    },
  };
}

const POINTS = 2048;
const STEP = (2 * Math.PI) / POINTS;
const COSINE = Float64Array.from({ length: POINTS }, (_, i) => Math.cos(i * STEP));
const SINE = Float64Array.from({ length: POINTS }, (_, i) => Math.sin(i * STEP));

function addPath(
  n: number,
  k: Float64Array,
  length: number,
  start: number,
  weightRe: Float64Array,
  weightIm: Float64Array,
  re: Float64Array,
  im: Float64Array,
): void {
  const scale = 1 / length;
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
    const a = weightRe[start + f];
    const b = weightIm[start + f];
    re[f] += a * c + b * s;
    im[f] += b * c - a * s;
  }
}
