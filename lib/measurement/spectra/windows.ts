/**
 * Time windows for averaged spectra, and what their overlap leaves of the number of averages.
 *
 * Windows are periodic (their period is the length), as spectral averaging wants them.
 */

export type WindowShape = "hann" | "blackman-harris" | "flat-top" | "rectangular";

/** Cosine coefficients: w[n] = Σ a_i (−1)^i cos(2π i n / N). Hann, and Harris (1978) 4-term; flat top of ISO 18431-2. */
const terms: Record<WindowShape, readonly number[]> = {
  rectangular: [1],
  hann: [0.5, 0.5],
  "blackman-harris": [0.35875, 0.48829, 0.14128, 0.01168],
  "flat-top": [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

/**
 * A time window.
 *
 * @param shape  its shape
 * @param length  samples
 * @returns the window, its peak 1
 * @throws RangeError when the shape is not known or the length not positive
 * @source Harris, On the use of windows for harmonic analysis with the DFT, Proc. IEEE 66 (1978), section V
 */
export function timeWindow(shape: WindowShape, length: number): Float64Array {
  const a = terms[shape];
  if (!a) throw new RangeError(`window is "${shape}", expected one of ${Object.keys(terms).join(", ")}`);
  if (!Number.isInteger(length) || length < 1) {
    throw new RangeError(`window length is ${length}, expected a whole number of samples, 1 or more`);
  }
  return new Float64Array(length).map((_, n) => {
    let sum = a[0];
    for (let i = 1; i < a.length; i++)
      sum += (i % 2 ? -a[i] : a[i]) * Math.cos((2 * Math.PI * i * n) / length);
    return sum;
  });
}

/** Sum of the squares of such a window, of ten samples or more. */
export const windowEnergy = (shape: WindowShape, length: number): number =>
  terms[shape].reduce((sum, c, i) => sum + (i === 0 ? 1 : 0.5) * c * c, 0) * length;

/**
 * Number of independent averages that overlapping segments are worth.
 *
 * Segments that overlap share samples, so that their spectra are alike: the variance of their mean is that of
 * K / (1 + 2 Σ (1 − j/K) ρ_j²) independent ones, ρ_j being the correlation of the window with itself moved by j hops.
 *
 * @param segments  number of segments averaged, K
 * @param window  the time window
 * @param hop  samples from one segment to the next
 * @returns effective number of averages, 1 … K
 * @source Welch, IEEE Trans. Audio Electroacoust. AU-15 (1967), p. 71; Harris (1978), equation 17
 */
export function effectiveAverages(segments: number, window: Float64Array, hop: number): number {
  let energy = 0;
  for (const w of window) energy += w * w;
  let inflation = 1;
  for (let j = 1; j < segments && j * hop < window.length; j++) {
    let shared = 0;
    for (let n = j * hop; n < window.length; n++) shared += window[n] * window[n - j * hop];
    inflation += 2 * (1 - j / segments) * (shared / energy) ** 2;
  }
  return segments / inflation;
}
