/**
 * A show's recordings, opened: the channels asked for, what is wrong with each, and one clock for all of a take.
 */
import { MeasurementFileError } from "../measurement/file-error";
import { recordingHealth } from "../measurement/health/recording";
import { openWav, type Recording, readOpened, type WavReader } from "../measurement/wav/read";
import { fileLimit, raiseLimit } from "./file-limits";
import { onOneClock } from "./one-clock";
import { insideFolder, type Show } from "./read-show";
import type { RecordedTake } from "./show-file";

/** Hertz; subs alone say nothing above, and little below. */
export const SUB_BAND = { from: 25, to: 120 };

const LONGEST = 120; // seconds of a take that are used; more would narrow the error band no further than the room allows

export interface OpenTake {
  readonly reference: Float64Array;
  readonly channels: ReadonlyMap<number, Float64Array>;
  readonly sampleRate: number;
  /** Why a channel can't be used, by number from 1. */
  readonly faulty: ReadonlyMap<number, string>;
}

/**
 * Opens a take: reference and microphones at one sample rate and on one clock.
 *
 * @param index     of the take, for what is said of it
 * @param warnings  is added to
 * @throws RangeError, or an error of the file, when the reference can't be used
 */
export function openTake(show: Show, take: RecordedTake, index: number, warnings: string[]): OpenTake {
  const where = `takes[${index}]`;
  const own = typeof take.reference === "number" ? undefined : take.reference;
  const referenceChannel =
    typeof take.reference === "number" ? take.reference : (take.reference.channel ?? 1);
  const wanted = [...new Set(Object.values(take.microphones))];
  const numbers = own ? wanted : [...new Set([referenceChannel, ...wanted])];
  const main = load(show, take.recording, `${where}.recording`, numbers, warnings);
  let reference = main.channels.get(referenceChannel);
  let channels: ReadonlyMap<number, Float64Array> = main.channels;
  if (own) {
    const other = load(show, own.recording, `${where}.reference.recording`, [referenceChannel], warnings);
    if (other.sampleRate !== main.sampleRate) {
      throw new MeasurementFileError(
        "recording",
        own.recording,
        "sample rate",
        `is ${other.sampleRate} Hz where "${take.recording}" has ${main.sampleRate} Hz`,
        "record both at one rate, or convert one of them before",
      );
    }
    refuseFaulty(other.faulty.get(referenceChannel));
    reference = other.channels.get(referenceChannel);
    const names = { recording: take.recording, reference: own.recording };
    const band = take.playing === "subs" ? { band: SUB_BAND } : {};
    const healthy = new Map([...channels].filter(([n]) => !main.faulty.has(n)));
    const clock = onOneClock(names, reference!, healthy, main.sampleRate, band);
    channels = clock.channels;
    if (clock.warning) warnings.push(clock.warning);
  } else {
    refuseFaulty(main.faulty.get(referenceChannel));
  }
  return { reference: reference!, channels, sampleRate: main.sampleRate, faulty: main.faulty };
}

/** @throws RangeError with the message, where there is one */
export function refuseFaulty(message: string | undefined): void {
  if (message) throw new RangeError(message);
}

/**
 * Some channels of a recording, each with what is wrong with it.
 *
 * @param name      of the file in the show's folder
 * @param where     in the show file it is named
 * @param numbers   channels wanted, from 1
 * @param warnings  is added to
 */
export function load(
  show: Show,
  name: string,
  where: string,
  numbers: readonly number[],
  warnings: string[],
) {
  const reader = openWav(insideFolder(show.folder, name, show.fileName, where));
  try {
    return channelsOf(reader, name, numbers, warnings);
  } finally {
    reader.close();
  }
}

function channelsOf(reader: WavReader, name: string, numbers: readonly number[], warnings: string[]) {
  const faulty = new Map<number, string>();
  const { channels: count, sampleRate, frames } = reader;
  const there = numbers.filter((n) => {
    if (n > count) {
      faulty.set(
        n,
        `recording "${name}": channel ${n} does not exist, the file has ${count}; correct the show file`,
      );
    }
    return n <= count;
  });
  const most = Math.floor(LONGEST * sampleRate);
  // One frame more than is used tells that there was more, without holding an hour in memory.
  const selection = { channels: there.map((n) => n - 1), frames: most + 1 };
  const memory = 8 * there.length * Math.min(frames, most + 1);
  if (memory > fileLimit("samples")) {
    throw new MeasurementFileError(
      "recording",
      name,
      "size",
      `would take ${(memory / 1e9).toFixed(1)} GB of memory, expected at most ${fileLimit("samples") / 1e9} GB`,
      `cut it shorter or lower its sample rate; ${raiseLimit}`,
    );
  }
  const recording: Recording = { ...readOpened(reader, selection), name };
  if (recording.channels.some((samples) => samples.length > most)) {
    warnings.push(`recording "${name}": the first ${LONGEST} s are used`);
  }
  const cut = recording.channels.map((samples) => samples.subarray(0, most));
  warnings.push(...recording.warnings);
  for (const fault of recordingHealth({ ...recording, channels: cut }).faults) {
    const number = fault.channel === undefined ? undefined : there[fault.channel];
    const message =
      number === undefined
        ? fault.message
        : fault.message.replace(`channel ${fault.channel! + 1}`, `channel ${number}`);
    if (!fault.fatal) warnings.push(message);
    else if (number === undefined) throw new RangeError(message);
    else faulty.set(number, message);
  }
  return {
    channels: new Map(there.map((n, i) => [n, cut[i]])),
    sampleRate: recording.sampleRate,
    faulty,
  };
}
