/**
 * The reverberant part of a measured response: what reaches the microphone without a phase relation within the window.
 *
 * A transfer function keeps what arrives within its window and is coherent with the reference. Late reverberation is heard
 * all the same. The whole power at the microphone is |H1|²/γ², since γ² is the share that |H1|² explains; the rest is
 * reverberation and noise. In a long decay that rest is nearly all of the sound, so that no coherence is too low to count it.
 */
import type { Response } from "../../acoustics/response";

/**
 * A response with its reverberant part as `diffuse`.
 *
 * @param response  measured, with coherence
 * @param noise  power of the noise at the microphone over that of what was sent, a ratio at each frequency; without it all that
 *   is not coherent counts as reverberation
 * @returns the same response with `diffuse`, unit of the response squared; 0 where there is no coherence at all
 * @throws RangeError when the response has no coherence, or the noise another number of frequencies
 * @source Bendat and Piersol, Random Data (4th edition), section 6.1: coherent output power γ²·Gyy; check:
 *   tests/measurement/transfer/reverberant.test.ts
 */
export function withReverberantPart<T extends Response>(response: T, noise?: Float64Array): T & Response {
  const { re, im, coherence } = response;
  if (!coherence) throw new RangeError("the response has no coherence: its reverberant part can't be told");
  if (noise && noise.length !== re.length) {
    throw new RangeError(
      `the noise has ${noise.length} frequencies and the response ${re.length}: measure both alike`,
    );
  }
  const diffuse = re.map((x, i) => {
    const coherent = x * x + im[i] * im[i];
    const rest = coherence[i] > 0 ? coherent / coherence[i] - coherent : 0;
    return Math.max(0, rest - (noise ? noise[i] : 0));
  });
  return { ...response, diffuse };
}
