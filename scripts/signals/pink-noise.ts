/** Pink noise that repeats without a seam, and whose peaks are low for its level. */
import { fourierTransform, nextPowerOfTwo } from "../../lib/measurement/spectra/fft";
import { uniform } from "../../lib/numeric/random";

export interface PinkNoise {
  /** Hertz. */
  readonly sampleRate: number;
  /** Lowest frequency, hertz. Default 20. */
  readonly from?: number;
  /** Highest frequency, hertz. Default 20 000, at most 0.45 of the sample rate. */
  readonly to?: number;
  /** Least length of a period, seconds; made longer up to the next power of two of samples. Default 5. */
  readonly period?: number;
  /** The same seed gives the same samples. Default 1. */
  readonly seed?: number;
}

/**
 * One period: equal power in each third octave between the limits, nothing outside of them, peak 1.
 *
 * Phases begin at random. Then, some times over, peaks are clipped in time and the magnitudes set right again in
 * frequency, which leaves a crest factor of about 7 dB instead of 13.
 *
 * @source Van der Ouderaa, Schoukens and Renneboog, Peak factor minimization using a time-frequency domain swapping
 *   algorithm, IEEE Trans. Instrum. Meas. 37 (1988), 145 (from memory)
 */
export function pinkNoise({
  sampleRate,
  from = 20,
  to = 20_000,
  period = 5,
  seed = 1,
}: PinkNoise): Float64Array {
  const highest = Math.min(to, 0.45 * sampleRate);
  if (!(from > 0 && from < highest))
    throw new RangeError(`noise runs from ${from} to ${highest} Hz, expected rising and above 0`);
  const transform = fourierTransform(nextPowerOfTwo(period * sampleRate));
  const { size, re, im } = transform;
  const random = uniform(seed);
  const [first, last] = [Math.ceil((from * size) / sampleRate), Math.floor((highest * size) / sampleRate)];
  let phase = Float64Array.from({ length: last - first + 1 }, () => 2 * Math.PI * random());
  const toTime = () => {
    re.fill(0);
    im.fill(0);
    phase.forEach((p, i) => {
      const k = first + i;
      re[k] = re[size - k] = Math.cos(p) / Math.sqrt(k);
      im[k] = Math.sin(p) / Math.sqrt(k);
      im[size - k] = -im[k];
    });
    transform.inverse();
  };
  toTime();
  for (let round = 0; round < ROUNDS; round++) {
    const limit = CLIP * rms(re);
    for (let n = 0; n < size; n++) re[n] = Math.max(-limit, Math.min(limit, re[n]));
    im.fill(0);
    transform.forward();
    phase = phase.map((_, i) => Math.atan2(im[first + i], re[first + i]));
    toTime();
  }
  const peak = highestOf(re);
  return re.map((x) => x / peak);
}

const ROUNDS = 12;
const CLIP = 2.2; // times the RMS value

export const rms = (x: ArrayLike<number>): number => {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return Math.sqrt(sum / x.length);
};

export const highestOf = (x: ArrayLike<number>): number => {
  let most = 0;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i]));
  return most;
};

/** Peak over RMS value, dB. */
export const crestFactor = (x: ArrayLike<number>): number => 20 * Math.log10(highestOf(x) / rms(x));
