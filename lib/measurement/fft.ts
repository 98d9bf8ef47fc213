/**
 * Discrete Fourier transform of power-of-two length in double precision, with its own reusable workspace.
 *
 * Real and imaginary part stand in two arrays, so that two real channels can share one complex transform: put
 * one into `re` and the other into `im`, and separate their spectra afterwards by symmetry (`separate`).
 */
import FFT from "fft.js";

export interface FourierTransform {
  /** Number of points, a power of two. */
  readonly size: number;
  /** Workspace: input before a transform and result after it, in natural order. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** X[k] = Σ x[n] e^{-j2πkn/N}, in place. */
  forward(): void;
  /** x[n] = (1/N) Σ X[k] e^{+j2πkn/N}, in place. */
  inverse(): void;
}

/**
 * A transform with its tables and workspace. Making one costs as much as a few transforms: keep it.
 *
 * @param size  number of points, a power of two, 2 or more
 * @throws RangeError when the size is no power of two
 */
export function fourierTransform(size: number): FourierTransform {
  if (!Number.isInteger(Math.log2(size)) || size < 2) {
    throw new RangeError(`transform length is ${size}, expected a power of two, 2 or more`);
  }
  const plan = new FFT(size);
  const input = new Float64Array(2 * size);
  const output = new Float64Array(2 * size);
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const run = (inverse: boolean) => {
    for (let i = 0; i < size; i++) {
      input[2 * i] = re[i];
      input[2 * i + 1] = im[i];
    }
    if (inverse) plan.inverseTransform(output, input);
    else plan.transform(output, input);
    for (let i = 0; i < size; i++) {
      re[i] = output[2 * i];
      im[i] = output[2 * i + 1];
    }
  };
  return { size, re, im, forward: () => run(false), inverse: () => run(true) };
}

/** The smallest power of two that is at least n. */
export function nextPowerOfTwo(n: number): number {
  return 2 ** Math.ceil(Math.log2(Math.max(2, n)));
}
