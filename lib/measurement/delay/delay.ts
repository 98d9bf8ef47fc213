/**
 * Delay of a microphone against the reference: candidates from the impulse response, with their uncertainty.
 */

import { laggedSpectra } from "../spectra/lagged";
import { requireDelay, requireSampleRate } from "../wav/sampling-limits";
import { type AnalyticResponse, type Arrival, findArrivals } from "./arrivals";
import { weightByCoherence } from "./coherence-weight";

export interface DelayOptions {
  /** Earliest delay looked for, seconds; negative means that the signal leads. Default −0.05. */
  readonly from?: number;
  /** Latest delay looked for, seconds. Default 0.5. */
  readonly to?: number;
  /**
   * Hertz, 10 or more apart; search in this band only, such as 30 to 120 for subs. The peak is then as broad as the band is
   * narrow. Default: up to half the sample rate.
   */
  readonly band?: { readonly from: number; readonly to: number };
  /** At most so many candidates. Default 5. */
  readonly count?: number;
  /** Candidates weaker than this are left out, dB below the strongest. Default 20. */
  readonly range?: number;
  /** Which candidate to choose, where `time` does not say it. Default "strongest". */
  readonly choose?: "strongest" | "first";
  /** The user's own delay, seconds: used whatever the search says. */
  readonly time?: number;
}

export interface DelayCandidate {
  /** Delay, seconds; positive is later. */
  readonly time: number;
  /** Height of the impulse response's envelope there, dB below the strongest (0 for the strongest itself). */
  readonly strength: number;
  /** Height above the response's background (its median over the search range), dB. */
  readonly sharpness: number;
  /** Half width of the interval that holds the arrival with 95 % confidence, seconds. */
  readonly uncertainty: number;
  /** Sign of the response at the peak: −1 where the arrival is inverted. */
  readonly polarity: 1 | -1;
  /** Whether it stands above what chance alone makes of unrelated signals once in a thousand searches. */
  readonly reliable: boolean;
}

export interface DelayResult {
  /** Strongest first; at least one. */
  readonly candidates: readonly DelayCandidate[];
  /** The one to use. */
  readonly chosen: DelayCandidate;
  /** True where it is the user's own time. */
  readonly manual: boolean;
}

/**
 * Finds how much later than its reference a signal arrives, such as the sound at a microphone after what was sent.
 *
 * The impulse response is that of the cross-spectrum, whitened and weighted by coherence, so that bands in noise do
 * not spoil the peak. Peaks are those of its envelope, which ignores polarity and a constant turn of phase.
 * A loudspeaker's own phase (its crossover, the low cut of a sub) moves the peak of a band: that is no error of
 * the search, and the uncertainty covers the width of the peak for this reason. Beside a peak (1 ms, or three widths)
 * only what is within 10 dB of it counts as an arrival of its own.
 *
 * @param reference  what was sent, samples
 * @param signal  what the microphone heard, samples, same clock
 * @param sampleRate  hertz
 * @param options  range of delays, seconds; band, hertz; number of candidates; choice
 * @returns candidates with their delays in seconds, and the chosen one; check `reliable` before using it
 * @throws RangeError when a range is empty, a band is narrower than 10 Hz or reaches beyond half the sample rate, or the
 *   reference or the signal is silent in the band
 * @source Knapp and Carter, The generalized correlation method for estimation of time delay, IEEE Trans. Acoust. Speech Signal Process. ASSP-24 (1976), table I and equation 31; check: tests/measurement/delay/delay.test.ts
 * @example
 * const sent = Float64Array.from({ length: 48000 }, () => Math.random() - 0.5);
 * const heard = sent.map((_, n) => sent[n - 480] ?? 0); // 480 samples later
 * measure.estimateDelay(sent, heard, 48000).chosen.time // 0.010
 */
export function estimateDelay(
  reference: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  options: DelayOptions = {},
): DelayResult {
  const { from = -0.05, to = 0.5, count = 5, range = 20, choose = "strongest" } = options;
  const band = options.band ?? { from: 0, to: sampleRate / 2 };
  check(from, to, band, sampleRate);
  const firstLag = Math.floor(from * sampleRate);
  const lags = Math.ceil(to * sampleRate) - firstLag + 1;
  const spectra = laggedSpectra(reference, signal, firstLag, lags);
  const seconds = Math.min(reference.length, signal.length) / sampleRate;
  const weighted = weightByCoherence(spectra, sampleRate, band, lags, seconds);
  const { response, shape, centre } = weighted;

  const background = medianPower(response);
  const halfWidth = widthOfPeak(shape, centre) / sampleRate;
  const arrivals = apart(
    findArrivals(copy(response), shape, centre, 2 * count, 10 ** (-range / 20)),
    halfWidth * sampleRate,
    Math.max(0.001, 6 * halfWidth) * sampleRate,
  ).slice(0, count);
  const chance = background * Math.log(lags / 0.001);
  const candidates = arrivals
    .map((arrival) => {
      const fraction = arrival.height / arrivals[0].height;
      const noise = weighted.timingError / fraction;
      return {
        time: (firstLag + arrival.index) / sampleRate,
        strength: 20 * Math.log10(fraction),
        sharpness: 10 * Math.log10(arrival.height ** 2 / Math.max(background, 1e-30 * arrival.height ** 2)),
        uncertainty: Math.hypot(halfWidth, 1.96 * noise),
        polarity: arrival.re < 0 ? (-1 as const) : (1 as const),
        reliable: arrival.height ** 2 > chance,
      };
    })
    .filter((candidate, i) => i === 0 || candidate.reliable);
  return pick(candidates, choose, options.time);
}

/**
 * Leaves out what is no arrival of its own: closer to a stronger one than two can be told apart, or close to it and
 * 10 dB weaker. That is what a loudspeaker's phase, turning over the band, leaves beside a peak.
 *
 * @param halfWidth  of a single arrival's peak, samples
 * @param close  samples that count as close
 */
function apart(arrivals: readonly Arrival[], halfWidth: number, close: number): Arrival[] {
  return arrivals.filter((a, i) =>
    arrivals.slice(0, i).every((b) => {
      const gap = Math.abs(a.index - b.index);
      return gap > close || (gap > 2 * halfWidth && a.height > 0.316 * b.height);
    }),
  );
}

function pick(
  candidates: DelayCandidate[],
  choose: "strongest" | "first",
  time: number | undefined,
): DelayResult {
  if (time !== undefined) {
    const near = candidates.find((c) => Math.abs(c.time - time) <= c.uncertainty);
    const chosen: DelayCandidate = {
      ...(near ?? { strength: -Infinity, sharpness: 0, polarity: 1, reliable: false }),
      time,
      uncertainty: 0,
    };
    return { candidates, chosen, manual: true };
  }
  const first = candidates.reduce((a, b) => (b.time < a.time ? b : a));
  return { candidates, chosen: choose === "first" ? first : candidates[0], manual: false };
}

function check(from: number, to: number, band: { from: number; to: number }, sampleRate: number): void {
  requireSampleRate(sampleRate);
  requireDelay("earliest delay", from);
  requireDelay("latest delay", to);
  if (!(to > from)) throw new RangeError(`delays from ${from} to ${to} s: expected the first to be earlier`);
  if (band.to - band.from < 10) {
    throw new RangeError(`band is ${band.from} to ${band.to} Hz, expected 10 Hz or more between them`);
  }
  if (!(band.from >= 0 && band.to > band.from && band.to <= sampleRate / 2)) {
    throw new RangeError(
      `band is ${band.from} to ${band.to} Hz, expected a lower and a higher frequency up to ${sampleRate / 2} Hz`,
    );
  }
}

/** Mean square of a background of complex noise, from its median (an exponential law: median = mean · ln 2). */
function medianPower({ re, im }: AnalyticResponse): number {
  // A few thousand lags tell the median well enough.
  const stride = Math.ceil(re.length / 4096);
  const squares = Float64Array.from({ length: Math.floor(re.length / stride) }, (_, j) => {
    const i = j * stride;
    return re[i] * re[i] + im[i] * im[i];
  }).sort();
  return squares[squares.length >> 1] / Math.LN2;
}

/** Half the width of the envelope of a single arrival 1 dB below its top, samples. */
function widthOfPeak({ re, im }: AnalyticResponse, centre: number): number {
  const limit = 10 ** (-1 / 10) * (re[centre] ** 2 + im[centre] ** 2);
  let before = re[centre] ** 2 + im[centre] ** 2;
  for (let i = centre + 1; i < re.length; i++) {
    const square = re[i] ** 2 + im[i] ** 2;
    if (square < limit) return i - 1 - centre + (before - limit) / (before - square);
    before = square;
  }
  return re.length - 1 - centre;
}

const copy = ({ re, im }: AnalyticResponse): AnalyticResponse => ({ re: re.slice(), im: im.slice() });
