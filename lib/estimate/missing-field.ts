/** The field that a model lacks: drawn, or the likeliest, so that at each microphone the whole is what was heard. */
import { speedOfSound } from "../acoustics/distance/air";
import type { Point } from "../acoustics/point";
import { type Complexes, complexes } from "../numeric/complexes";
import { conditional } from "../numeric/conditional";
import { amplitudes, correlation, fieldOf, planeWaves } from "./random-waves";

/** A field of mean square 1 at all places, one frequency at a time in ascending order. */
export interface MissingField {
  /** Numbers of the frequencies, in the model's grid, at which there is one. */
  readonly indices: readonly number[];
  /** What stays unknown at each place, 0…1 of the mean square, at the k-th of these frequencies. */
  readonly unknown: readonly Float64Array[];
  /**
   * A fresh draw; without normal numbers the likeliest field.
   *
   * @returns the field at the k-th of these frequencies, from what the microphones say of it
   */
  readonly fresh: (normal?: () => number) => (k: number, heard: Complexes) => Complexes;
}

/**
 * @param frequency  hertz, ascending
 * @param below  where such a field is, hertz
 * @param at  places with microphones
 * @source Matheron's rule (a draw, corrected at all places by what the microphones say against it) without an error of hearing, so that
 *   each draw is at a microphone what was heard; check:
 *   tests/estimate/missing-field.test.ts
 */
export function missingField(
  frequency: Float64Array,
  below: number,
  points: readonly Point[],
  at: readonly number[],
): MissingField {
  const count = points.length;
  const m = at.length;
  const indices = [...frequency.keys()].filter((n) => frequency[n] < below);
  const kept = indices.map((n) => {
    const waves = planeWaves(points, (2 * Math.PI * frequency[n]) / speedOfSound(20));
    const alike = (i: number, j: number) => correlation(waves, count, i, j);
    const { weights, explained } = conditional(count, at, alike, () => HEARD_ERROR);
    return { waves, weights, unknown: explained.map((x) => Math.max(0, 1 - x)) };
  });
  return {
    indices,
    unknown: kept.map((k) => k.unknown),
    fresh: (normal) => {
      const field = complexes(count);
      let former: Float64Array | undefined;
      return (k, heard) => {
        const { waves, weights } = kept[k];
        field.re.fill(0);
        field.im.fill(0);
        if (normal) {
          const step = k > 0 ? frequency[indices[k]] - frequency[indices[k - 1]] : 0;
          former = amplitudes(normal, former, Math.exp(-step / BANDWIDTH));
          fieldOf(former, waves, count, field);
        }
        const off = at.map((i, a) => [heard.re[a] - field.re[i], heard.im[a] - field.im[i]]);
        for (let i = 0; i < count; i++) {
          off.forEach(([x, y], a) => {
            field.re[i] += weights[i * m + a] * x;
            field.im[i] += weights[i * m + a] * y;
          });
        }
        return field;
      };
    },
  };
}

/** Variance of what is heard and is no such field, in its mean square. */
const HEARD_ERROR = 0.08;
/** From one frequency to another the field stays alike over about this many hertz, in halls that ring for about a second. */
const BANDWIDTH = 0.8;
