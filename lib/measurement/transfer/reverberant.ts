/**
 * The reverberant part of a measured response: what reaches the microphone without a phase relation within the window.
 *
 * A transfer function keeps what arrives within its window and is coherent with the reference. Late reverberation is heard
 * all the same. The whole power at the microphone is |H1|²/γ², since γ² is the share that |H1|² explains; the rest is
 * reverberation and noise. A recording of the noise alone tells the two apart.
 */
import type { Response } from "../../acoustics/response";

/**
 * A response with its reverberant part as `diffuse`.
 *
 * @param response  measured, with coherence
 * @param noise  the same microphone without any signal, against the same reference, as a response with coherence; without it
 *   all that is not coherent counts as reverberation, where the coherence is `least` or more
 * @param least  coherence below which reverberation and noise can't be told apart without `noise`; 0.05 unless said
 * @returns the same response with `diffuse`, unit of the response squared; 0 where nothing can be told
 * @throws RangeError when a response has no coherence, or the frequencies differ in number
 * @source Bendat and Piersol, Random Data (4th edition), section 6.1: coherent output power γ²·Gyy; check:
 *   tests/measurement/transfer/reverberant.test.ts
 */
export function withReverberantPart(response: Response, noise?: Response, least = 0.05): Response {
  const whole = wholePower(response);
  const alone = noise && wholePower(noise);
  if (alone && alone.length !== whole.length) {
    throw new RangeError(
      `the noise has ${alone.length} frequencies and the response ${whole.length}: measure both alike`,
    );
  }
  const { re, im } = response;
  const diffuse = whole.map((power, i) => {
    const rest = power - (re[i] * re[i] + im[i] * im[i]);
    if (alone) return Math.max(0, rest - alone[i]);
    return (response.coherence as Float64Array)[i] >= least ? Math.max(0, rest) : 0;
  });
  return { ...response, diffuse };
}

/** |H1|²/γ² = Gyy/Gxx at each frequency; 0 where there is no coherence at all. */
function wholePower({ re, im, coherence }: Response): Float64Array {
  if (!coherence) throw new RangeError("the response has no coherence: its reverberant part can't be told");
  return re.map((x, i) => (coherence[i] > 0 ? (x * x + im[i] * im[i]) / coherence[i] : 0));
}
