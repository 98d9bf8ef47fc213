/**
 * Averages of several responses, in the four ways that differ in what they keep.
 *
 * Power keeps the energy: what the places receive on the whole. Complex keeps what the places have in common in phase
 * too; what differs cancels. Decibel is the mean of the levels as read off a screen, below the power average wherever places
 * differ. Coherence is the power average in which each place counts by its coherence.
 */
import { power, type Response } from "../../acoustics/response";
import { coherentPart } from "./coherence-limit";

/** What an average keeps: energy, phase, levels as read off a screen, or energy weighted by coherence. */
export type AverageKind = "power" | "complex" | "decibel" | "coherence";

export interface AverageOptions {
  /** Weight of each response, 0 or more, such as the number of people it stands for. Default: all alike. */
  readonly weights?: readonly number[];
  /** Data of less coherence are left out, 0…1. Default 0: all count. */
  readonly coherenceLimit?: number;
}

/** An average, with how much stands behind it. */
export interface AveragedResponse extends Response {
  /** How many responses count at each frequency; where none does, all are averaged, and the coherence is 0. */
  readonly contributors: Uint16Array;
}

/**
 * Averages responses that share their frequencies, such as those of several microphones.
 *
 * "power" keeps the energy: what the positions receive on the whole. "complex" keeps what they have in common in phase too;
 * what differs cancels. "decibel" is the mean of the levels as read off a screen, below the power average wherever
 * positions differ. "coherence" is the power average in which each position counts by its coherence.
 *
 * @param responses  at least one, all on the same frequencies
 * @param kind  which average
 * @param options  weights, and least coherence, 0…1
 * @returns the average, in the responses' unit; without phase except for "complex"; its coherence is the mean of those that
 *   count
 * @throws RangeError when frequencies differ, weights don't fit, phase is missing for a complex average, or coherence for
 *   one by coherence
 * @source definitions of the means; common practice, no source, for their use; check: tests/measurement/transfer/average.test.ts, against numpy
 * @example
 * const frequency = acoustics.bands.grid(40, 160, 25);
 * const flat = (gain: number) => acoustics.filters.response({ kind: "gain", gain }, frequency);
 * const traces = [0, -6].map((gain) => ({ frequency, ...flat(gain) }));
 * acoustics.level.ofAmplitude(measure.average(traces, "power").re[0]) // -2.04
 */
export function averageResponses(
  responses: readonly Response[],
  kind: AverageKind,
  { weights = responses.map(() => 1), coherenceLimit = 0 }: AverageOptions = {},
): AveragedResponse {
  requireAverageable(responses, kind, weights);
  const { frequency } = responses[0];
  const n = frequency.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const diffuse = new Float64Array(n);
  const coherence = new Float64Array(n);
  const contributors = new Uint16Array(n);
  const powers = responses.map(power);
  const usable = responses.map((response) => coherentPart(response, coherenceLimit).usable);
  for (let i = 0; i < n; i++) {
    const fraction = fractionsAt(i, responses, kind, weights, usable);
    contributors[i] = fraction.counted;
    let sum = 0;
    responses.forEach((response, r) => {
      const w = fraction.weights[r];
      if (w === 0) return;
      coherence[i] += fraction.counted > 0 ? w * (response.coherence?.[i] ?? 1) : 0;
      if (kind === "complex") {
        re[i] += w * response.re[i];
        im[i] += w * response.im[i];
        // Parts without a phase relation add by power, so their mean shrinks with the number of places.
        diffuse[i] += w * w * (response.diffuse?.[i] ?? 0);
      } else sum += w * (kind === "decibel" ? Math.log(powers[r][i]) : powers[r][i]);
    });
    if (kind !== "complex") re[i] = Math.sqrt(kind === "decibel" ? Math.exp(sum) : sum);
  }
  const measured = responses.some((response) => response.coherence);
  return {
    frequency,
    re,
    im,
    contributors,
    ...(kind === "complex" ? responses.some((r) => r.diffuse) && { diffuse } : { magnitudeOnly: true }),
    ...(measured && { coherence }),
  };
}

/** Weights at one frequency, of sum 1, and how many responses count there. */
function fractionsAt(
  i: number,
  responses: readonly Response[],
  kind: AverageKind,
  weights: readonly number[],
  usable: readonly Uint8Array[],
): { weights: number[]; counted: number } {
  const trusted = weights.map((w, r) => {
    if (!usable[r][i]) return 0;
    return kind === "coherence" ? w * responses[r].coherence![i] : w;
  });
  const counted = trusted.filter((w) => w > 0).length;
  const chosen = counted > 0 ? trusted : weights;
  const sum = chosen.reduce((a, b) => a + b, 0);
  return { weights: chosen.map((w) => w / sum), counted };
}

function requireAverageable(
  responses: readonly Response[],
  kind: AverageKind,
  weights: readonly number[],
): void {
  if (responses.length === 0) throw new RangeError("responses is empty, expected at least one to average");
  requireCommonFrequencies(responses);
  if (weights.length !== responses.length) {
    throw new RangeError(
      `weights has ${weights.length} entries, expected ${responses.length}, one per response`,
    );
  }
  if (!weights.every((w) => w >= 0 && w < Infinity) || !weights.some((w) => w > 0)) {
    throw new RangeError(
      `weights are ${weights.slice(0, 8).join(", ")}, expected 0 or more and one above 0 at least`,
    );
  }
  responses.forEach((response, r) => {
    if (kind === "complex" && response.magnitudeOnly) {
      throw new RangeError(
        `responses[${r}] has no phase, which a complex average needs; choose "power" or measure with phase`,
      );
    }
    if (kind === "coherence" && !response.coherence) {
      throw new RangeError(
        `responses[${r}] has no coherence to weight it by; choose "power" or measure with coherence`,
      );
    }
  });
}

/** Throws a RangeError unless all responses stand on the same frequencies. */
export function requireCommonFrequencies(responses: readonly Response[]): void {
  const { frequency } = responses[0];
  const odd = responses.findIndex(
    (r) =>
      r.frequency !== frequency &&
      (r.frequency.length !== frequency.length || r.frequency.some((f, i) => f !== frequency[i])),
  );
  if (odd >= 0) {
    throw new RangeError(
      `responses[${odd}] stands on other frequencies than the first; interpolate it onto theirs`,
    );
  }
}
