/**
 * Cross-spectrum of two long recordings that keeps exactly the lags asked for.
 */
import { type FourierTransform, fourierTransform, nextPowerOfTwo } from "./fft";
import { spectraSums } from "./sums";

export interface LaggedSpectra {
  readonly transform: FourierTransform;
  /** Points of the transform; entry k belongs to k · sampleRate / size, k = 0 … size / 2. */
  readonly size: number;
  readonly blocks: number;
  readonly reference: Float64Array;
  readonly signal: Float64Array;
  /** Σ conj(X) Y; its inverse transform at index i is the correlation at lag `firstLag + i`. */
  readonly crossRe: Float64Array;
  readonly crossIm: Float64Array;
}

/**
 * Cross- and auto-spectra summed over blocks. A block of the reference meets the stretch of signal that any of the
 * wanted lags can pair it with, both padded with zeros, so that no lag wraps onto another.
 *
 * @param reference  samples
 * @param signal  samples
 * @param firstLag  earliest lag wanted, samples (negative: the signal leads)
 * @param lags  how many lags
 * @source overlap-save sectioning, Oppenheim and Schafer, Discrete-Time Signal Processing, section 8.7
 */
export function laggedSpectra(
  reference: Float64Array,
  signal: Float64Array,
  firstLag: number,
  lags: number,
): LaggedSpectra {
  const whole = reference.length + lags;
  const size = nextPowerOfTwo(Math.min(whole, 2.4 * lags));
  const block = size - lags;
  const sums = spectraSums(1, size, new Float64Array(size).fill(1), size);
  let blocks = 0;
  for (let from = 0; from < reference.length; from += block, blocks++) {
    fill(sums.queues[0], reference, from, block);
    fill(sums.queues[1], signal, from + firstLag, size);
    sums.add(1, () => 0);
  }
  const { reference: sent, microphones } = sums.read();
  const [{ power, crossRe, crossIm }] = microphones;
  sums.release();
  return {
    transform: fourierTransform(size),
    size,
    blocks,
    reference: sent,
    signal: power,
    crossRe,
    crossIm,
  };
}

/** Copies `length` samples from `start` on, zeros where the source has none and after them. */
export function fill(target: Float64Array, source: Float64Array, start: number, length: number): void {
  target.fill(0);
  const from = Math.max(0, start);
  const to = Math.min(source.length, start + length);
  if (to > from) target.set(source.subarray(from, to), from - start);
}
