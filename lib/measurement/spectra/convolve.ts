/**
 * Linear convolution of two sequences by one transform.
 */
import { fourierTransform, nextPowerOfTwo } from "./fft";

/**
 * Linear convolution: both are real, so they share one complex transform.
 *
 * @param a  samples
 * @param b  samples
 * @returns a.length + b.length − 1 samples
 */
export function convolve(a: Float64Array, b: Float64Array): Float64Array {
  const length = a.length + b.length - 1;
  const transform = fourierTransform(nextPowerOfTwo(length));
  const { size, re, im } = transform;
  re.fill(0);
  im.fill(0);
  re.set(a);
  im.set(b);
  transform.forward();
  // With Z = A + jB the product is A B = (Z[k]² − conj(Z[N−k])²) / 4j; both ends of each pair are done at once.
  for (let k = 0; k <= size / 2; k++) {
    const m = (size - k) & (size - 1);
    const [zr, zi, yr, yi] = [re[k], im[k], re[m], im[m]];
    const dr = zr * zr - zi * zi - (yr * yr - yi * yi);
    const di = 2 * zr * zi + 2 * yr * yi;
    re[k] = di / 4;
    im[k] = -dr / 4;
    re[m] = di / 4;
    im[m] = dr / 4;
  }
  transform.inverse();
  return re.slice(0, length);
}
