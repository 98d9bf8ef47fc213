/**
 * The impulse response of a cross-spectrum, its bands levelled and those in noise held down.
 */

import type { LaggedSpectra } from "../spectra/lagged";
import type { AnalyticResponse } from "./arrivals";

export interface WeightedResponse {
  /** Analytic impulse response, from the first lag on. */
  readonly response: AnalyticResponse;
  /** What a single arrival of height 1 looks like under the same weight, its peak at `centre`. */
  readonly shape: AnalyticResponse;
  readonly centre: number;
  /** Standard deviation that noise alone leaves on the strongest arrival's time, seconds. */
  readonly timingError: number;
}

/**
 * Two steps. With the smoothed coherence transform, Sxy / √(Sxx Syy), the strongest arrival is found. With its delay
 * taken out, cross-spectra may be averaged over neighbouring frequencies, which tells the coherence γ²; with that
 * the response is deconvolved by Wiener's filter, Sxy / (Sxx + noise), and levelled by its own smoothed magnitude.
 * Levelling by the magnitude of each bin instead would make false arrivals out of every true pair.
 *
 * @param spectra  lagged spectra
 * @param sampleRate  hertz
 * @param band  hertz; its edges are rounded off over a tenth of the band each
 * @param lags  number of lags wanted
 * @param seconds  length of the recording
 * @throws RangeError when the reference or the signal is silent in the band
 * @source Knapp and Carter, IEEE Trans. Acoust. Speech Signal Process. ASSP-24 (1976), table I (smoothed coherence
 * transform) and section III (least variance); for an envelope the frequency counts from the band's centroid
 */
export function weightByCoherence(
  spectra: LaggedSpectra,
  sampleRate: number,
  band: { readonly from: number; readonly to: number },
  lags: number,
  seconds: number,
): WeightedResponse {
  const { size, reference, signal, crossRe, crossIm } = spectra;
  const step = sampleRate / size;
  const low = Math.max(1, Math.ceil(band.from / step));
  const high = Math.min(size / 2 - 1, Math.floor(band.to / step));
  const bins = { low, high, taper: bandTaper(low, high, band.from === 0) };
  requireSound(reference, signal, bins);

  const weight = new Float64Array(size / 2);
  for (let k = low; k <= high; k++) {
    const product = reference[k] * signal[k];
    weight[k] = product > 0 ? bins.taper[k - low] / Math.sqrt(product) : 0;
  }
  const first = strongest(responseOf(spectra, crossRe, crossIm, weight, bins, lags));

  const coherence = coherenceAround(spectra, first, bins);
  // Nothing coherent at all: the first step's weight is as good as any, and its peaks will not be called reliable.
  if (coherence.every((g) => g === 0)) coherence.fill(1e-6);
  const trend = trends(spectra, coherence, bins);
  const single = new Float64Array(size / 2);
  for (let k = low; k <= high; k++) {
    const i = k - low;
    const sent = trend.sent[i];
    const coherent = trend.coherent[i];
    weight[k] = 0;
    if (!(coherent > 0 && sent > 0)) continue;
    const gain = bins.taper[i] / (reference[k] + (sent * trend.noise[i]) / coherent);
    weight[k] = gain * Math.sqrt(sent / coherent);
    single[k] = gain * reference[k];
  }
  return {
    response: responseOf(spectra, crossRe, crossIm, weight, bins, lags),
    ...shapeOf(spectra, single, bins, lags),
    timingError: leastError(coherence, bins, step, seconds),
  };
}

interface Bins {
  readonly low: number;
  readonly high: number;
  /** From `low` on. */
  readonly taper: Float64Array;
}

/** 1 inside the band, falling to 0 over a tenth of it at either edge (at 0 Hz there is no edge to round). */
function bandTaper(low: number, high: number, open: boolean): Float64Array {
  const edge = Math.max(1, (high - low) / 10);
  const taper = new Float64Array(Math.max(0, high - low + 1)).fill(1);
  for (let i = 0; i < Math.min(edge, taper.length); i++) {
    const value = Math.sin((Math.PI / 2) * Math.min(1, (i + 1) / edge)) ** 2;
    taper[taper.length - 1 - i] *= value;
    if (!open) taper[i] *= value;
  }
  return taper;
}

function requireSound(reference: Float64Array, signal: Float64Array, { low, high }: Bins): void {
  let sent = 0;
  let heard = 0;
  for (let k = low; k <= high; k++) {
    sent += reference[k];
    heard += signal[k];
  }
  // The two share a transform, which leaves some −300 dB of one in the other.
  for (const [name, energy, other] of [
    ["reference", sent, heard],
    ["signal", heard, sent],
  ] as const) {
    if (!Number.isFinite(energy)) throw new RangeError(`the ${name} holds a sample that is no finite number`);
    if (!(energy > 1e-26 * other))
      throw new RangeError(`the ${name} is silent in the band searched: no delay can be found`);
  }
}

/** Analytic response of a one-sided spectrum: its inverse transform has the Hilbert transform as imaginary part. */
function responseOf(
  { transform }: LaggedSpectra,
  re: Float64Array,
  im: Float64Array,
  weight: Float64Array,
  { low, high }: Bins,
  lags: number,
): AnalyticResponse {
  transform.re.fill(0);
  transform.im.fill(0);
  for (let k = low; k <= high; k++) {
    transform.re[k] = weight[k] * re[k];
    transform.im[k] = weight[k] * im[k];
  }
  transform.inverse();
  return { re: transform.re.slice(0, lags), im: transform.im.slice(0, lags) };
}

function shapeOf(
  { transform, size }: LaggedSpectra,
  weight: Float64Array,
  { low, high }: Bins,
  lags: number,
): { shape: AnalyticResponse; centre: number } {
  let sum = 0;
  for (let k = low; k <= high; k++) sum += weight[k];
  transform.re.fill(0);
  transform.im.fill(0);
  for (let k = low; k <= high; k++) transform.re[k] = (weight[k] * size) / (sum || 1);
  transform.inverse();
  // Beyond some thirty periods of the bandwidth a single arrival has died away.
  const centre = Math.min(lags, size / 2 - 1, Math.ceil((30 * size) / (high - low + 1)));
  const around = (from: Float64Array) => {
    const shape = new Float64Array(2 * centre + 1);
    shape.set(from.subarray(0, centre + 1), centre);
    shape.set(from.subarray(size - centre), 0);
    return shape;
  };
  return { shape: { re: around(transform.re), im: around(transform.im) }, centre };
}

function strongest({ re, im }: AnalyticResponse): number {
  let best = 0;
  let height = -1;
  for (let i = 0; i < re.length; i++) {
    const square = re[i] * re[i] + im[i] * im[i];
    if (square > height) {
      height = square;
      best = i;
    }
  }
  return best;
}

/** Coherence over neighbouring frequencies (about a sixteenth of an octave) once the delay is out, less its chance level. */
function coherenceAround(
  { size, blocks, reference, signal, crossRe, crossIm }: LaggedSpectra,
  delay: number,
  { low, high }: Bins,
): Float64Array {
  const count = high - low + 1;
  const re = new Float64Array(count);
  const im = new Float64Array(count);
  // One factor turns the next: of up to millions of bins no cosine is computed.
  const angle = (2 * Math.PI * delay) / size;
  const [stepRe, stepIm] = [Math.cos(angle), Math.sin(angle)];
  let [c, s] = [Math.cos(angle * low), Math.sin(angle * low)];
  for (let i = 0; i < count; i++) {
    re[i] = crossRe[low + i] * c - crossIm[low + i] * s;
    im[i] = crossRe[low + i] * s + crossIm[low + i] * c;
    [c, s] = [c * stepRe - s * stepIm, s * stepRe + c * stepIm];
  }
  const [sx, sy, sr, si] = [reference.subarray(low, high + 1), signal.subarray(low, high + 1), re, im].map(
    (x) => slidingMean(x, low, 8, 1 / 48),
  );
  for (let i = 0; i < count; i++) {
    const chance = 1 / ((2 * Math.max(8, Math.round((low + i) / 48)) + 1) * blocks);
    const square = (sr[i] * sr[i] + si[i] * si[i]) / (sx[i] * sy[i] || 1);
    sx[i] = Math.min(1, Math.max(0, (square - chance) / (1 - chance)));
  }
  return sx;
}

/** Broad means (two thirds of an octave) of what was sent, and of the coherent and the noisy part of what was heard. */
function trends({ reference, signal }: LaggedSpectra, coherence: Float64Array, { low, high }: Bins) {
  const coherent = new Float64Array(coherence.length);
  const noise = new Float64Array(coherence.length);
  for (let i = 0; i < coherence.length; i++) {
    coherent[i] = signal[low + i] * coherence[i];
    noise[i] = signal[low + i] - coherent[i];
  }
  const mean = (values: Float64Array) => slidingMean(values, low, 64, 1 / 4);
  return { sent: mean(reference.subarray(low, high + 1)), coherent: mean(coherent), noise: mean(noise) };
}

/** Mean over neighbours to either side, cut at the ends: `share` of the bin's number `low + i`, at least `least`. */
function slidingMean(values: Float64Array, low: number, least: number, fraction: number): Float64Array {
  const count = values.length;
  const sums = new Float64Array(count + 1);
  const means = new Float64Array(count);
  for (let i = 0; i < count; i++) sums[i + 1] = sums[i] + values[i];
  for (let i = 0; i < count; i++) {
    const reach = Math.max(least, Math.round((low + i) * fraction));
    const a = Math.max(0, i - reach);
    const b = Math.min(count, i + reach + 1);
    means[i] = (sums[b] - sums[a]) / (b - a);
  }
  return means;
}

/** Least standard deviation of a delay taken from an envelope: 1 / √(2T ∫ (2π (f − f̄))² γ² / (1 − γ²) df). */
function leastError(coherence: Float64Array, { taper }: Bins, step: number, seconds: number): number {
  let total = 0;
  let moment = 0;
  let square = 0;
  for (let i = 0; i < coherence.length; i++) {
    const information = (taper[i] * coherence[i]) / (1 - coherence[i] + 1e-9);
    total += information;
    moment += information * i;
    square += information * i * i;
  }
  const spread = (square - moment ** 2 / (total || 1)) * (2 * Math.PI * step) ** 2 * step;
  return 1 / Math.sqrt(2 * seconds * Math.max(spread, 1e-300));
}
