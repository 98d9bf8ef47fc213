/**
 * Cross-spectrum of two long recordings that keeps exactly the lags asked for.
 */
import { type FourierTransform, fourierTransform, nextPowerOfTwo } from "./fft";

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
  const transform = fourierTransform(size);
  const block = size - lags;
  const half = size / 2;
  const sums = Array.from({ length: 4 }, () => new Float64Array(half + 1));
  const [power, signalPower, crossRe, crossIm] = sums;
  const { re, im } = transform;
  let blocks = 0;
  for (let from = 0; from < reference.length; from += block, blocks++) {
    fill(re, reference, from, block);
    fill(im, signal, from + firstLag, size);
    transform.forward();
    for (let k = 0; k <= half; k++) {
      const m = (size - k) & (size - 1);
      const xr = 0.5 * (re[k] + re[m]);
      const xi = 0.5 * (im[k] - im[m]);
      const yr = 0.5 * (im[k] + im[m]);
      const yi = 0.5 * (re[m] - re[k]);
      power[k] += xr * xr + xi * xi;
      signalPower[k] += yr * yr + yi * yi;
      crossRe[k] += xr * yr + xi * yi;
      crossIm[k] += xr * yi - xi * yr;
    }
  }
  return { transform, size, blocks, reference: power, signal: signalPower, crossRe, crossIm };
}

/** Copies `length` samples from `start` on, zeros where the source has none and after them. */
function fill(target: Float64Array, source: Float64Array, start: number, length: number): void {
  target.fill(0);
  const from = Math.max(0, start);
  const to = Math.min(source.length, start + length);
  if (to > from) target.set(source.subarray(from, to), from - start);
}
