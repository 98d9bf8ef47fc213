/**
 * The noise at microphones: from a stretch in which nothing plays, or, where there is none, from what long windows leave.
 *
 * Noise is smooth over frequency and is told as a density, mean square per hertz, so that it can be set beside what was sent
 * in any other window, length and sample rate.
 */
import { averagedSpectra, type Spectra } from "../spectra/averaged";
import { densityFactor } from "../spectra/pool";
import { defaultWindowLength } from "./transfer-function";

/**
 * Density of the noise in recordings in which nothing plays.
 *
 * @param channels  samples, of one length
 * @param sampleRate  of these recordings, hertz
 * @param frequency  wanted, hertz, ascending; beyond half the sample rate the last value known is repeated
 * @returns mean square per hertz, a mean over a third of an octave, for each channel
 * @throws RangeError when the recordings are shorter than a window of a twelfth of a second or so
 * @source Welch, IEEE Trans. Audio Electroacoust. AU-15 (1967); check: scipy.signal.welch, tests/measurement/transfer/noise.test.ts
 */
export function noiseDensity(
  channels: readonly Float64Array[],
  sampleRate: number,
  frequency: Float64Array,
): Float64Array[] {
  const length = Math.min(...channels.map((samples) => samples.length));
  const shortest = defaultWindowLength(sampleRate) / 4;
  if (!(length >= shortest)) {
    throw new RangeError(`the noise has ${length} samples, expected ${shortest} or more`);
  }
  const windowLength = Math.min(4 * shortest, 2 ** Math.floor(Math.log2(length)));
  const spectra = averagedSpectra(channels[0], channels, { windowLength, overlap: 0.5 });
  const factor = densityFactor(spectra, sampleRate);
  return spectra.microphones.map(({ power }) => smoothed(power, factor, sampleRate, frequency));
}

/**
 * Density of the noise while something plays, with no stretch of quiet to tell it by.
 *
 * Given time enough, reverberation is coherent with what was sent and noise never is. What is incoherent in windows of some
 * seconds is noise and a small rest of late reverberation, which falls with the square of the window's length: from two lengths
 * follows what an endless one would leave. Air that moves and clocks that drift count as noise here.
 *
 * @param reference  what was sent, samples
 * @param signals  what each microphone heard, samples, same clock
 * @param sampleRate  hertz
 * @param frequency  wanted, hertz, ascending
 * @param delays  by which each microphone trails the reference, seconds
 * @returns mean square per hertz for each microphone; undefined where the recording is shorter than 2 s or so
 * @source Bendat and Piersol, Random Data (4th edition), section 6.1 (coherent output power) and 9.2.2 (its bias, 1/n); extrapolation
 *   over the window's length by Richardson's rule: own way; check: tests/measurement/transfer/noise.test.ts
 */
export function noiseWhilePlaying(
  reference: Float64Array,
  signals: readonly Float64Array[],
  sampleRate: number,
  frequency: Float64Array,
  delays: readonly number[],
): Float64Array[] | undefined {
  const whole = delays.map((t) => Math.round(t * sampleRate));
  const lead = Math.max(0, ...whole) - Math.min(0, ...whole);
  const length = Math.min(reference.length, ...signals.map((samples) => samples.length));
  // Four windows side by side at least, and none beyond six seconds.
  const long = 2 ** Math.floor(Math.log2(Math.min(6 * sampleRate, (length - lead) / 4)));
  if (!(long >= sampleRate / 2)) return undefined;
  const [far, near] = [long, long / 2].map((windowLength) => {
    const spectra = averagedSpectra(reference, signals, { windowLength, overlap: 0.5, delays: whole });
    const factor = densityFactor(spectra, sampleRate);
    return signals.map((_, i) => smoothed(incoherent(spectra, i), factor, sampleRate, frequency));
  });
  return far.map((density, i) => density.map((x, k) => Math.max(0, x + (x - near[i][k]) / 3)));
}

/** Power at a microphone that the reference doesn't explain, at each bin, free of the bias that few averages bring. */
function incoherent({ reference, microphones, averages }: Spectra, microphone: number): Float64Array {
  const { power, crossRe, crossIm } = microphones[microphone];
  return power.map((yy, k) => {
    const explained = reference[k] > 0 ? (crossRe[k] ** 2 + crossIm[k] ** 2) / reference[k] : 0;
    return Math.max(0, yy - explained) / (1 - 1 / averages);
  });
}

/** Mean over a third of an octave around each frequency, and over three bins at least. */
function smoothed(
  power: Float64Array,
  factor: number,
  sampleRate: number,
  frequency: Float64Array,
): Float64Array {
  const step = sampleRate / (2 * (power.length - 1));
  const last = power.length - 2;
  const sums = new Float64Array(power.length + 1);
  for (let k = 0; k < power.length; k++) sums[k + 1] = sums[k] + power[k];
  return frequency.map((f) => {
    const middle = Math.min(last, Math.max(1, Math.round(f / step)));
    const from = Math.max(1, Math.min(middle - 1, Math.round(f / step / 2 ** (1 / 6))));
    const to = Math.min(last, Math.max(middle + 1, Math.round((f / step) * 2 ** (1 / 6))));
    const first = Math.min(from, to - 1);
    return (factor * (sums[to + 1] - sums[first])) / (to + 1 - first);
  });
}
