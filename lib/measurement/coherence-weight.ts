/**
 * The impulse response of a cross-spectrum, whitened and weighted by how coherent each frequency is.
 */
import type { AnalyticResponse } from "./arrivals";
import type { LaggedSpectra } from "./lagged-spectra";

export interface WeightedSpectrum {
  /** Analytic impulse response, from the first lag on. */
  readonly response: AnalyticResponse;
  /** What a single arrival of height 1 looks like under this weight, its peak at `centre`. */
  readonly shape: AnalyticResponse;
  readonly centre: number;
  /** Standard deviation that noise alone leaves on the strongest arrival's time, seconds. */
  readonly timingError: number;
}

/**
 * Two steps: with the smoothed coherence transform (weight 1 / √(Sxx Syy)) the strongest arrival is found; with its
 * delay taken out, cross-spectra may be averaged over neighbouring frequencies and tell the coherence, and with it
 * the weight γ² / (1 − γ²) of the maximum-likelihood processor.
 *
 * @param spectra  lagged spectra
 * @param sampleRate  hertz
 * @param band  hertz; edges are rounded off over a fifth of the band
 * @param lags  number of lags wanted
 * @param seconds  length of the recording
 * @throws RangeError when the reference or the signal is silent in the band
 * @source Knapp and Carter (1976), table I (SCOT and HT processors) and equation 31 (least variance)
 */
export function coherenceWeight(
  spectra: LaggedSpectra,
  sampleRate: number,
  band: { readonly from: number; readonly to: number },
  lags: number,
  seconds: number,
): WeightedSpectrum {
  const { size, reference, signal, crossRe, crossIm, transform } = spectra;
  const step = sampleRate / size;
  const low = Math.max(1, Math.ceil(band.from / step));
  const high = Math.min(size / 2 - 1, Math.floor(band.to / step));
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  let heard = 0;
  let sent = 0;
  for (let k = low; k <= high; k++) {
    sent += reference[k];
    heard += signal[k];
    const scale = Math.sqrt(reference[k] * signal[k]);
    if (scale > 0) {
      re[k] = crossRe[k] / scale;
      im[k] = crossIm[k] / scale;
    }
  }
  if (!(sent > 0))
    throw new RangeError("the reference is silent in the band searched: no delay can be found");
  if (!(heard > 0)) throw new RangeError("the signal is silent in the band searched: no delay can be found");
  const taper = bandTaper(low, high, band.from === 0, size / 2 + 1);
  const toResponse = (weight: Float64Array) => {
    transform.re.fill(0);
    transform.im.fill(0);
    for (let k = low; k <= high; k++) {
      transform.re[k] = weight[k] * re[k];
      transform.im[k] = weight[k] * im[k];
    }
    transform.inverse();
    return { re: transform.re.slice(0, lags), im: transform.im.slice(0, lags) };
  };

  const first = strongest(toResponse(taper));
  const coherence = alignedCoherence(re, im, first, low, high, spectra);
  const weight = new Float64Array(size / 2 + 1);
  let total = 0;
  let centroid = 0;
  for (let k = low; k <= high; k++) {
    const magnitude = Math.hypot(re[k], im[k]);
    const g = coherence[k];
    if (magnitude > 0) weight[k] = (taper[k] * g) / (1 - g + 0.05) / magnitude;
    const information = (taper[k] * g) / (1 - g + 1e-6);
    total += information;
    centroid += information * k;
  }
  centroid /= total || 1;
  let curvature = 0;
  for (let k = low; k <= high; k++) {
    const information = (taper[k] * coherence[k]) / (1 - coherence[k] + 1e-6);
    curvature += information * (2 * Math.PI * (k - centroid) * step) ** 2;
  }
  const response = toResponse(weight);
  const plain = weight.map((w, k) => w * Math.hypot(re[k], im[k]));
  return {
    response,
    ...pointShape(plain, low, high, spectra, lags),
    timingError: 1 / Math.sqrt(2 * seconds * curvature * step || Number.MIN_VALUE),
  };
}

/** 1 inside the band, falling to 0 over a tenth of it at either edge (at 0 Hz there is no edge to round). */
function bandTaper(low: number, high: number, open: boolean, length: number): Float64Array {
  const taper = new Float64Array(length);
  const edge = Math.max(1, (high - low) / 10);
  for (let k = low; k <= high; k++) {
    const rise = open ? 1 : Math.min(1, (k - low + 1) / edge);
    const fall = Math.min(1, (high - k + 1) / edge);
    taper[k] = Math.sin((Math.PI / 2) * Math.min(rise, fall)) ** 2;
  }
  return taper;
}

function strongest({ re, im }: AnalyticResponse): number {
  let best = 0;
  for (let i = 1; i < re.length; i++) {
    if (re[i] ** 2 + im[i] ** 2 > re[best] ** 2 + im[best] ** 2) best = i;
  }
  return best;
}

/** Coherence from complex averages over neighbouring frequencies after the delay was taken out, less its chance level. */
function alignedCoherence(
  re: Float64Array,
  im: Float64Array,
  delay: number,
  low: number,
  high: number,
  { size, blocks }: LaggedSpectra,
): Float64Array {
  const sumRe = new Float64Array(size / 2 + 2);
  const sumIm = new Float64Array(size / 2 + 2);
  for (let k = low; k <= high; k++) {
    const turn = (2 * Math.PI * ((k * delay) % size)) / size;
    const c = Math.cos(turn);
    const s = Math.sin(turn);
    sumRe[k + 1] = sumRe[k] + re[k] * c - im[k] * s;
    sumIm[k + 1] = sumIm[k] + re[k] * s + im[k] * c;
  }
  const coherence = new Float64Array(size / 2 + 1);
  for (let k = low; k <= high; k++) {
    const reach = Math.max(8, Math.round(k / 48));
    const a = Math.max(low, k - reach);
    const b = Math.min(high, k + reach) + 1;
    const n = b - a;
    const square = ((sumRe[b] - sumRe[a]) ** 2 + (sumIm[b] - sumIm[a]) ** 2) / (n * n);
    const chance = 1 / (n * blocks);
    coherence[k] = Math.min(1, Math.max(0, (square - chance) / (1 - chance)));
  }
  return coherence;
}

function pointShape(
  weight: Float64Array,
  low: number,
  high: number,
  { size, transform }: LaggedSpectra,
  lags: number,
): { shape: AnalyticResponse; centre: number } {
  let sum = 0;
  for (let k = low; k <= high; k++) sum += weight[k];
  transform.re.fill(0);
  transform.im.fill(0);
  for (let k = low; k <= high; k++) transform.re[k] = (weight[k] * size) / (sum || 1);
  transform.inverse();
  const centre = Math.min(lags, size / 2) - 1;
  const around = (from: Float64Array) =>
    Float64Array.from({ length: 2 * centre + 1 }, (_, i) => from[(i - centre + size) & (size - 1)]);
  return { shape: { re: around(transform.re), im: around(transform.im) }, centre };
}
