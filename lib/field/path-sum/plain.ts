/**
 * The arithmetic of a path's weights over frequency, in plain TypeScript: see path-kernel-simd.ts for the faster one.
 */
import { patternFactors } from "../../acoustics/directivity/pattern";
import type { Point } from "../../acoustics/point";
import type { Source } from "../../venue/venue";
import { applyFiniteSize, type Detours, type FiniteSizeAct } from "../paths/finite-size";
import type { Image } from "../paths/images";
import type { PhasorSum } from "./phasor-sum";

/** Fills rows of weights of a phasor sum. */
export interface PathKernel {
  /**
   * Writes drive × pattern × air × what the boundaries keep.
   *
   * @param row  of the sum's weights
   * @param voice  which of the sources
   * @param image  of it, for its orientation
   * @param direction  from the image to the place
   * @param length  of the path, metres
   * @param chain  which of the `kept` applies
   */
  begin(row: number, voice: number, image: Image, direction: Point, length: number, chain: number): void;
  /** Multiplies by what a finite rectangle does: see `applyFiniteSize`. */
  finiteSize(row: number, d: Detours, act: FiniteSizeAct): void;
}

export interface PathKernelOptions {
  readonly voices: readonly {
    readonly source: Pick<Source, "pattern">;
    readonly drive: { readonly re: Float64Array; readonly im: Float64Array };
  }[];
  /** Radians per metre, per frequency. */
  readonly waveNumber: Float64Array;
  /** What the air takes, nepers per metre, per frequency. */
  readonly nepers: Float64Array;
  /** What the boundaries of each chain keep, per frequency; left out where that is done elsewhere. */
  readonly kept?: readonly Float64Array[] | undefined;
}

/** The kernel in plain TypeScript, which runs everywhere. */
export function plainPathKernel(
  { voices, waveNumber, nepers, kept }: PathKernelOptions,
  { weightRe, weightIm, stride }: PhasorSum,
): PathKernel {
  const root = rootPerWavelength(waveNumber);
  const factor = new Float64Array(waveNumber.length);
  return {
    begin(row, voice, image, direction, length, chain) {
      const { source, drive } = voices[voice];
      patternFactors(source.pattern, image, direction, waveNumber, factor);
      kept?.[chain].forEach((share, f) => {
        factor[f] *= share;
      });
      const start = row * stride;
      for (let f = 0; f < factor.length; f++) {
        const g = factor[f] * Math.exp(-nepers[f] * length);
        weightRe[start + f] = g * drive.re[f];
        weightIm[start + f] = g * drive.im[f];
      }
    },
    finiteSize(row, d, act) {
      applyFiniteSize(weightRe, weightIm, row * stride, d, root, act);
    },
  };
}

/** √(1/λ) */
export const rootPerWavelength = (waveNumber: Float64Array): Float64Array =>
  waveNumber.map((k) => Math.sqrt(k / (2 * Math.PI)));
