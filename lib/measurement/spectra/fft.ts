/**
 * Discrete Fourier transform of power-of-two length, double precision, compiled (WebAssembly SIMD).
 *
 * Real and imaginary part stand in two arrays, so that two real channels can share one complex transform: put one
 * into `re` and the other into `im`, and separate their spectra afterwards by symmetry.
 */
import { workspace } from "./workspace";

export interface FourierTransform {
  /** Number of points, a power of two. */
  readonly size: number;
  /** Input before a transform and result after it, in natural order. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** X[k] = Σ x[n] e^{-j2πkn/N}, in place. */
  forward(): void;
  /** x[n] = (1/N) Σ X[k] e^{+j2πkn/N}, in place. */
  inverse(): void;
}

const transforms = new Map<number, FourierTransform>();
const tables = new Map<number, Float64Array>();

/**
 * The transform of a size. There is one for each size, and its arrays are shared by all who ask for it: fill them,
 * transform and read the result before anything else can run.
 *
 * @param size  number of points, a power of two, 8 or more
 * @throws RangeError when the size is no such power
 * @source Van Loan, Computational Frameworks for the Fast Fourier Transform (1992), section 1.7
 */
export function fourierTransform(size: number): FourierTransform {
  const cached = transforms.get(size);
  if (cached) return cached;
  requireLength(size);
  const { code, doubles } = workspace(6 * size, 5);
  const [re, im, workRe, workIm] = [1, 2, 3, 4].map(() => doubles(size));
  const twiddles = doubles(2 * size);
  twiddles.set(twiddleFactors(size));
  const [reAt, imAt, workReAt, workImAt, twiddlesAt] = [re, im, workRe, workIm, twiddles].map(
    (array) => array.byteOffset,
  );
  const transform: FourierTransform = {
    size,
    re,
    im,
    forward: () => code.forward(reAt, imAt, workReAt, workImAt, twiddlesAt, size),
    inverse: () => code.inverse(reAt, imAt, workReAt, workImAt, twiddlesAt, size),
  };
  transforms.set(size, transform);
  return transform;
}

/** cos and sin of −2π j p / n for j = 1, 2, 3 and p < n / 4: six arrays per radix-4 stage, largest n first. */
export function twiddleFactors(size: number): Float64Array {
  const cached = tables.get(size);
  if (cached) return cached;
  requireLength(size);
  const table = new Float64Array(2 * size);
  let at = 0;
  for (let n = size; n > 4; n /= 4) {
    const quarter = n / 4;
    for (let p = 0; p < quarter; p++) {
      for (let j = 0; j < 3; j++) {
        const angle = (-2 * Math.PI * (j + 1) * p) / n;
        table[at + 2 * j * quarter + p] = Math.cos(angle);
        table[at + (2 * j + 1) * quarter + p] = Math.sin(angle);
      }
    }
    at += 6 * quarter;
  }
  tables.set(size, table);
  return table;
}

function requireLength(size: number): void {
  if (!Number.isInteger(Math.log2(size)) || size < 8) {
    throw new RangeError(`transform length is ${size}, expected a power of two, 8 or more`);
  }
}

/** The smallest power of two that is at least n, and at least 8. */
export function nextPowerOfTwo(n: number): number {
  return 2 ** Math.ceil(Math.log2(Math.max(8, n)));
}
