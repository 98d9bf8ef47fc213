import { delayFactor, product } from "../numeric/complexes";
import { bandLevel } from "./bands/bands";
import { referencePressure } from "./level/decibel";

/**
 * The response: what one group of sources does at one position, over frequency.
 *
 * The coherent part is complex (time convention e^{+jωt}, a path of length r contributes e^{-jkr}/r).
 * Sound that has lost its phase relation to the source, such as late reverberation, is kept beside it as a
 * mean square, so that two groups sum by amplitude where they can and by power where they must.
 */
export interface Response {
  /** Frequencies, hertz, ascending. */
  readonly frequency: Float64Array;
  /** Real part of the coherent response; pascals (rms, in a third-octave band) or a ratio, as its survey says. */
  readonly re: Float64Array;
  /** Imaginary part, same unit. */
  readonly im: Float64Array;
  /** Mean square of the part without a phase relation, unit of `re` squared. Absent means none. */
  readonly diffuse?: Float64Array;
  /** Coherence 0…1, where it was measured or predicted. */
  readonly coherence?: Float64Array;
  /** Effective number of independent averages behind each frequency, where it was measured. */
  readonly averages?: Float64Array;
  /** Standard error of the mean square at each frequency, unit of `re` squared, independent from one to the next; where it was measured. */
  readonly powerError?: Float64Array;
  /**
   * The same for bands of several third octaves: what wavers from one frequency to the next, as late sound does that a window cuts off, is
   * not in it, since its sum doesn't.
   */
  readonly wideError?: Float64Array;
  /** True where only the magnitude is known: such a response has im = 0 and must not be summed as complex. */
  readonly magnitudeOnly?: boolean;
}

/**
 * Mean square of a response at each frequency: coherent and diffuse part added by power.
 *
 * @param response  a response
 * @returns one value per frequency, unit of the response squared
 */
export function power(response: Response): Float64Array {
  const { re, im, diffuse } = response;
  return re.map((x, i) => x * x + im[i] * im[i] + (diffuse ? diffuse[i] : 0));
}

/**
 * Level of a response in a band: the mean of its mean square over log frequency, which no grid can change.
 *
 * @param response  a response
 * @param lower  lower edge of the band, hertz
 * @param upper  upper edge of the band, hertz
 * @param reference  level 0 dB, unit of the response: 20 µPa for pressure; give 1 for a ratio
 * @returns dB re `reference`
 * @throws RangeError when the response has no part within the band, the edges are not positive and in order, or the
 *   reference is not positive
 * @source definition of a band level by IEC 61260-1 for pink noise; check: tests/acoustics/bands/bands.test.ts
 * @example
 * const frequency = acoustics.bands.grid(20, 200, 50);
 * const flat = acoustics.filters.response({ kind: "gain", gain: -6 }, frequency);
 * acoustics.bands.level({ frequency, ...flat }, 40, 80, 1) // -6
 */
export const levelInBand = (
  response: Response,
  lower: number,
  upper: number,
  reference = referencePressure,
): number => bandLevel(response.frequency, power(response), lower, upper, reference);

/**
 * Sum of two responses on the same frequencies: coherent parts by amplitude and phase, diffuse parts by power.
 *
 * The factor g on the second one is a gain or an alignment; it may be complex and vary over frequency.
 *
 * @param a  first response
 * @param b  second response, on the same frequencies as the first
 * @param gain  complex factor on b: `{ re, im }`, one number each for all frequencies, or an array each
 * @returns the sum, without coherence: that of a sum does not follow from those of its parts
 * @throws RangeError when the frequencies differ, or when either response has no phase
 */
export function sumResponses(a: Response, b: Response, gain: ComplexGain = { re: 1, im: 0 }): Response {
  requireSameFrequencies(a, b);
  if (a.magnitudeOnly || b.magnitudeOnly) {
    throw new RangeError(
      "a response without phase can't be summed with another: measure with phase, or sum by power",
    );
  }
  const n = a.frequency.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  const diffuse = a.diffuse || b.diffuse ? new Float64Array(n) : undefined;
  for (let i = 0; i < n; i++) {
    const gr = typeof gain.re === "number" ? gain.re : gain.re[i];
    const gi = typeof gain.im === "number" ? gain.im : gain.im[i];
    re[i] = a.re[i] + gr * b.re[i] - gi * b.im[i];
    im[i] = a.im[i] + gr * b.im[i] + gi * b.re[i];
    if (diffuse) diffuse[i] = (a.diffuse?.[i] ?? 0) + (gr * gr + gi * gi) * (b.diffuse?.[i] ?? 0);
  }
  return diffuse ? { frequency: a.frequency, re, im, diffuse } : { frequency: a.frequency, re, im };
}

/** A response later by some seconds, all but its phase as it was. */
export function later(response: Response, seconds: number): Response {
  return { ...response, ...product(response, delayFactor(response.frequency, seconds)) };
}

/** A response at some of its frequencies in a row, the last one not counted; all that stands beside each goes with it. */
export function partOfResponse(response: Response, start: number, end: number): Response {
  if (start === 0 && end === response.frequency.length) return response;
  const parts = Object.entries(response).map(([key, value]) => [
    key,
    value instanceof Float64Array ? value.slice(start, end) : value,
  ]);
  return Object.fromEntries(parts) as Response;
}

/** A complex factor: one number for all frequencies, or one per frequency. */
export interface ComplexGain {
  readonly re: number | Float64Array;
  readonly im: number | Float64Array;
}

function requireSameFrequencies(a: Response, b: Response): void {
  const same =
    a.frequency === b.frequency ||
    (a.frequency.length === b.frequency.length && a.frequency.every((f, i) => f === b.frequency[i]));
  if (!same) {
    throw new RangeError(
      `responses stand on different frequencies (${a.frequency.length} and ${b.frequency.length} of them): interpolate one first`,
    );
  }
}
