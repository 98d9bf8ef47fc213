/** The level of a band as mains and subs let expect it, beside what was recorded, and the error of the two. */
import type { Band } from "../../acoustics/bands/bands";
import { power, type Response } from "../../acoustics/response";
import { bandWeights } from "../../decision/balance/band-powers";
import { measuredPower } from "../../decision/balance/uncertainty";

export interface LevelBesides {
  /** dB. */
  readonly predicted: number;
  readonly recorded: number;
  /** Standard error of their difference, dB. */
  readonly error: number;
}

/**
 * What no average shows, dB: gains set again, air that moved, windows that leak; and a stand put back some centimetres off, which short
 * waves tell. Set by other halls than those of tests/README.md.
 */
const unseenAt = (frequency: number): number =>
  Math.hypot(0.35, 0.5 * Math.sqrt(Math.min(1, frequency / 2000)));

/**
 * @param mains     as they play now
 * @param subs      likewise, on the same frequencies
 * @param recorded  both together, on the same frequencies
 * @param isWide    whether the band is of several third octaves, whose error is smaller
 */
export function levelBesides(
  mains: Response,
  subs: Response,
  recorded: Response,
  band: Band,
  isWide = false,
): LevelBesides {
  const { start, weight } = bandWeights(mains.frequency, band);
  const hasPhases = !mains.magnitudeOnly && !subs.magnitudeOnly;
  const narrow = (r: Response): Response =>
    isWide || !r.powerError ? withError(r) : { ...r, wideError: r.powerError };
  const [m, s, heard] = [narrow(mains), narrow(subs), narrow(recorded)];
  const [mainsPower, subsPower, heardPower] = [m, s, heard].map(power);
  let [predicted, there, variance, unknown] = [0, 0, 0, 0];
  for (let k = 0; k < weight.length; k++) {
    const i = start + k;
    const [sum, square] = hasPhases
      ? measuredPower(m, s, i, 1, 0, 1)
      : [mainsPower[i] + subsPower[i], m.wideError![i] ** 2 + s.wideError![i] ** 2];
    predicted += weight[k] * sum;
    // How the two meet where nobody knows: the same all over a band.
    if (!hasPhases) unknown += weight[k] * Math.sqrt(2 * mainsPower[i] * subsPower[i]);
    there += weight[k] * heardPower[i];
    variance += weight[k] ** 2 * (square + heard.wideError![i] ** 2);
  }
  const db = (x: number) => 10 * Math.log10(Math.max(x, 1e-30));
  const relative = Math.sqrt(variance + unknown ** 2) / Math.max(predicted, 1e-30);
  return {
    predicted: db(predicted),
    recorded: db(there),
    error: Math.hypot((10 / Math.LN10) * relative, unseenAt(band.exact)),
  };
}

/** One that carries no error, as from a file, counts as exact. */
const withError = (response: Response): Response => {
  const { frequency, powerError = new Float64Array(frequency.length) } = response;
  return { ...response, powerError, wideError: response.wideError ?? powerError };
};
