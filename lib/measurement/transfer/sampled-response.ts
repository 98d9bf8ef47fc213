/**
 * How well a signal's spectrum samples a room's response: a beat that comes round and notes that are held excite lines, and what the
 * room does between them stays unknown. Noise and sweeps leave little out, music of a few notes more, the more the longer a room rings.
 */
import type { Band } from "../../acoustics/bands/bands";
import type { Piece } from "../spectra/averaged";
import { fourierTransform, nextPowerOfTwo } from "../spectra/fft";

/**
 * Relative variance of a band's power that was found through a signal, for this alone.
 *
 * The power of a room's response wavers over frequency and is alike over some hertz: over Δ it is correlated by 1/(1 + (2πΔτ)²), τ being
 * the time in which its energy falls by a factor e. What counts is by how much the signal's lines weigh otherwise than all of a band
 * evenly; what is coarser than the windows of the estimate is divided out there.
 *
 * @param sent  samples
 * @param sampleRate  hertz
 * @param bands  for which it is wanted, below half the sample rate
 * @param room  seconds in which its level falls by 60 dB, and of the windows
 * @param pieces  of the signal, samples; all of it by default
 * @returns one variance per band
 * @source Schroeder, Frequency-correlation functions of frequency responses in rooms, J. Acoust. Soc. Am. 34 (1962); check: tests/measurement/transfer/sampled-response.test.ts
 */
export function samplingVariance(
  sent: Float64Array,
  sampleRate: number,
  bands: readonly Band[],
  { decay, window }: { readonly decay: number; readonly window: number },
  pieces: readonly Piece[] = [[0, sent.length]],
): Float64Array {
  // What doesn't ring is as smooth between the lines as on them.
  if (!(decay > 0)) return new Float64Array(bands.length);
  const power = powerOf(sent, pieces);
  const half = power.length - 1;
  const sums = new Float64Array(half + 2);
  for (let k = 0; k <= half; k++) sums[k + 1] = sums[k] + power[k];
  const step = sampleRate / (2 * half);
  const around = Math.max(1, Math.round(1.2 / window / step));
  const mean = (k: number) => {
    const [from, to] = [Math.max(0, k - around), Math.min(half, k + around)];
    return (sums[to + 1] - sums[from]) / (to + 1 - from);
  };
  const tau = decay / (6 * Math.LN10);
  return Float64Array.from(bands, ({ lower, upper }) => {
    const first = Math.max(1, Math.ceil(lower / step));
    const count = Math.min(half, Math.floor(upper / step)) - first + 1;
    if (count < 2) return 0;
    const weights = new Float64Array(count);
    for (let i = 0; i < count; i++) weights[i] = power[first + i] / (mean(first + i) || 1);
    return unevenness(weights, step, tau);
  });
}

/** |X|² by a transform of half the length: even samples are its real part, odd ones its imaginary part. */
function powerOf(samples: Float64Array, pieces: readonly Piece[]): Float64Array {
  const transform = fourierTransform(nextPowerOfTwo(samples.length / 2));
  const { size, re, im } = transform;
  re.fill(0);
  im.fill(0);
  for (const [from, to] of pieces)
    for (let n = from; n < Math.min(to, samples.length); n++) (n & 1 ? im : re)[n >> 1] = samples[n];
  transform.forward();
  const power = new Float64Array(size + 1);
  const [stepRe, stepIm] = [Math.cos(Math.PI / size), Math.sin(Math.PI / size)];
  let c = 1;
  let s = 0;
  for (let k = 0; k <= size; k++) {
    const a = k & (size - 1);
    const b = (size - k) & (size - 1);
    const oddRe = im[a] + im[b];
    const oddIm = re[b] - re[a];
    const x = re[a] + re[b] + c * oddRe + s * oddIm;
    const y = im[a] - im[b] + c * oddIm - s * oddRe;
    power[k] = (x * x + y * y) / 4;
    const next = c * stepRe - s * stepIm;
    s = s * stepRe + c * stepIm;
    c = next;
  }
  return power;
}

/** Of weights over frequency beside even ones, by their transform over time: there the room's correlation is e^(−|t|/τ). */
function unevenness(weights: Float64Array, step: number, tau: number): number {
  const total = weights.reduce((a, b) => a + b, 0);
  if (!(total > 0)) return 1;
  const transform = fourierTransform(nextPowerOfTwo(2 * weights.length));
  const { size, re, im } = transform;
  re.fill(0);
  im.fill(0);
  for (let i = 0; i < weights.length; i++) re[i] = weights[i] / total - 1 / weights.length;
  transform.forward();
  const spacing = 1 / (size * step);
  let [sum, all] = [0, 0];
  // The other half is the same.
  for (let m = 0; m <= size / 2; m++) {
    const weight = (m % (size / 2) === 0 ? 1 : 2) * Math.exp((-m * spacing) / tau);
    sum += weight * (re[m] * re[m] + im[m] * im[m]);
    all += weight;
  }
  return sum / all;
}
