/**
 * The hot loop of the model: the sum over paths of phasors with complex weights, at every frequency of one position.
 *
 *     sum[f] += weight[row][f] · e^{−j k[f] r} / r
 *
 * In WebAssembly SIMD (scripts/assembly/path-sum.ts) where there is one, else in plain TypeScript; both are good to 1e-12 of a
 * term. Beside that stands the rounding of the phase itself: 1e-16 of it, some 1e-12 rad for 100 m at 16 kHz.
 *
 * All arrays are made once; a caller fills the weights, and nothing is allocated per position and frequency.
 */
import { plainPathSum, plainWeightedPathSum } from "./plain";
import { simdPathSum, simdWeightedPathSum } from "./simd";
import type { PathSum, WeightedPathSum, WeightOptions } from "./types";

/**
 * The fastest sum that this machine runs.
 *
 * @param waveNumber  k, radians per metre, one per frequency
 * @param rows  of weights
 */
export function pathSum(waveNumber: Float64Array, rows: number): PathSum {
  return simdPathSum(waveNumber, rows) ?? plainPathSum(waveNumber, rows);
}

/** The fastest sum with weights that this machine runs. */
export function weightedPathSum(options: WeightOptions): WeightedPathSum {
  return simdWeightedPathSum(options) ?? plainWeightedPathSum(options);
}
