/** What a path sum is, whoever computes it: see path-sum.ts. */
import type { Pattern } from "../../acoustics/directivity/pattern";
import type { Point } from "../../acoustics/point";
import type { Complexes } from "../../numeric/complexes";
import type { Detours, FiniteSizeAct, HardEdges } from "../paths/finite-size";
import type { Image } from "../paths/images";

export interface PathSum {
  /** Distance from one row of weights to the next, in numbers: the frequencies rounded up to a multiple of 8. */
  readonly stride: number;
  /** Complex weights, rows × stride. */
  readonly weightRe: Float64Array;
  readonly weightIm: Float64Array;
  /** The sums, one per frequency. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /**
   * Adds a path.
   *
   * @param row  of its weights
   * @param length  metres, above 0 and up to 2^31/2048 wavelengths, 22 km at 16 kHz
   * @param frequencies  how many of the first ones, where not all: a multiple of 8
   */
  add(row: number, length: number, frequencies?: number): void;
}

/** A sum of one row, whose weights are computed path by path. */
export interface WeightedPathSum extends PathSum {
  /**
   * Begins a path's weights: drive × pattern × air × what the boundaries reflect.
   *
   * @param source  which of the sources
   * @param image  of it, for its orientation
   * @param direction  from the image to the position
   * @param length  of the path, metres
   * @param chain  of boundaries, which of the reflection factors applies
   * @param frequencies  how many of the first ones
   */
  begin(
    source: number,
    image: Image,
    direction: Point,
    length: number,
    chain: number,
    frequencies: number,
  ): void;
  /** Multiplies the weights by what a finite rectangle does: see `applyFiniteSize`. */
  finiteSize(detours: Detours, act: FiniteSizeAct, frequencies: number, edges?: HardEdges): void;
}

export interface WeightOptions {
  readonly sources: readonly {
    readonly pattern: Pattern;
    readonly drive: Complexes;
  }[];
  /** Radians per metre, per frequency. */
  readonly waveNumber: Float64Array;
  /** Attenuation by the air, nepers per metre, per frequency. */
  readonly nepers: Float64Array;
  /** What the boundaries of each chain reflect, per frequency; left out where that is applied elsewhere. */
  readonly reflectionFactors?: readonly Float64Array[] | undefined;
}

/** Frequencies go by blocks of eight: the next whole number of them. */
export function strideOf(frequencies: number): number {
  return (frequencies + 7) & ~7;
}

/** √(1/λ) of wave numbers k, radians per metre: edges act by it. */
export const rootPerWavelength = (waveNumber: Float64Array): Float64Array =>
  waveNumber.map((k) => Math.sqrt(k / (2 * Math.PI)));
