/**
 * The reverberant part of a measured response: what reaches the microphone without a phase relation within the window, and is heard
 * all the same. It is the power at the microphone less the noise and less what is coherent.
 *
 * Where the signal hardly rises above the noise, such as between the notes of music, a frequency by itself tells little, and what its
 * neighbours within a third octave have in the mean counts for more.
 */
import type { Response } from "../../acoustics/response";
import type { PooledResponse } from "../spectra/pool";

/**
 * A response with its reverberant part as `diffuse`, free of noise, and with the error of its power.
 *
 * @param pooled  measured, with its whole power
 * @param noise  power of the noise at the microphone over that of what was sent at each frequency; none by default
 * @param sampling  relative variance of a third octave's power for what the signal leaves out, at each frequency; none by default
 * @returns coherent and reverberant part, whose powers add up to the power without noise; `powerError` is its standard error, as
 *   large as if frequencies were independent of each other, `wideError` that of bands much wider than a window's resolution
 * @source Bendat and Piersol, Random Data (4th edition), 6.1 (coherent output power) and 8.5 (its random error); for a hall's response
 *   the mean of its neighbours is the prior, with a relative standard deviation of 1 (Schroeder, Acustica 4, 1954: its squared
 *   magnitude is exponentially distributed)
 */
export function withReverberantPart(
  pooled: PooledResponse,
  noise?: Float64Array,
  sampling?: Float64Array,
): Response {
  const { frequency, re, im, coherence, averages, whole, alike } = pooled;
  const n = frequency.length;
  const bare = whole.map((power, i) => power - (noise ? noise[i] : 0));
  const out = {
    frequency,
    re: re.slice(),
    im: im.slice(),
    coherence,
    averages,
    diffuse: new Float64Array(n),
    powerError: new Float64Array(n),
    wideError: new Float64Array(n),
  };
  for (let i = 0; i < n; i++) {
    const { mean, variance, random, count, shared } = around(pooled, bare, noise, i);
    const prior = mean * mean;
    const known = prior + variance > 0 ? (bare[i] * prior + mean * variance) / (prior + variance) : 0;
    const power = Math.max(known, LEAST * whole[i]);
    const borrowed = prior + variance > 0 ? variance / (prior + variance) : 0;
    const leftOut = sampling ? count * sampling[i] * prior : 0;
    const fromAround = borrowed * borrowed * shared + leftOut;
    out.powerError[i] = Math.sqrt(alike[i] * borrowed * prior + fromAround);
    // Late sound that one window cuts off is in the next, so that a wide band's power doesn't waver for it.
    const own = Math.min(borrowed * prior, (1 - borrowed) ** 2 * random + borrowed * borrowed * prior);
    out.wideError[i] = Math.sqrt(alike[i] * own + fromAround);
    const coherent = re[i] * re[i] + im[i] * im[i];
    if (coherent > power) {
      const factor = Math.sqrt(power / coherent);
      out.re[i] *= factor;
      out.im[i] *= factor;
    }
    out.diffuse[i] = Math.max(0, power - coherent);
  }
  return out;
}

/** Relative standard deviation of a hall's power from one part of a third octave to the rest of it, about 1.5 dB. */
const UNEVEN = 0.4;

/** Of what was heard; less is not told from nothing. */
const LEAST = 0.01;

/**
 * Mean power within a third octave around a frequency, in which what is better known than the hall is even counts the same, and the
 * variance of the power at that frequency, whole and for noise alone. It is reckoned from the mean, so that what happens to be loud is not
 * taken for uncertain.
 */
function around(
  { frequency, wholeAverages, incoherent, gaps }: PooledResponse,
  power: Float64Array,
  noise: Float64Array | undefined,
  i: number,
): { mean: number; variance: number; random: number; count: number; shared: number } {
  const half = 2 ** (1 / 6);
  let from = i;
  let to = i;
  while (from > 0 && frequency[from - 1] * half >= frequency[i]) from--;
  while (to < frequency.length - 1 && frequency[to + 1] <= frequency[i] * half) to++;
  const noiseAt = (k: number) => (noise ? noise[k] : 0);
  let plain = 0;
  let late = 0;
  let best = Number.POSITIVE_INFINITY;
  for (let k = from; k <= to; k++) best = Math.min(best, noiseAt(k));
  let count = 0;
  for (let k = from; k <= to; k++) {
    if (noiseAt(k) > 4 * best) continue;
    plain += power[k];
    late += Math.max(0, incoherent[k] - noiseAt(k));
    count++;
  }
  plain = Math.max(0, plain / count);
  late /= count;
  const varianceAt = (k: number) => {
    const random = noiseAt(k) + late;
    return (random * random + 2 * random * plain) / wholeAverages[k] + gaps[k] * plain * plain;
  };
  let sum = 0;
  let weights = 0;
  for (let k = from; k <= to; k++) {
    const w = 1 / (plain * plain + varianceAt(k) || 1);
    sum += w * power[k];
    weights += w;
  }
  // All of the third octave share the error of its mean, and of taking it for the mean where little was sent.
  const mean = Math.max(0, sum / weights);
  const own = noiseAt(i);
  return {
    mean,
    variance: varianceAt(i),
    random: (own * own + 2 * own * plain) / wholeAverages[i],
    count: to - from + 1,
    shared: (to - from + 1) * (1 / weights + (UNEVEN * mean) ** 2),
  };
}
