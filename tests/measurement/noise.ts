/**
 * Test signals that are the same on every machine for the same seed: white and pink noise.
 */
import { fourierTransform, nextPowerOfTwo } from "../../lib/measurement/spectra/fft";
import { normalFrom } from "../../lib/numeric/random";

/**
 * White noise: equal power per hertz, normal, RMS 1.
 *
 * @param length  samples
 * @param seed  whole number
 */
export function whiteNoise(length: number, seed: number): Float64Array {
  const next = normalFrom(uniformNumbers(seed));
  const noise = new Float64Array(length);
  for (let i = 0; i < length; i++) noise[i] = next();
  return noise;
}

/**
 * Pink noise: equal power per octave from `from` up to half the sample rate, nothing below; RMS 1.
 *
 * White noise is shaped by 1 / √f as a whole, so that the slope is exact at every frequency.
 *
 * @param length  samples
 * @param seed  whole number
 * @param sampleRate  hertz
 * @param from  lowest frequency, hertz
 */
export function pinkNoise(length: number, seed: number, sampleRate: number, from = 10): Float64Array {
  const transform = fourierTransform(nextPowerOfTwo(length));
  const { size, re, im } = transform;
  re.set(whiteNoise(size, seed));
  im.fill(0);
  transform.forward();
  for (let k = 0; k < size; k++) {
    const f = (Math.min(k, size - k) * sampleRate) / size;
    const gain = f < from ? 0 : 1 / Math.sqrt(f);
    re[k] *= gain;
    im[k] *= gain;
  }
  transform.inverse();
  const noise = re.slice(0, length);
  const rms = Math.sqrt(noise.reduce((sum, x) => sum + x * x, 0) / length);
  return rms > 0 ? noise.map((x) => x / rms) : noise;
}

/**
 * Uniform numbers 0 … less than 1. The seed is spread over the state by a multiplicative hash.
 *
 * @source Marsaglia, Xorshift RNGs, J. Stat. Software 8 (2003), period 2^128 − 1
 */
function uniformNumbers(seed: number): () => number {
  const state = new Uint32Array(4);
  for (let i = 0, h = seed >>> 0; i < 4; i++) {
    h = (Math.imul(h ^ (h >>> 16), 0x45d9f3b) + 0x9e3779b9) >>> 0;
    state[i] = h || 1;
  }
  const next = () => {
    const t = state[0] ^ (state[0] << 11);
    state.copyWithin(0, 1);
    state[3] = state[3] ^ (state[3] >>> 19) ^ t ^ (t >>> 8);
    return state[3];
  };
  for (let i = 0; i < 16; i++) next();
  return () => (next() >>> 0) / 2 ** 32;
}
