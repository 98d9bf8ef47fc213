/**
 * The noise at microphones: from a stretch in which nothing plays, or, where there is none, from what long windows leave.
 *
 * Noise is smooth over frequency and is told as a density, mean square per hertz, so that it can be set beside what was sent
 * in any other window, length and sample rate.
 */
import { averagedSpectra, type Piece, type Spectra } from "../spectra/averaged";
import { densityFactor } from "../spectra/pool";
import { defaultWindowLength } from "./transfer-function";
import type { Explained, Playing } from "./unexplained";

/**
 * Density of the noise in recordings in which nothing plays.
 *
 * @param channels  samples, of one length
 * @param sampleRate  of these recordings, hertz
 * @param frequency  wanted, hertz, ascending; beyond half the sample rate the last value known is repeated
 * @param pieces  of the recordings, samples; all of them by default
 * @returns mean square per hertz, a mean over a third of an octave, for each channel
 * @throws RangeError when the recordings are shorter than a window of a twelfth of a second or so
 * @source Welch, IEEE Trans. Audio Electroacoust. AU-15 (1967); check: scipy.signal.welch, tests/measurement/transfer/noise.test.ts
 */
export function noiseDensity(
  channels: readonly Float64Array[],
  sampleRate: number,
  frequency: Float64Array,
  pieces?: readonly Piece[],
): Float64Array[] {
  const length = Math.min(...channels.map((samples) => samples.length));
  const shortest = defaultWindowLength(sampleRate) / 4;
  if (!(length >= shortest)) {
    throw new RangeError(`the noise has ${length} samples, expected ${shortest} or more`);
  }
  const windowLength = Math.min(4 * shortest, 2 ** Math.floor(Math.log2(length)));
  const spectra = averagedSpectra(channels[0], channels, { windowLength, overlap: 0.5 }, pieces);
  const factor = densityFactor(spectra, sampleRate);
  return spectra.microphones.map(({ power }) => smoothed(power, factor, sampleRate, frequency));
}

/**
 * Density of the noise while something plays, with no stretch of quiet to tell it by.
 *
 * Given time enough, reverberation is coherent with what was sent and noise never is. There are two ways to tell, and both leave some of
 * the sound in: what a response of some seconds leaves unexplained (least for noise and sweeps), and what is incoherent in windows of
 * some seconds (least between the notes of music). The lesser is nearer to the noise. Air that moves and clocks that drift count as
 * noise here.
 *
 * @param playing  the recordings
 * @param frequency  wanted, hertz, ascending
 * @param left  the density that a response leaves at each microphone (`leftByResponse`), where it can be told
 * @returns mean square per hertz for each microphone; undefined where the recording is shorter than 4 s or so
 * @source own way, no outside source; check: tests/measurement/transfer/noise.test.ts
 */
export function noiseWhilePlaying(
  playing: Playing,
  frequency: Float64Array,
  left: readonly Float64Array[],
): Float64Array[] | undefined {
  return leftIncoherent(playing, frequency)?.map((density, i) =>
    left[i] ? density.map((x, k) => Math.min(x, left[i][k])) : density,
  );
}

/** Density of what doesn't follow from the signal at a microphone. */
export const leftByResponse = (
  { rest, fitted }: Explained,
  { sampleRate, pieces }: Pick<Playing, "sampleRate" | "pieces">,
  frequency: Float64Array,
): Float64Array => noiseDensity([rest], sampleRate, frequency, pieces)[0].map((x) => x / (1 - fitted));

/**
 * What is incoherent in windows of some seconds: noise, and a small rest of late reverberation, which falls with the square of the
 * window's length. From two lengths follows what an endless one would leave.
 *
 * @source Bendat and Piersol, Random Data (4th edition), section 6.1 (coherent output power) and 9.2.2 (its bias, 1/n); extrapolation
 *   over the window's length by Richardson's rule: own way
 */
function leftIncoherent(
  { reference, signals, sampleRate, delays, pieces = [[0, Number.POSITIVE_INFINITY]] }: Playing,
  frequency: Float64Array,
): Float64Array[] | undefined {
  const whole = delays.map((t) => Math.round(t * sampleRate));
  const lead = Math.max(0, ...whole) - Math.min(0, ...whole);
  const length = Math.min(reference.length, ...signals.map((samples) => samples.length));
  const used = pieces.map(([from, to]) => Math.min(to, length) - from - lead);
  // Four windows at least, in whatever pieces, and none beyond six seconds.
  const fits = (size: number) => used.reduce((sum, n) => sum + Math.max(0, Math.floor(n / size)), 0) >= 4;
  let long = 2 ** Math.floor(Math.log2(6 * sampleRate));
  while (long >= sampleRate / 2 && !fits(long)) long /= 2;
  if (!(long >= sampleRate / 2)) return undefined;
  const [far, near] = [long, long / 2].map((windowLength) => {
    const options = { windowLength, overlap: 0.5, delays: whole };
    const spectra = averagedSpectra(reference, signals, options, pieces);
    const factor = densityFactor(spectra, sampleRate);
    return signals.map((_, i) => smoothed(incoherent(spectra, i), factor, sampleRate, frequency));
  });
  return far.map((density, i) => density.map((x, k) => Math.max(0, x + (x - near[i][k]) / 3)));
}

/** Power at a microphone that the reference doesn't explain, at each bin, free of the bias that few averages bring. */
function incoherent({ reference, microphones, averages }: Spectra, microphone: number): Float64Array {
  const { power, crossRe, crossIm } = microphones[microphone];
  const rest = power.slice();
  for (let k = 0; k < rest.length; k++) {
    if (reference[k] > 0) rest[k] -= (crossRe[k] ** 2 + crossIm[k] ** 2) / reference[k];
    rest[k] = Math.max(0, rest[k]) / (1 - 1 / averages);
  }
  return rest;
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
