/** The recording made while all loudspeakers were muted: it tells noise from reverberation. */
import { modelFrequencies } from "../field/frequencies";
import { noiseDensity } from "../measurement/transfer/noise";
import { listed } from "../text/listed";
import { load, partOf } from "./open-take";
import type { Show } from "./read-show";
import { allTakes } from "./show-file";

/** Density of the noise at each channel of that recording, mean square per hertz at the model's frequencies. */
export type NoiseFloor = ReadonlyMap<number, Float64Array>;

/** Those of a show, where it has them; `warnings` is added to. */
export function noiseFloorOf(show: Show, warnings: string[]): NoiseFloor | undefined {
  const given = show.file.noiseFloor;
  const recorded = allTakes(show.file).flatMap(({ take }) =>
    "microphones" in take ? Object.values(take.microphones) : [],
  );
  if (!given) return undefined;
  const { channels, sampleRate } = load(
    show,
    given.recording,
    "noiseFloor.recording",
    [...new Set(recorded)],
    warnings,
    { ...partOf(given), look: "quiet" },
  );
  if (channels.size === 0) return undefined;
  const densities = noiseDensity([...channels.values()], sampleRate, modelFrequencies());
  return new Map([...channels.keys()].map((n, i) => [n, densities[i]]));
}

/** How the noise of a take was told. */
export interface NoiseTold {
  /** By a recording in which nothing plays, or by the take itself: "playing", or not at all. */
  readonly noise: "quiet" | "playing" | "untold";
  /** By how much the loudest noise would raise a level, were it taken for reverberation, dB. */
  readonly noiseCost: number;
}

/** Where the quiet that was recorded isn't the noise of a take. */
export interface OtherNoise {
  readonly position: string;
  /** File of the take. */
  readonly recording: string;
  /** By how much the quiet is louder than the noise in the take, dB; negative where it is softer. */
  readonly louder_db: number;
}

/** Of the sound's power in a band: what noise is taken for more or less than it is, about 0.1 dB. */
const MATTERS = 0.025;
/** Noise that differs by more than this factor isn't the same. */
const OTHER = 1.6;
/** Of the sound, what a take may count as noise for want of a perfect response. */
const IMPERFECT = 0.1;
/** What a take tells of its noise by itself, and of its sound. */
export interface ToldApart {
  /** Mean square per hertz, at the model's frequencies; no less than the noise, and infinite where nothing tells it. */
  readonly density: Float64Array;
  /** Power of the sound in the bands that decide, mean square. */
  readonly bands: readonly { readonly band: readonly [from: number, to: number]; readonly sound: number }[];
}

/**
 * Compares noise that was recorded in quiet with what a take holds besides its sound.
 *
 * @param frequency  hertz
 * @param quiet  mean square per hertz
 * @param told  by the take, at that microphone
 * @returns undefined where they are alike, or the difference is of no account
 */
export function noiseIsOther(
  frequency: Float64Array,
  quiet: Float64Array,
  { density, bands }: ToldApart,
): Pick<OtherNoise, "louder_db"> | undefined {
  for (const { band, sound } of bands) {
    const a = powerWithin(frequency, quiet, band);
    const b = powerWithin(frequency, density, band);
    const isLouder = a > OTHER * b && a - b > MATTERS * sound;
    // A little of the sound is always in what the take tells of its noise.
    const isSofter = b > OTHER * a && b - a > IMPERFECT * sound;
    if (isLouder || isSofter) return { louder_db: 10 * Math.log10(a / b) };
  }
  return undefined;
}

function powerWithin(
  frequency: Float64Array,
  density: Float64Array,
  [from, to]: readonly [number, number],
): number {
  let sum = 0;
  for (let i = 1; i < frequency.length; i++) {
    const width = Math.min(to, frequency[i]) - Math.max(from, frequency[i - 1]);
    if (width > 0) sum += (width * (density[i] + density[i - 1])) / 2;
  }
  return sum;
}

/** Where takes have another noise than was recorded in quiet: one sentence a recording and kind. */
export function otherNoiseWarnings(found: readonly OtherNoise[]): string[] {
  const recordings = [...new Set(found.map(({ recording }) => recording))];
  return recordings.flatMap((recording) =>
    [true, false].flatMap((louder) => {
      const some = found.filter((f) => f.recording === recording && f.louder_db > 0 === louder);
      if (some.length === 0) return [];
      const by = Math.max(...some.map(({ louder_db }) => Math.abs(louder_db))).toFixed(0);
      const where = listed(some.map(({ position }) => position));
      return [
        `recording "${recording}": the noise floor that was recorded is up to ${by} dB ${louder ? "louder" : "softer"} than the noise of this take at ${where}, as where a fan ${louder ? "stopped" : "started"} in between; the take's own noise is used, as far as it can be told from reverberation`,
      ];
    }),
  );
}

/** A take whose noise no quiet tells. */
export interface NoisyTake extends NoiseTold {
  /** File of the take. */
  readonly recording: string;
}

/** What it costs that noise was recorded nowhere: one sentence, or none. */
export function noiseWarning(takes: readonly NoisyTake[]): string[] {
  const where = takes.map(({ recording }) => `"${recording}"`).join(", ");
  if (takes.some(({ noise }) => noise === "untold")) {
    return [
      `there is no noise-floor recording, no quiet before the signal and too little of it in ${where}: noise counts as reverberation there, which makes quiet positions read too loud; record the noise floor`,
    ];
  }
  const cost = Math.max(0, ...takes.map(({ noiseCost }) => noiseCost));
  if (cost < 0.2) return [];
  return [
    `there is neither a noise-floor recording nor a second of quiet before the signal in ${where}: noise was told from reverberation by what stays incoherent over several seconds, and up to ${cost.toFixed(1)} dB of a position's level was taken for noise; where the air moved that is too much: record the noise floor`,
  ];
}
