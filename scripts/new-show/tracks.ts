/** What lies in a folder: its recordings, each channel of them a track with what can be heard of it at a glance. */
import { readdirSync } from "node:fs";
import path from "node:path";
import { thirdOctavePowers } from "../../lib/measurement/spectra/third-octave-powers";
import { openWav, type WavReader } from "../../lib/measurement/wav/read";
import { isOfLibrary } from "../setup/setup-error.mjs";

export interface Track {
  /** Name of its file in the folder. */
  readonly file: string;
  /** From 1. */
  readonly channel: number;
  readonly sampleRate: number;
  /** Some seconds from the middle of the recording. */
  readonly samples: Float64Array;
  /** Levels, dB re full scale: of all, from 28 to 90 Hz, from 450 to 2250 Hz. */
  readonly level: number;
  readonly low: number;
  readonly mid: number;
  /** How far the strongest third octave stands above all others together, dB. */
  readonly tone: number;
  readonly thirds: readonly { readonly frequency: number; readonly level: number }[];
}

/** A file of a folder, or why it could not be read. */
export interface FoundFile {
  readonly name: string;
  readonly seconds: number;
  readonly tracks: readonly Track[];
}

const MOST_FILES = 200;

/** The WAV files of a folder, in order of their names; those that can't be read are told. */
export function filesIn(folder: string): { readonly files: FoundFile[]; readonly problems: string[] } {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.wav$/i.test(entry.name))
    .map(({ name }) => name)
    .sort((a, b) => stem(a).localeCompare(stem(b), "en", { numeric: true }));
  if (names.length > MOST_FILES)
    throw new RangeError(`${folder} holds ${names.length} WAV files, expected ${MOST_FILES} at most`);
  const problems: string[] = [];
  const files = names.flatMap((name) => {
    try {
      const reader = openWav(path.join(folder, name));
      try {
        return [{ name, seconds: reader.frames / reader.sampleRate, tracks: tracksOf(reader, name) }];
      } finally {
        reader.close();
      }
    } catch (error) {
      if (!isOfLibrary(error as Error)) throw error;
      problems.push((error as Error).message);
      return [];
    }
  });
  return { files, problems };
}

/** "mains" comes before "mains 2". */
const stem = (name: string) => path.parse(name).name;

const HEARD = 6; // seconds of each recording

function tracksOf(reader: WavReader, file: string): Track[] {
  const { sampleRate, frames, channels } = reader;
  const length = Math.min(frames, Math.round(HEARD * sampleRate));
  const into = Array.from({ length: channels }, () => new Float64Array(length));
  reader.read(into, Math.floor((frames - length) / 2));
  return into.map((samples, i) => {
    const bands = thirdOctavePowers(samples, sampleRate, { from: 25, to: 8000, name: `recording "${file}"` });
    const total = bands.reduce((sum, { power }) => sum + power, 0);
    const strongest = Math.max(...bands.map(({ power }) => power));
    const within = (from: number, to: number) =>
      decibels(
        bands.reduce((sum, { band, power }) => (band.exact > from && band.exact < to ? sum + power : sum), 0),
      );
    return {
      file,
      channel: i + 1,
      sampleRate,
      samples,
      level: decibels(total),
      low: within(28, 90),
      mid: within(450, 2250),
      tone: decibels(strongest) - decibels(total - strongest),
      thirds: bands.map(({ band, power }) => ({ frequency: band.nominal, level: decibels(power) })),
    };
  });
}

const decibels = (power: number): number => 10 * Math.log10(Math.max(power, 1e-16));
