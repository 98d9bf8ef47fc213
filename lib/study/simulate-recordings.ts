/**
 * Invented recordings: what microphones would have picked up in a venue, made from its model.
 *
 * The drive is pink noise that repeats without a seam, so that a whole recording is one period and every sample of it
 * is in the steady state. Each microphone hears the model's direct sound and reflections, a reverberant tail with the
 * model's diffuse energy, reflections that the venue file knows nothing of where one is asked for, and its own noise.
 */

import { decibelToAmplitude, referencePressure } from "../acoustics/level/decibel";
import type { Point } from "../acoustics/point";
import { modelSurvey } from "../field/model-survey";
import { fourierTransform, nextPowerOfTwo } from "../measurement/spectra/fft";
import { uniform } from "../numeric/random";
import type { NamedPoint, Venue } from "../venue/venue";
import {
  addEcho,
  bandNoise,
  bins,
  delayed,
  finish,
  flat,
  highest,
  pinkDrive,
  product,
  reverberationSeconds,
  rootMeanSquare,
  type Spectrum,
  sum,
  toSamples,
  withTail,
} from "./simulate-spectra";

export interface SimulateOptions {
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
  /** Microphones that were moved before both mains and subs played. */
  readonly moved?: readonly Moved[];
}

/** A copy of the mains at one place. */
export interface Echo {
  readonly position: string;
  /** Seconds after the direct sound; a fill that is nearer than the mains comes before it: negative. */
  readonly delay: number;
  /** dB against the direct sound. */
  readonly level: number;
}

export interface Disturbance {
  readonly position: string;
  /** The band's edges, hertz. */
  readonly from: number;
  readonly to: number;
  /** dB against what this place hears of the mains alone in the band; 0 halves the coherence there. */
  readonly level: number;
}

/** A stand that somebody kicked. */
export interface Moved {
  readonly position: string;
  /** Where it stands afterwards, metres. */
  readonly to: Point;
}

export interface MicrophoneFault {
  /** dB */
  readonly gain?: number;
  readonly polarity?: 1 | -1;
}

export interface SimulatedRecordings {
  readonly sampleRate: number;
  /** What was sent to the loudspeakers, full scale is 1. */
  readonly reference: Float64Array;
  /** One array per place, all on one scale, for each of mains alone, subs alone, and both. */
  readonly mains: readonly Float64Array[];
  readonly subs: readonly Float64Array[];
  readonly both: readonly Float64Array[];
  /** All microphones side by side near the loudspeakers, for matching them. */
  readonly match: readonly Float64Array[];
  /** What the microphones pick up while nothing plays, disturbances included; half as long. */
  readonly noise: readonly Float64Array[];
  /** Two seconds of a sound calibrator of 1 kHz and 94 dB on each microphone, on the scale of mains, subs and both. */
  readonly calibrator: readonly Float64Array[];
}

/**
 * Makes recordings of a venue at some of its places.
 *
 * @param venue   the venue
 * @param places  where the microphones stand
 * @returns samples for each microphone, deterministic by the seed
 */
export function simulateRecordings(
  venue: Venue,
  places: readonly NamedPoint[],
  options: SimulateOptions = {},
): SimulatedRecordings {
  const { sampleRate = 16000, seconds = 8, seed = 1, noise = 45, latency = 0.0053 } = options;
  const size = nextPowerOfTwo(seconds * sampleRate);
  const transform = fourierTransform(size);
  const random = uniform(seed);
  const { first, frequency } = bins(size, sampleRate);
  const drive = pinkDrive(frequency, random);

  const moved = (options.moved ?? []).map(({ position, to }) => ({ id: position, point: to }));
  const positions = [...places, ...moved].map((p) => ({
    id: p.id,
    point: p.point,
    area: "microphones",
    people: 0,
  }));
  const survey = modelSurvey(venue, positions, { frequency });
  const tail = reverberationSeconds(venue);
  const spectra = positions.map(({ id }, i) => {
    const mains = withTail(survey.mains[i], transform, tail, sampleRate, random, first);
    for (const echo of (options.echoes ?? []).filter((e) => e.position === id))
      addEcho(mains, frequency, echo);
    const subs = withTail(survey.subs[i], transform, tail, sampleRate, random, first);
    return { mains, subs, both: sum(mains, subs) };
  });
  const gains = places.map(
    (_, i) => 10 ** ((options.microphones?.[i]?.gain ?? 0) / 20) * (options.microphones?.[i]?.polarity ?? 1),
  );
  const render = (spectrum: Spectrum, gain: number) =>
    toSamples(delayed(product(spectrum, drive), frequency, latency), transform, first, gain);
  const disturb = (samples: Float64Array, i: number) => {
    for (const each of (options.disturbances ?? []).filter((d) => d.position === places[i].id)) {
      const signal = product(spectra[i].mains, drive);
      const added = toSamples(
        bandNoise(signal, frequency, each, random),
        transform,
        first,
        Math.abs(gains[i]),
      );
      samples.forEach((x, n) => {
        samples[n] = x + added[n];
      });
    }
    return samples;
  };

  const kinds = ["mains", "subs", "both"] as const;
  const heard = kinds.map((kind) =>
    places.map(({ id }, i) => {
      const after = kind === "both" ? moved.findIndex((m) => m.id === id) : -1;
      return disturb(render(spectra[after < 0 ? i : places.length + after][kind], gains[i]), i);
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

  const alone = places.map((_, i) =>
    finish(disturb(new Float64Array(size), i).subarray(0, size / 2), scale, floor, random),
  );
  const reference = toSamples(drive, transform, first, 1);
  const referenceScale = 0.4 / highest(reference);
  const sent = reference.map((x) => x * referenceScale);
  const perPascal = pinkPerThird(size, sampleRate);
  const calibrator = gains.map((gain) => {
    const tone = calibratorTone(sampleRate, Math.abs(gain) * perPascal);
    return finish(tone, scale, 0.01 * rootMeanSquare(tone), random); // its coupler shuts out the noise of the place
  });
  return { sampleRate, reference: sent, mains, subs, both, match, noise: alone, calibrator };
}

/**
 * Effective value of the drive in a third-octave band, before scaling; a model's response is in pascals for 1 of it.
 *
 * A bin of magnitude 1/√f on either side of the spectrum has the mean square 2/(N² f); a third of an octave (a tenth
 * of a decade) holds ln 10 / 10 · f / Δf of them.
 */
function pinkPerThird(size: number, sampleRate: number): number {
  return Math.sqrt(((2 / size ** 2) * (Math.LN10 / 10) * size) / sampleRate);
}

/** 94 dB at 1 kHz for two seconds, with this effective value for a pascal. */
function calibratorTone(sampleRate: number, perPascal: number): Float64Array {
  const amplitude = referencePressure * decibelToAmplitude(94) * Math.SQRT2 * perPascal;
  return Float64Array.from(
    { length: 2 * sampleRate },
    (_, n) => amplitude * Math.sin((2 * Math.PI * 1000 * n) / sampleRate),
  );
}
