/** Which frequencies of a measurement are coherent enough to decide by. */
import type { Response } from "../../acoustics/response";

/**
 * Frequencies at which what matters is coherent enough.
 *
 * Where mains or subs are ten decibels below the other, theirs does not matter: a loudspeaker that has nothing to say
 * at a frequency has no coherence there either.
 *
 * @param mains  response of the mains
 * @param subs  response of the subs, on the same frequencies
 * @param limit  magnitude-squared coherence below which a frequency does not count, 0…1
 * @returns 1 or 0 per frequency; undefined where all count
 */
export function trustedFrequencies(mains: Response, subs: Response, limit: number): Uint8Array | undefined {
  if (!(limit > 0) || (!mains.coherence && !subs.coherence)) return undefined;
  return Uint8Array.from(mains.frequency, (_, i) => {
    const m = mains.re[i] ** 2 + mains.im[i] ** 2;
    const s = subs.re[i] ** 2 + subs.im[i] ** 2;
    const mainsFail = mains.coherence !== undefined && mains.coherence[i] < limit && m > 0.1 * s;
    const subsFail = subs.coherence !== undefined && subs.coherence[i] < limit && s > 0.1 * m;
    return mainsFail || subsFail ? 0 : 1;
  });
}
