/**
 * Transfer function from a reference to a microphone, by averaged spectra.
 */
import type { Response } from "../../acoustics/response";
import { averagedSpectra, crossWithout, type Spectra } from "../spectra/averaged";
import type { WindowShape } from "../spectra/windows";
import { requireDelay, requireSampleRate } from "../wav/sampling-limits";

export interface TransferFunctionOptions {
  /** Samples in a segment, a power of two. Default: the nearest to a third of a second (16,384 at 48 kHz). */
  readonly windowLength?: number;
  /** Shape of the window. Default "hann". */
  readonly window?: WindowShape;
  /** Fraction of a segment that the next one repeats, 0 to less than 1. Default 0.75. */
  readonly overlap?: number;
  /**
   * Seconds by which the signal trails the reference; taken out before the window, and so out of the phase. Default 0.
   * Without it a late signal slides out of the window: level and coherence read low by about delay / window.
   */
  readonly delay?: number;
  /** H1 (default) leaves out noise at the microphone, H2 noise in the reference. |H1| ≤ |H| ≤ |H2| when both are noisy. */
  readonly estimator?: "H1" | "H2";
}

/**
 * Transfer function from the reference to one microphone, with coherence and number of averages.
 *
 * H1 = Sxy / Sxx, coherence γ² = |Sxy|² / (Sxx Syy). Coherence from few averages reads high: that of unrelated
 * signals is about 1 / averages.
 *
 * @param reference  what was sent, samples
 * @param signal  what the microphone heard, samples, same clock; the shorter of the two decides
 * @param sampleRate  hertz
 * @param options  window, samples; overlap; delay, seconds; estimator
 * @returns response on the transform's frequencies from one bin up to half the sample rate; a ratio
 * @throws RangeError when the recording is shorter than one window or holds a value that is no number
 * @source Bendat and Piersol, Random Data (4th edition), chapters 6 and 9; Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio Electroacoust. AU-15 (1967); check: tests/measurement/transfer/transfer-function.test.ts
 * @example
 * const sent = Float64Array.from({ length: 48000 }, () => Math.random() - 0.5);
 * const heard = sent.map((v) => v / 2); // 6 dB down
 * const { re, im, coherence } = measure.transferFunction(sent, heard, 48000);
 * acoustics.level.ofAmplitude(Math.hypot(re[100], im[100])) // -6.02
 */
export function transferFunction(
  reference: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  options: TransferFunctionOptions = {},
): Response {
  return transferFunctions(reference, [signal], sampleRate, { ...options, delays: [options.delay ?? 0] })[0];
}

/**
 * Transfer functions of several microphones against one reference: each channel is transformed once.
 *
 * @param reference  samples
 * @param signals  one array per microphone
 * @param sampleRate  hertz
 * @param options  as for one microphone; `delays` in seconds, one per microphone
 * @returns one response per microphone
 * @throws RangeError as for one microphone
 */
export function transferFunctions(
  reference: Float64Array,
  signals: readonly Float64Array[],
  sampleRate: number,
  options: Omit<TransferFunctionOptions, "delay"> & { readonly delays?: readonly number[] } = {},
): Response[] {
  requireSampleRate(sampleRate);
  const windowLength = options.windowLength ?? defaultWindowLength(sampleRate);
  const delays = signals.map((_, i) => options.delays?.[i] ?? 0);
  for (const delay of delays) requireDelay("delay", delay);
  const length = Math.min(reference.length, ...signals.map((s) => s.length));
  // Before memory for it is asked for.
  if (windowLength > length) throw tooShort(length, sampleRate, windowLength);
  const whole = delays.map((t) => Math.round(t * sampleRate));
  const spectra = averagedSpectra(reference, signals, { ...options, windowLength, delays: whole });
  if (spectra.segments === 0) throw tooShort(length, sampleRate, windowLength);
  return delays.map((delay, i) =>
    responseFromSpectra(spectra, i, sampleRate, {
      estimator: options.estimator,
      remainingDelay: delay - whole[i] / sampleRate,
    }),
  );
}

const tooShort = (length: number, sampleRate: number, windowLength: number): RangeError =>
  new RangeError(
    `recording has ${length} samples (${(length / sampleRate).toFixed(2)} s), which is less than one window of ${windowLength} after its delay: record longer or choose a shorter window`,
  );

/** Power of two nearest to a third of a second. */
export function defaultWindowLength(sampleRate: number): number {
  return 2 ** Math.round(Math.log2(sampleRate / 3));
}

/**
 * Response of one microphone from averaged spectra.
 *
 * @param spectra  sums over segments
 * @param microphone  which one, from 0
 * @param sampleRate  hertz
 * @param options  estimator, and seconds of delay still to be taken out of the phase
 * @returns response from one bin up to half the sample rate; where the reference is silent it is 0 with coherence 0
 */
export function responseFromSpectra(
  spectra: Spectra,
  microphone: number,
  sampleRate: number,
  {
    estimator = "H1",
    remainingDelay = 0,
  }: { readonly estimator?: "H1" | "H2"; readonly remainingDelay?: number } = {},
): Response {
  const bins = spectra.windowLength / 2;
  const { power, crossRe, crossIm } = spectra.microphones[microphone];
  const cross = crossWithout(remainingDelay, spectra, microphone, sampleRate);
  const frequency = new Float64Array(bins);
  const re = new Float64Array(bins);
  const im = new Float64Array(bins);
  const coherence = new Float64Array(bins);
  const noiseFloor = silentBelow(spectra.reference, power);
  for (let i = 0; i < bins; i++) {
    const k = i + 1;
    frequency[i] = (k * sampleRate) / spectra.windowLength;
    const sxx = spectra.reference[k];
    const syy = power[k];
    const sxy = crossRe[k] ** 2 + crossIm[k] ** 2;
    if (!(sxx > noiseFloor && syy > noiseFloor && sxy > 0)) continue;
    const gain = estimator === "H1" ? 1 / sxx : syy / sxy;
    re[i] = gain * cross.re[k];
    im[i] = gain * cross.im[k];
    coherence[i] = Math.min(1, sxy / sxx / syy);
  }
  return { frequency, re, im, coherence, averages: new Float64Array(bins).fill(spectra.averages) };
}

/** Channels that share a transform leave each other its rounding, some −300 dB: less than this counts as nothing. */
export function silentBelow(reference: Float64Array, microphone: Float64Array): number {
  let most = 0;
  for (let k = 0; k < reference.length; k++) most = Math.max(most, reference[k], microphone[k]);
  return 1e-27 * most;
}
