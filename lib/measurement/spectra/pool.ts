/**
 * A response on any frequencies from averaged spectra: neighbouring bins pooled where the grid is coarser than they
 * are, interpolated where it is finer.
 */
import type { Response } from "../../acoustics/response";
import { silentBelow } from "../transfer/transfer-function";
import { crossWithout, type Spectra } from "./averaged";
import { timeWindow, type WindowShape, windowEnergy } from "./windows";

/** A response with the powers it was made of. */
export interface PooledResponse extends Response {
  /** Power at the microphone over what was sent, Gyy / Gxx, all that is not coherent included. */
  readonly whole: Float64Array;
  /** Averages behind `whole` at each frequency. */
  readonly wholeAverages: Float64Array;
  /** Of `whole`, what is incoherent within its windows. */
  readonly incoherent: Float64Array;
  /** Relative variance that comes of gaps between the tones of what was sent. */
  readonly gaps: Float64Array;
  /** How many neighbours share the errors of each frequency, 1 or more. */
  readonly alike: Float64Array;
  /** Density of what was sent, single-sided, mean square per hertz. */
  readonly sent: Float64Array;
}

export interface PoolOptions {
  /** Seconds of delay still to be taken out. Default 0. */
  readonly remainingDelay?: number;
  /** Shape of the window that the spectra were made with. Default "hann". */
  readonly window?: WindowShape;
  /** Density of the noise at the microphone at each wanted frequency, mean square per hertz, where it is known. */
  readonly noise?: Float64Array;
}

/**
 * H1 at each wanted frequency from the spectra around it, weighted by a triangle as wide as the grid's step, and at
 * least as wide as two bins: then it is the straight line between them.
 *
 * Pooled bins add to the number of averages, but not one each: the window makes neighbours alike.
 *
 * @param spectra  sums over segments
 * @param microphone  which one, from 0
 * @param sampleRate  hertz
 * @param frequency  wanted frequencies, hertz, ascending
 * @param options  seconds of delay still to be taken out, and the window's shape
 * @returns response with coherence and effective averages, and its powers; 0 with coherence 0 where the reference is silent
 * @source Bendat and Piersol, Random Data (4th edition), section 8.5 (averages over segments and over frequency)
 */
export function poolSpectra(
  spectra: Spectra,
  microphone: number,
  sampleRate: number,
  frequency: Float64Array,
  { remainingDelay = 0, window = "hann", noise }: PoolOptions = {},
): PooledResponse {
  const step = sampleRate / spectra.windowLength;
  const alike = binCorrelation(window);
  const { power } = spectra.microphones[microphone];
  const cross = crossWithout(remainingDelay, spectra, microphone, sampleRate);
  const last = spectra.windowLength / 2 - 1;
  const count = frequency.length;
  const out = {
    frequency,
    re: new Float64Array(count),
    im: new Float64Array(count),
    coherence: new Float64Array(count),
    averages: new Float64Array(count).fill(spectra.averages),
    whole: new Float64Array(count),
    wholeAverages: new Float64Array(count).fill(1),
    incoherent: new Float64Array(count),
    gaps: new Float64Array(count),
    alike: new Float64Array(count).fill(1),
    sent: new Float64Array(count),
  };
  const perHertz = densityFactor(spectra, sampleRate, window);
  const noiseFloor = silentBelow(spectra.reference, power);
  const [weights, even] = [new Float64Array(last + 1), new Float64Array(last + 1)];
  for (let i = 0; i < count; i++) {
    const f = frequency[i];
    const gap = (frequency[Math.min(i + 1, count - 1)] - frequency[Math.max(i - 1, 0)]) / 2;
    const reach = Math.max(step, gap);
    const from = Math.min(last, Math.max(1, Math.ceil((f - reach) / step)));
    const to = Math.max(from, Math.min(last, Math.floor((f + reach) / step)));
    // The signal that it takes to equal the noise at the microphone, in the reference's sums.
    const equal = noise ? equalToNoise(spectra.reference, power, noise[i] / perHertz, from, to) : undefined;
    let [xx, yy, re, im, total] = [0, 0, 0, 0, 0];
    for (let k = from; k <= to; k++) {
      even[k - from] = from === to ? 1 : Math.max(0, 1 - Math.abs(f - k * step) / reach);
      const w = even[k - from] / (equal === undefined ? 1 : spectra.reference[k] + equal || 1);
      xx += w * spectra.reference[k];
      yy += w * power[k];
      re += w * cross.re[k];
      im += w * cross.im[k];
      total += w;
      weights[k - from] = w * spectra.reference[k];
    }
    if (!(xx > noiseFloor * total && yy > noiseFloor * total)) continue;
    out.re[i] = re / xx;
    out.im[i] = im / xx;
    out.coherence[i] = Math.min(1, (re * re + im * im) / xx / yy);
    out.whole[i] = yy / xx;
    out.sent[i] = (perHertz * xx) / total;
    const bins = independentBins(weights, to - from + 1, alike);
    out.averages[i] *= bins;
    // A hall's response differs from one bin to the next by as much as it is: what few bins say of all is that uncertain.
    out.gaps[i] = Math.max(0, 1 / bins - 1 / independentBins(even, to - from + 1, alike));
    out.incoherent[i] = out.whole[i] * (1 - out.coherence[i]);
    out.wholeAverages[i] = out.averages[i];
    // Neighbouring triangles share a quarter on either side, more where they are wider than the grid.
    out.alike[i] = gap > 0 ? (1.5 * reach) / gap : 1;
  }
  return out;
}

/** Power of the reference at which the sound at the microphone is as loud as its noise there, in the bins of a pool. */
function equalToNoise(
  reference: Float64Array,
  power: Float64Array,
  noise: number,
  from: number,
  to: number,
): number {
  let [xx, yy] = [0, 0];
  for (let k = from; k <= to; k++) {
    xx += reference[k];
    yy += power[k];
  }
  const sound = Math.max(0.1 * yy, yy - (to - from + 1) * noise);
  return sound > 0 ? (noise * xx) / sound : 0;
}

/** What makes a density of a sum of |X|² over segments: single-sided, mean square per hertz. */
export function densityFactor(
  { segments, windowLength }: Pick<Spectra, "segments" | "windowLength">,
  sampleRate: number,
  window: WindowShape = "hann",
): number {
  return 2 / (segments * sampleRate * windowEnergy(window, windowLength));
}

/** (Σ w)² / Σ Σ w w' ρ²: how many independent bins a weighted mean over alike neighbours is worth. */
function independentBins(weights: Float64Array, count: number, alike: readonly number[]): number {
  let sum = 0;
  let spread = 0;
  for (let i = 0; i < count; i++) {
    sum += weights[i];
    for (let j = 0; j < alike.length && i + j < count; j++) {
      spread += (j === 0 ? 1 : 2) * alike[j] * weights[i] * weights[i + j];
    }
  }
  return spread > 0 ? sum ** 2 / spread : 1;
}

/** Squared correlation of a noise spectrum's bins 0, 1, 2 … apart under a window: the transform of the window's square. */
function binCorrelation(shape: WindowShape): number[] {
  const length = 64;
  const square = timeWindow(shape, length).map((w) => w * w);
  const total = square.reduce((a, b) => a + b, 0);
  return Array.from({ length: 8 }, (_, j) => {
    const sum = square.reduce((s, w, n) => s + w * Math.cos((2 * Math.PI * j * n) / length), 0);
    return (sum / total) ** 2;
  });
}
