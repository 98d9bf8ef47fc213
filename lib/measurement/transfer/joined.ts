/**
 * Transfer functions with long windows for low frequencies and short ones for high, joined without a step.
 *
 * A long window resolves the lows; at high frequencies it would take in late reflections that the ear keeps apart and
 * leave few averages. Between two lengths the estimate passes gradually from one to the other.
 */
import { logGrid } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { averageSpectra } from "../spectra/averaged";
import { type PooledResponse, poolSpectra } from "../spectra/pool";
import type { WindowShape } from "../spectra/windows";
import { requireDelay, requireSampleRate } from "../wav/sampling-limits";

export interface JoinedOptions {
  /** Frequencies wanted, hertz, ascending. Default: 240 from 20 Hz to 16 kHz (at most 0.45 of the sample rate) on a logarithmic grid. */
  readonly frequency?: Float64Array;
  /** Lengths of the windows, samples, powers of two. Default: from about 1.4 s down to 20 ms in steps of four. */
  readonly windowLengths?: readonly number[];
  /** Number of periods that the window should hold at each frequency. Default 36. */
  readonly periods?: number;
  /** Shape of the windows. Default "hann". */
  readonly window?: WindowShape;
  /** Fraction of a window that the next one repeats, 0 to less than 1. Default 0.75. */
  readonly overlap?: number;
  /** Seconds by which each microphone trails the reference, taken out before the window and out of the phase. Default 0. */
  readonly delays?: readonly number[];
}

export interface JoinedAverage {
  /** Takes the next samples: blocks of one common length, of any length from call to call. */
  feed(reference: Float64Array, microphones: readonly Float64Array[]): void;
  /** What was fed so far and what comes next don't belong together. */
  cut(): void;
  /**
   * Responses from everything fed so far, one per microphone, with the powers they were made of.
   *
   * @param noise  density of the noise at each microphone, mean square per hertz, where it is known
   */
  result(noise?: readonly (Float64Array | undefined)[]): PooledResponse[];
  /** Gives the memory back for the next average; optional, and the last thing to call. */
  close(): void;
}

/**
 * Transfer functions of several microphones, by long windows for low frequencies and short ones for high, joined without a
 * step.
 *
 * A long window resolves the lows; at high frequencies it would take in late reflections that the ear keeps apart and
 * leave few averages. Between two lengths the estimate passes gradually from one to the other.
 *
 * @param reference  what was sent, samples
 * @param signals  what each microphone heard, samples, same clock; the shortest decides
 * @param sampleRate  hertz
 * @param options  frequencies, hertz; windows, samples; delays, seconds
 * @returns one response per microphone, a ratio, with coherence and effective number of averages
 * @throws RangeError when the recording is shorter than the shortest window after its delay, or an option is out of its range
 * @source Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio Electroacoust. AU-15 (1967); Bendat and Piersol, Random Data (4th edition), chapter 9; joining of windows: own way, no outside source; check: tests/measurement/transfer/transfer-function.test.ts
 * @example
 * const sent = Float64Array.from({ length: 96000 }, () => Math.random() - 0.5);
 * const heard = sent.map((_, n) => (sent[n - 480] ?? 0) / 2); // 10 ms later, 6 dB down
 * const [{ re, im }] = measure.joinedTransferFunctions(sent, [heard], 48000, { delays: [0.01] });
 * acoustics.level.ofAmplitude(Math.hypot(re[120], im[120])) // -6.02
 */
export function joinedTransferFunctions(
  reference: Float64Array,
  signals: readonly Float64Array[],
  sampleRate: number,
  options: JoinedOptions = {},
): Response[] {
  const length = Math.min(reference.length, ...signals.map((s) => s.length));
  const average = joinedAverage(signals.length, sampleRate, options);
  average.feed(
    reference.subarray(0, length),
    signals.map((s) => s.subarray(0, length)),
  );
  const responses = average.result();
  average.close();
  return responses;
}

/**
 * The same for recordings too long to hold: feed them block by block.
 *
 * @param microphones  number of microphones
 * @param sampleRate  hertz
 * @param options  frequencies, windows, delays
 */
export function joinedAverage(
  microphones: number,
  sampleRate: number,
  options: JoinedOptions = {},
): JoinedAverage {
  requireSampleRate(sampleRate);
  const { periods = 36, window = "hann", overlap = 0.75 } = options;
  const frequency = options.frequency ?? logGrid(20, Math.min(16000, 0.45 * sampleRate), 240);
  const longest = 2 ** Math.round(Math.log2(1.4 * sampleRate));
  const lengths = [
    ...(options.windowLengths ?? [longest, longest / 4, longest / 16, longest / 64].filter((n) => n >= 8)),
  ].sort((a, b) => b - a);
  const delays = Array.from({ length: microphones }, (_, i) => options.delays?.[i] ?? 0);
  for (const delay of delays) requireDelay("delay", delay);
  const whole = delays.map((t) => Math.round(t * sampleRate));
  const averages = lengths.map((windowLength, i) =>
    averageSpectra(microphones, { windowLength, window, overlap, delays: whole, seen: i > 0 }),
  );
  return {
    feed(reference, blocks) {
      for (const average of averages) average.feed(reference, blocks);
    },
    cut() {
      for (const average of averages) average.cut();
    },
    result(noise) {
      const all = averages.map((average) => average.result());
      const enough = all.filter((s) => s.averages >= 2);
      const spectra = enough.length > 0 ? enough : all.filter((s) => s.segments > 0);
      if (spectra.length === 0) {
        throw new RangeError(
          `recording is shorter than the shortest window (${lengths[lengths.length - 1]} samples) after its delay: record longer or choose shorter windows`,
        );
      }
      return delays.map((delay, i) => {
        const parts = spectra.map((s) =>
          poolSpectra(s, i, sampleRate, frequency, {
            remainingDelay: delay - whole[i] / sampleRate,
            window,
            noise: noise?.[i],
          }),
        );
        return join(
          parts,
          spectra.map((s) => s.windowLength),
          periods * sampleRate,
        );
      });
    },
    close() {
      for (const average of averages) average.close();
    },
  };
}

/**
 * Passes from one length to the next over the whole way between them, by a raised cosine over log frequency.
 *
 * Powers are mixed and coherence follows from them: what a long window keeps coherent and a short one doesn't is in the
 * whole power of both, while |H|²/γ² of an H and a γ² mixed apart is less than either.
 */
function join(
  parts: readonly PooledResponse[],
  lengths: readonly number[],
  samplesTimesHertz: number,
): PooledResponse {
  const { frequency } = parts[0];
  const n = frequency.length;
  const out = {
    // The power needs no short window: the longest resolves it best.
    ...parts[0],
    re: new Float64Array(n),
    im: new Float64Array(n),
    coherence: new Float64Array(n),
    averages: new Float64Array(n),
  };
  for (let i = 0; i < n; i++) {
    const wanted = samplesTimesHertz / frequency[i];
    const shorter = lengths.findIndex((length) => length <= wanted);
    const b = shorter < 0 ? lengths.length - 1 : shorter;
    const a = Math.max(0, shorter < 0 ? b : b - 1);
    const way = a === b ? 1 : Math.log(lengths[a] / wanted) / Math.log(lengths[a] / lengths[b]);
    const fraction = 0.5 - 0.5 * Math.cos(Math.PI * way);
    const mix = (x: Float64Array, y: Float64Array) => x[i] + fraction * (y[i] - x[i]);
    out.re[i] = mix(parts[a].re, parts[b].re);
    out.im[i] = mix(parts[a].im, parts[b].im);
    out.averages[i] = mix(parts[a].averages!, parts[b].averages!);
    const coherent = out.re[i] ** 2 + out.im[i] ** 2;
    out.coherence[i] = out.whole[i] > 0 ? Math.min(1, coherent / out.whole[i]) : 0;
  }
  return out;
}
