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
import { type Complexes, delayFactor, product } from "../numeric/complexes";
import { uniform } from "../numeric/random";
import type { NamedPoint, Venue } from "../venue/venue";
import {
  addEcho,
  bandNoise,
  bins,
  finish,
  highest,
  pinkDrive,
  reverberationSeconds,
  rootMeanSquare,
  sum,
  toSamples,
  withTail,
} from "./simulate-spectra";

export interface SimulateOptions {
  /** hertz. Default 16 000. */
  readonly sampleRate?: number;
  /** Least length, seconds; made longer up to the next power of two of samples. Default 8. */
  readonly seconds?: number;
  /** The same seed gives the same samples. Default 1. */
  readonly seed?: number;
  /** Noise of each microphone, dB below the loudest microphone's signal. Default 45. */
  readonly noise?: number;
  /** Delay of the processing before the loudspeakers, seconds. Default 0.0053. */
  readonly latency?: number;
  /** Reflections of the mains that the venue file lacks, and loudspeakers nearer than they. */
  readonly echoes?: readonly Echo[];
  /** Noise that one microphone hears in one band, such as from a fan. */
  readonly disturbances?: readonly Disturbance[];
  /** One per microphone, in the order of the positions; a microphone without an entry is perfect. */
  readonly microphones?: readonly MicrophoneFault[];
  /** Microphones that were moved before both mains and subs played. */
  readonly moved?: readonly Moved[];
}

/** A copy of the mains at one position. */
export interface Echo {
  /** Id of the position. */
  readonly position: string;
  /** Seconds after the direct sound; a fill that is nearer than the mains comes before it: negative. */
  readonly delay: number;
  /** Level relative to the mains there, dB. */
  readonly level: number;
}

/** Noise that one microphone hears in one band. */
export interface Disturbance {
  /** Id of the position. */
  readonly position: string;
  /** Lower edge of the band, hertz. */
  readonly from: number;
  /** Upper edge of the band, hertz. */
  readonly to: number;
  /** Level relative to the mains alone at this position in the band, dB; 0 halves the coherence there. */
  readonly level: number;
}

/** A stand that somebody kicked. */
export interface Moved {
  /** Id of the position. */
  readonly position: string;
  /** Where it stands afterwards, metres. */
  readonly to: Point;
}

/** What sets a microphone apart from a perfect one. */
export interface MicrophoneFault {
  /** dB. Default 0. */
  readonly gain?: number;
  /** −1 where it is inverted. Default 1. */
  readonly polarity?: 1 | -1;
}

export interface SimulatedRecordings {
  /** hertz */
  readonly sampleRate: number;
  /** What was sent to the loudspeakers, samples, full scale is 1. */
  readonly reference: Float64Array;
  /** The mains alone: samples, one array per position, on one scale with `subs` and `both`. */
  readonly mains: readonly Float64Array[];
  /** The subs alone, likewise. */
  readonly subs: readonly Float64Array[];
  /** Mains and subs together, likewise. */
  readonly both: readonly Float64Array[];
  /** All microphones side by side near the loudspeakers, for matching them; a quarter as long. */
  readonly match: readonly Float64Array[];
  /** What the microphones pick up while nothing plays, disturbances included; half as long. */
  readonly noise: readonly Float64Array[];
  /** Two seconds of a sound calibrator of 1 kHz and 94 dB on each microphone, on the scale of mains, subs and both. */
  readonly calibrator: readonly Float64Array[];
}

/**
 * Makes recordings of a venue at some of its positions, as microphones there would make them, from its model.
 *
 * The drive is pink noise that repeats without a seam, so that a whole recording is one period and every sample of it
 * is in the steady state. Each microphone hears the model's direct sound and reflections, a reverberant tail with the
 * model's diffuse energy, and its own noise; more can be asked for.
 *
 * @param venue  what stands where
 * @param positions  where the microphones stand, metres, such as `venue.positions`
 * @param options  sample rate, hertz; length, seconds; seed; noise, dB; what goes wrong
 * @returns samples for each microphone, full scale 1, the same for the same seed
 * @throws RangeError when an echo, a disturbance or a moved microphone is at none of the positions, or the band of a disturbance
 *   holds no frequency of the recording
 * @source own way, no outside source; check: tests/study/simulate-recordings.test.ts
 * @example
 * const cellar = read.venue("ombrik-cellar");
 * const length = { seconds: 0.5, sampleRate: 8000 }; // 4000 samples, up to the next power of two
 * predict.recordings(cellar, cellar.positions.slice(0, 1), length).mains[0].length // 4096
 */
export function simulateRecordings(
  venue: Venue,
  positions: readonly NamedPoint[],
  options: SimulateOptions = {},
): SimulatedRecordings {
  const { sampleRate = 16000, seconds = 8, seed = 1, noise = 45, latency = 0.0053 } = options;
  const size = nextPowerOfTwo(seconds * sampleRate);
  const transform = fourierTransform(size);
  const random = uniform(seed);
  const { first, frequency } = bins(size, sampleRate);
  const drive = pinkDrive(frequency, random);

  const { echoes = [], disturbances = [] } = options;
  for (const { position } of [...echoes, ...disturbances, ...(options.moved ?? [])])
    if (!positions.some(({ id }) => id === position))
      throw new RangeError(
        `no microphone stands at "${position}", expected one of ${positions.map(({ id }) => `"${id}"`).join(", ")}`,
      );
  const moved = (options.moved ?? []).map(({ position, to }) => ({ id: position, point: to }));
  const stands = [...positions, ...moved].map((p) => ({
    id: p.id,
    point: p.point,
    area: "microphones",
    people: 0,
  }));
  const survey = modelSurvey(venue, stands, { frequency });
  const tail = reverberationSeconds(venue);
  const spectra = stands.map(({ id }, i) => {
    const mains = withTail(survey.mains[i], transform, tail, sampleRate, random, first);
    for (const echo of echoes.filter((e) => e.position === id)) addEcho(mains, frequency, echo);
    const subs = withTail(survey.subs[i], transform, tail, sampleRate, random, first);
    return { mains, subs, both: sum(mains, subs) };
  });
  const gains = positions.map(
    (_, i) => 10 ** ((options.microphones?.[i]?.gain ?? 0) / 20) * (options.microphones?.[i]?.polarity ?? 1),
  );
  const late = delayFactor(frequency, latency);
  const render = (spectrum: Complexes, gain: number) =>
    toSamples(product(product(spectrum, drive), late), transform, first, gain);
  const disturb = (samples: Float64Array, i: number) => {
    for (const each of disturbances.filter((d) => d.position === positions[i].id)) {
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
    positions.map(({ id }, i) => {
      const after = kind === "both" ? moved.findIndex((m) => m.id === id) : -1;
      return disturb(render(spectra[after < 0 ? i : positions.length + after][kind], gains[i]), i);
    }),
  );
  const loudest = Math.max(...heard.flat().map(rootMeanSquare));
  const peak = Math.max(...heard.flat().map(highest));
  const scale = 0.4 / peak; // 8 dB under full scale, as one would leave it
  const floor = loudest * 10 ** (-noise / 20);
  const [mains, subs, both] = heard.map((take) => take.map((x) => finish(x, scale, floor, random)));

  const side = gains.map((gain) => toSamples(drive, transform, first, gain));
  const sideScale = 0.4 / Math.max(...side.map(highest));
  const matchFloor = rootMeanSquare(side[0]) * 10 ** (-noise / 20);
  const length = size / 4;
  const match = side.map((x) => finish(x.subarray(0, length), sideScale, matchFloor, random));

  const alone = positions.map((_, i) =>
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
