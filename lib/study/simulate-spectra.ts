/**
 * What invented recordings are made of: a spectrum between 20 Hz and nine tenths of half the sample rate, and what a
 * venue, a processor and a noise do to it.
 */
import type { Response } from "../acoustics/response";
import type { fourierTransform } from "../measurement/spectra/fft";
import { type Complexes, complexes, delayFactor, product } from "../numeric/complexes";
import type { Venue } from "../venue/venue";

type Transform = ReturnType<typeof fourierTransform>;

/** Transform bins between 20 Hz and nine tenths of half the sample rate. */
export function bins(size: number, sampleRate: number): { first: number; frequency: Float64Array } {
  const step = sampleRate / size;
  const first = Math.ceil(20 / step);
  const last = Math.floor((0.45 * sampleRate) / step);
  return { first, frequency: Float64Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step) };
}

/** Equal power in each third-octave band, phases at random: one period of pink noise. */
export function pinkDrive(frequency: Float64Array, random: () => number): Complexes {
  const { re, im } = complexes(frequency.length);
  frequency.forEach((f, i) => {
    const phase = 2 * Math.PI * random();
    re[i] = Math.cos(phase) / Math.sqrt(f);
    im[i] = Math.sin(phase) / Math.sqrt(f);
  });
  return { re, im };
}

/** The response with its diffuse energy as noise that dies away over the reverberation time. */
export function withTail(
  response: Response,
  transform: Transform,
  seconds: number,
  sampleRate: number,
  random: () => number,
  first: number,
): Complexes {
  const re = response.re.slice();
  const im = response.im.slice();
  const { diffuse } = response;
  if (!diffuse) return { re, im };
  const decay = Math.log(1000) / (seconds * sampleRate); // 60 dB over the reverberation time
  let energy = 0;
  for (let n = 0; n < transform.size; n++) {
    const x = (2 * random() - 1) * Math.exp(-decay * n);
    energy += x * x;
    transform.re[n] = x;
    transform.im[n] = 0;
  }
  transform.forward();
  diffuse.forEach((d, i) => {
    const g = Math.sqrt(d / energy);
    re[i] += g * transform.re[first + i];
    im[i] += g * transform.im[first + i];
  });
  return { re, im };
}

export function addEcho(
  spectrum: Complexes,
  frequency: Float64Array,
  { delay, level }: { readonly delay: number; readonly level: number },
): void {
  const echo = product(spectrum, delayFactor(frequency, delay, 10 ** (level / 20)));
  echo.re.forEach((x, i) => {
    spectrum.re[i] += x;
    spectrum.im[i] += echo.im[i];
  });
}

/** Noise with the mean power that the signal has in a band, raised by a level, and phases of its own. */
export function bandNoise(
  signal: Complexes,
  frequency: Float64Array,
  { from, to, level }: { readonly from: number; readonly to: number; readonly level: number },
  random: () => number,
): Complexes {
  const inside = [...frequency.keys()].filter((i) => frequency[i] >= from && frequency[i] <= to);
  if (inside.length === 0) {
    throw new RangeError(`a disturbance from ${from} to ${to} Hz holds no frequency of the recording`);
  }
  const power = inside.reduce((total, i) => total + signal.re[i] ** 2 + signal.im[i] ** 2, 0) / inside.length;
  const magnitude = Math.sqrt(power) * 10 ** (level / 20);
  const noise = complexes(frequency.length);
  for (const i of inside) {
    const phase = 2 * Math.PI * random();
    noise.re[i] = magnitude * Math.cos(phase);
    noise.im[i] = magnitude * Math.sin(phase);
  }
  return noise;
}

export const sum = (a: Complexes, b: Complexes): Complexes => ({
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});

export function toSamples(
  spectrum: Complexes,
  transform: Transform,
  first: number,
  gain: number,
): Float64Array {
  const { size, re, im } = transform;
  re.fill(0);
  im.fill(0);
  spectrum.re.forEach((x, i) => {
    re[first + i] = gain * x;
    im[first + i] = gain * spectrum.im[i];
    re[size - first - i] = gain * x;
    im[size - first - i] = -gain * spectrum.im[i];
  });
  transform.inverse();
  return re.slice();
}

export function finish(
  samples: Float64Array,
  scale: number,
  floor: number,
  random: () => number,
): Float64Array {
  const width = floor * Math.sqrt(12); // an even spread of this width has the wanted rms
  return samples.map((x) => scale * (x + width * (random() - 0.5)));
}

/** Reverberation time in the octave around 500 Hz, seconds; a tail needs one number. */
export function reverberationSeconds(venue: Venue): number {
  const { frequency, value } = venue.room?.reverberationTime ?? { frequency: [500], value: [0.3] };
  const nearest = frequency.reduce(
    (best, f, i) => (Math.abs(Math.log(f / 500)) < Math.abs(Math.log(frequency[best] / 500)) ? i : best),
    0,
  );
  return value[nearest];
}

export const rootMeanSquare = (x: Float64Array) => Math.sqrt(x.reduce((s, v) => s + v * v, 0) / x.length);
export const highest = (x: Float64Array) => x.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
