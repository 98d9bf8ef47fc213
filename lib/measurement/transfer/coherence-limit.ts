/**
 * Which part of a measured response may carry a decision: what lies at or above a coherence limit.
 */
import type { Response } from "../../acoustics/response";

/** A response's data by their coherence. */
export interface CoherentPart {
  /** 1 where a frequency may be used, else 0. */
  readonly usable: Uint8Array;
  /** Stretches left out, hertz, from the first to the last frequency of each. */
  readonly leftOut: readonly { readonly from: number; readonly to: number }[];
}

/**
 * Splits a response at a coherence limit.
 *
 * A response without coherence, such as a model's, is usable throughout. Few averages make coherence read high: of n averages of
 * unrelated signals one in twenty exceeds 1 − 0.05^(1 / (n − 1)), and where that is above the limit it takes its place.
 *
 * @param response  any response
 * @param limit     least coherence that counts, 0…1; 0.5 is a signal as strong as the noise (γ² = SNR / (1 + SNR)); 0 takes everything
 * @throws RangeError when the limit isn't within 0…1
 * @source Bendat and Piersol, Random Data, chapter 6: coherence with noise at the output; Carter, Knapp and Nuttall, IEEE Trans.
 *   Audio Electroacoust. AU-21 (1973): distribution of coherence from n averages (from memory); check: tests/measurement/transfer/average.test.ts
 */
export function coherentPart(response: Response, limit = 0.5): CoherentPart {
  requireLimit(limit);
  const { frequency, coherence } = response;
  const usable = Uint8Array.from(frequency, (_, i) =>
    !coherence || coherence[i] >= leastCoherence(response, i, limit) ? 1 : 0,
  );
  const leftOut: { from: number; to: number }[] = [];
  usable.forEach((ok, i) => {
    if (ok) return;
    if (i > 0 && !usable[i - 1]) leftOut[leftOut.length - 1].to = frequency[i];
    else leftOut.push({ from: frequency[i], to: frequency[i] });
  });
  return { usable, leftOut };
}

function leastCoherence({ averages }: Response, i: number, limit: number): number {
  if (!averages || limit === 0) return limit;
  return averages[i] > 1 ? Math.max(limit, 1 - 0.05 ** (1 / (averages[i] - 1))) : Infinity;
}

/** Throws a RangeError unless the coherence limit lies within 0…1. */
export function requireLimit(limit: number): void {
  if (!(limit >= 0 && limit <= 1)) throw new RangeError(`coherence limit is ${limit}, expected 0 to 1`);
}
