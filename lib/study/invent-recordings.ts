/**
 * Invented recordings: what microphones would have picked up in a venue, made from its model.
 *
 * The drive is pink noise that repeats without a seam, so that a whole recording is one period and every sample of it
 * is in the steady state. Each microphone hears the model's direct sound and reflections, a reverberant tail with the
 * model's diffuse energy, reflections that the venue file knows nothing of where one is asked for, and its own noise.
 */

import type { Response } from "../acoustics/response";
import { uniform } from "../decision/random";
import { modelSurvey } from "../field/model-survey";
import { fourierTransform, nextPowerOfTwo } from "../measurement/fft";
import type { Place, Venue } from "../venue/venue";

export interface InventOptions {
  /** hertz */
  readonly sampleRate?: number;
  /** Wanted length, seconds; made longer up to the next power of two of samples. */
  readonly seconds?: number;
  /** The same seed gives the same samples. */
  readonly seed?: number;
  /** Noise of each microphone, dB below the loudest microphone's signal. */
  readonly noise?: number;
  /** Delay of the processing before the loudspeakers, seconds. */
  readonly latency?: number;
  /** Reflections of the mains that the venue file lacks, and loudspeakers nearer than they. */
  readonly echoes?: readonly Echo[];
  /** Noise that one microphone hears in one band, such as from a fan. */
  readonly disturbances?: readonly Disturbance[];
  /** One per place; a microphone without an entry is perfect. */
  readonly microphones?: readonly MicrophoneFault[];
}

/** A copy of the mains at one place. */
export interface Echo {
  readonly place: string;
  /** Seconds after the direct sound; a fill that is nearer than the mains comes before it: negative. */
  readonly delay: number;
  /** dB against the direct sound. */
  readonly level: number;
}

export interface Disturbance {
  readonly place: string;
  /** The band's edges, hertz. */
  readonly from: number;
  readonly to: number;
  /** dB against what this place hears of the mains alone in the band; 0 halves the coherence there. */
  readonly level: number;
}

export interface MicrophoneFault {
  /** dB */
  readonly gain?: number;
  readonly polarity?: 1 | -1;
}

export interface InventedRecordings {
  readonly sampleRate: number;
  /** What was sent to the loudspeakers, full scale is 1. */
  readonly reference: Float64Array;
  /** One array per place, all on one scale, for each of mains alone, subs alone, and both. */
  readonly mains: readonly Float64Array[];
  readonly subs: readonly Float64Array[];
  readonly both: readonly Float64Array[];
  /** All microphones side by side near the loudspeakers, for matching them. */
  readonly match: readonly Float64Array[];
  /** What the microphones pick up while nothing plays, half as long. */
  readonly noise: readonly Float64Array[];
}

/**
 * Makes recordings of a venue at some of its places.
 *
 * @param venue   the venue
 * @param places  where the microphones stand
 * @returns samples for each microphone, deterministic by the seed
 */
export function inventRecordings(
  venue: Venue,
  places: readonly Place[],
  options: InventOptions = {},
): InventedRecordings {
  const { sampleRate = 16000, seconds = 8, seed = 1, noise = 45, latency = 0.0053 } = options;
  const size = nextPowerOfTwo(seconds * sampleRate);
  const transform = fourierTransform(size);
  const random = uniform(seed);
  const { first, frequency } = bins(size, sampleRate);
  const drive = pinkDrive(frequency, random);

  const positions = places.map((p) => ({ id: p.id, point: p.point, area: "microphones", people: 0 }));
  const survey = modelSurvey(venue, positions, { frequency });
  const tail = reverberationSeconds(venue);
  const echoes = options.echoes ?? [];
  const spectra = places.map((place, i) => {
    const mains = withTail(survey.mains[i], transform, tail, sampleRate, random, first);
    for (const echo of echoes.filter((e) => e.place === place.id)) addEcho(mains, frequency, echo);
    const subs = withTail(survey.subs[i], transform, tail, sampleRate, random, first);
    return { mains, subs, both: sum(mains, subs) };
  });
  const gains = places.map(
    (_, i) => 10 ** ((options.microphones?.[i]?.gain ?? 0) / 20) * (options.microphones?.[i]?.polarity ?? 1),
  );
  const render = (spectrum: Spectrum, gain: number) =>
    toSamples(delayed(product(spectrum, drive), frequency, latency), transform, first, gain);

  const kinds = ["mains", "subs", "both"] as const;
  const heard = kinds.map((kind) =>
    spectra.map((s, i) => {
      const samples = render(s[kind], gains[i]);
      for (const each of (options.disturbances ?? []).filter((d) => d.place === places[i].id)) {
        const noise = toSamples(
          bandNoise(product(s.mains, drive), frequency, each, random),
          transform,
          first,
          1,
        );
        samples.forEach((x, n) => {
          samples[n] = x + Math.abs(gains[i]) * noise[n];
        });
      }
      return samples;
    }),
  );
  const loudest = Math.max(...heard.flat().map(rootMeanSquare));
  const peak = Math.max(...heard.flat().map(highest));
  const scale = 0.4 / peak; // 8 dB under full scale, as one would leave it
  const floor = loudest * 10 ** (-noise / 20);
  const [mains, subs, both] = heard.map((take) => take.map((x) => finish(x, scale, floor, random)));

  const one = flat(frequency);
  const side = gains.map((gain) => toSamples(product(one, drive), transform, first, gain));
  const sideScale = 0.4 / Math.max(...side.map(highest));
  const matchFloor = rootMeanSquare(side[0]) * 10 ** (-noise / 20);
  const length = size / 4;
  const match = side.map((x) => finish(x.subarray(0, length), sideScale, matchFloor, random));

  const silence = new Float64Array(size / 2);
  const alone = places.map(() => finish(silence, scale, floor, random));
  const reference = toSamples(drive, transform, first, 1);
  const referenceScale = 0.4 / highest(reference);
  const sent = reference.map((x) => x * referenceScale);
  return { sampleRate, reference: sent, mains, subs, both, match, noise: alone };
}

interface Spectrum {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Transform bins between 20 Hz and nine tenths of half the sample rate. */
function bins(size: number, sampleRate: number): { first: number; frequency: Float64Array } {
  const step = sampleRate / size;
  const first = Math.ceil(20 / step);
  const last = Math.floor((0.45 * sampleRate) / step);
  return { first, frequency: Float64Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step) };
}

/** Equal power in each third octave, phases at random: one period of pink noise. */
function pinkDrive(frequency: Float64Array, random: () => number): Spectrum {
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  frequency.forEach((f, i) => {
    const phase = 2 * Math.PI * random();
    re[i] = Math.cos(phase) / Math.sqrt(f);
    im[i] = Math.sin(phase) / Math.sqrt(f);
  });
  return { re, im };
}

/** The response with its diffuse energy as noise that dies away over the reverberation time. */
function withTail(
  response: Response,
  transform: ReturnType<typeof fourierTransform>,
  seconds: number,
  sampleRate: number,
  random: () => number,
  first: number,
): { re: Float64Array; im: Float64Array } {
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

function addEcho(spectrum: Spectrum, frequency: Float64Array, { delay, level }: Echo): void {
  const g = 10 ** (level / 20);
  frequency.forEach((f, i) => {
    const c = g * Math.cos(2 * Math.PI * f * delay);
    const s = -g * Math.sin(2 * Math.PI * f * delay);
    const { re, im } = { re: spectrum.re[i], im: spectrum.im[i] };
    spectrum.re[i] += c * re - s * im;
    spectrum.im[i] += c * im + s * re;
  });
}

/** Noise with the mean power that the signal has in a band, raised by a level, and phases of its own. */
function bandNoise(
  signal: Spectrum,
  frequency: Float64Array,
  { from, to, level }: Disturbance,
  random: () => number,
): Spectrum {
  const inside = [...frequency.keys()].filter((i) => frequency[i] >= from && frequency[i] <= to);
  if (inside.length === 0) {
    throw new RangeError(`a disturbance from ${from} to ${to} Hz holds no frequency of the recording`);
  }
  const power = inside.reduce((total, i) => total + signal.re[i] ** 2 + signal.im[i] ** 2, 0) / inside.length;
  const magnitude = Math.sqrt(power) * 10 ** (level / 20);
  const noise = { re: new Float64Array(frequency.length), im: new Float64Array(frequency.length) };
  for (const i of inside) {
    const phase = 2 * Math.PI * random();
    noise.re[i] = magnitude * Math.cos(phase);
    noise.im[i] = magnitude * Math.sin(phase);
  }
  return noise;
}

const sum = (a: Spectrum, b: Spectrum): Spectrum => ({
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});

const product = (a: Spectrum, b: Spectrum): Spectrum => ({
  re: a.re.map((x, i) => x * b.re[i] - a.im[i] * b.im[i]),
  im: a.re.map((x, i) => x * b.im[i] + a.im[i] * b.re[i]),
});

const flat = (frequency: Float64Array): Spectrum => ({
  re: new Float64Array(frequency.length).fill(1),
  im: new Float64Array(frequency.length),
});

function delayed(spectrum: Spectrum, frequency: Float64Array, seconds: number): Spectrum {
  const turn = {
    re: frequency.map((f) => Math.cos(2 * Math.PI * f * seconds)),
    im: frequency.map((f) => -Math.sin(2 * Math.PI * f * seconds)),
  };
  return product(spectrum, turn);
}

function toSamples(
  spectrum: Spectrum,
  transform: ReturnType<typeof fourierTransform>,
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

function finish(samples: Float64Array, scale: number, floor: number, random: () => number): Float64Array {
  const width = floor * Math.sqrt(12); // an even spread of this width has the wanted rms
  return samples.map((x) => scale * (x + width * (random() - 0.5)));
}

/** Reverberation time in the octave around 500 Hz, seconds; a tail needs one number. */
function reverberationSeconds(venue: Venue): number {
  const { frequency, value } = venue.room?.reverberationTime ?? { frequency: [500], value: [0.3] };
  const nearest = frequency.reduce(
    (best, f, i) => (Math.abs(Math.log(f / 500)) < Math.abs(Math.log(frequency[best] / 500)) ? i : best),
    0,
  );
  return value[nearest];
}

const rootMeanSquare = (x: Float64Array) => Math.sqrt(x.reduce((s, v) => s + v * v, 0) / x.length);
const highest = (x: Float64Array) => x.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
