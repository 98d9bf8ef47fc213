/** What microphones hear, for tests: noise, a lowpass and a room, each by its formula. */
import { normal } from "../../lib/numeric/random";

/** White noise of a standard deviation. */
export function white(seed: number, length: number, level: number): Float64Array {
  const next = normal(seed);
  return Float64Array.from({ length }, () => level * next());
}

/** Two second-order Butterworth lowpasses one after the other (bilinear transform, as in textbooks). */
export function fourthOrderLowpass(samples: Float64Array, frequency: number, rate: number): Float64Array {
  const k = Math.tan((Math.PI * frequency) / rate);
  const norm = 1 / (1 + Math.SQRT2 * k + k * k);
  const [b0, a1, a2] = [k * k * norm, 2 * (k * k - 1) * norm, (1 - Math.SQRT2 * k + k * k) * norm];
  const once = (x: Float64Array) => {
    const y = new Float64Array(x.length);
    for (let n = 0; n < x.length; n++)
      y[n] =
        b0 * (x[n] + 2 * (x[n - 1] ?? 0) + (x[n - 2] ?? 0)) - a1 * (y[n - 1] ?? 0) - a2 * (y[n - 2] ?? 0);
    return y;
  };
  return once(once(samples));
}

/** A direct sound after so many samples and combs that ring, whose energy falls by 60 dB in a time (Schroeder's reverberator). */
export function inRoom(
  samples: Float64Array,
  delay: number,
  decay: number,
  rate: number,
  seed: number,
): Float64Array {
  const out = samples.map((_, n) => samples[n - delay] ?? 0);
  const dry = out.slice();
  for (const comb of [0.0297, 0.0371, 0.0411, 0.0437].map((s) => Math.round(s * rate) + 7 * seed)) {
    const gain = 10 ** ((-3 * comb) / (decay * rate));
    const ring = new Float64Array(samples.length);
    for (let n = 0; n < ring.length; n++) {
      ring[n] = (dry[n - comb] ?? 0) + gain * (ring[n - comb] ?? 0);
      out[n] += 0.4 * ring[n];
    }
  }
  return out;
}
