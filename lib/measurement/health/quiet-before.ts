/** The quiet at the beginning of a recording, before anything is sent: what microphones hear there is noise. */

/** Less than this, relative to the reference's mean square, counts as nothing sent, dB. */
const SILENT = -50;

/**
 * Samples of a reference before its signal begins.
 *
 * @param reference  what was sent, samples
 * @param sampleRate  hertz
 * @returns number of samples, in steps of 10 ms; all of them where nothing is sent at all
 */
export function quietBefore(reference: Float64Array, sampleRate: number): number {
  const step = Math.max(1, Math.round(sampleRate / 100));
  let total = 0;
  for (const x of reference) total += x * x;
  const limit = (step * total * 10 ** (SILENT / 10)) / Math.max(1, reference.length);
  for (let from = 0; from < reference.length; from += step) {
    let energy = 0;
    for (let i = from; i < Math.min(from + step, reference.length); i++) energy += reference[i] ** 2;
    if (energy > limit) return from;
  }
  return reference.length;
}
