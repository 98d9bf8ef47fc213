/** Recordings for the tests: those that the reference script makes too, and systems whose response is known. */
import { fourierTransform } from "../../lib/measurement/spectra/fft";

/** Uniform numbers from −1 to 1, the same as in scripts/reference/measurement_estimators.py. */
export function uniform(seed: number, count: number): Float64Array {
  let state = seed;
  return Float64Array.from({ length: count }, () => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  });
}

/** x late by a whole number of samples. */
export function delayed(x: Float64Array, samples: number): Float64Array {
  const y = new Float64Array(x.length);
  y.set(x.subarray(0, x.length - samples), samples);
  return y;
}

/** Σ gain · x late by samples, plus noise. */
export function mix(
  x: Float64Array,
  paths: readonly { readonly gain: number; readonly samples: number }[],
  noise?: { readonly gain: number; readonly samples: Float64Array },
): Float64Array {
  const y = new Float64Array(x.length);
  for (let n = 0; n < y.length; n++) {
    for (const path of paths) if (n >= path.samples) y[n] += path.gain * x[n - path.samples];
    if (noise) y[n] += noise.gain * noise.samples[n];
  }
  return y;
}

/** A second-order section, direct form. */
export function biquad(x: Float64Array, b: readonly number[], a: readonly number[]): Float64Array {
  const y = new Float64Array(x.length);
  for (let n = 0; n < x.length; n++) {
    y[n] =
      b[0] * x[n] +
      b[1] * (x[n - 1] ?? 0) +
      b[2] * (x[n - 2] ?? 0) -
      a[1] * (y[n - 1] ?? 0) -
      a[2] * (y[n - 2] ?? 0);
  }
  return y;
}

/** x late by any number of samples, by a turn of its spectrum; exact apart from what wraps around the padding. */
export function shifted(
  x: Float64Array,
  samples: number,
  gain: (bin: number, size: number) => number = () => 1,
): Float64Array {
  const size = 2 ** Math.ceil(Math.log2(x.length + Math.abs(samples) + 1000));
  const transform = fourierTransform(size);
  transform.re.fill(0);
  transform.im.fill(0);
  transform.re.set(x);
  transform.forward();
  for (let k = 0; k < size; k++) {
    const bin = k <= size / 2 ? k : k - size;
    const angle = (-2 * Math.PI * bin * samples) / size;
    const g = k === size / 2 ? 0 : gain(Math.abs(bin), size);
    const [re, im] = [transform.re[k], transform.im[k]];
    transform.re[k] = g * (re * Math.cos(angle) - im * Math.sin(angle));
    transform.im[k] = g * (re * Math.sin(angle) + im * Math.cos(angle));
  }
  transform.inverse();
  return transform.re.slice(0, x.length);
}

export const rms = (x: Float64Array): number => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);

/** Signal with noise added at a signal-to-noise ratio, dB. */
export function withNoise(signal: Float64Array, noise: Float64Array, ratio: number): Float64Array {
  const gain = (rms(signal) / rms(noise)) * 10 ** (-ratio / 20);
  return signal.map((v, i) => v + gain * noise[i]);
}

/** How often random checks are repeated: few on a desk, many where EVENGROUND_TRIALS says so. */
export const trials = (few: number): number => Number(process.env.EVENGROUND_TRIALS ?? few);
