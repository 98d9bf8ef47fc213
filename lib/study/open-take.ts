/**
 * A show's recordings, opened: the channels asked for, what is wrong with each, and one clock for all of a take.
 */
import { MeasurementFileError } from "../measurement/file-error";
import { recordingHealth } from "../measurement/health/recording";
import { openWav, type Recording, readOpened, type WavReader } from "../measurement/wav/read";
import { fileLimit } from "./file-limits";
import { type Clocks, onOneClock } from "./one-clock";
import { type Part, partOfRecording } from "./part-of-recording";
import { insideFolder, type Show } from "./read-show";
import type { RecordedTake } from "./show-file";

const LONGEST = 120; // seconds of a take that are used; more would narrow the error band no further than the room allows
const SHORTEST = 10; // seconds that are used of each however many channels there are

export interface OpenTake {
  readonly reference: Float64Array;
  readonly channels: ReadonlyMap<number, Float64Array>;
  readonly sampleRate: number;
  /** Whether reference and microphones ran by one clock, or how theirs differed is known and taken out. */
  readonly oneClock: boolean;
  /** Seconds of the file before them. */
  readonly start: number;
  /** Why a channel can't be used, by number from 1. */
  readonly faulty: ReadonlyMap<number, string>;
  /** Channels that can be used but are clipped, or have gaps. */
  readonly damaged: ReadonlySet<number>;
}

/**
 * Opens a take: reference and microphones at one sample rate and on one clock.
 *
 * @param where     the take stands in the show file, such as "takes[0]"
 * @param warnings  is added to
 * @param clocks    drift of devices as earlier takes have told it; is added to
 * @throws RangeError, or an error of the file, when the reference can't be used
 */
export function openTake(
  show: Show,
  take: RecordedTake,
  where: string,
  warnings: string[],
  clocks: Clocks = new Map(),
): OpenTake {
  const own = typeof take.reference === "number" ? undefined : take.reference;
  const referenceChannel =
    typeof take.reference === "number" ? take.reference : (take.reference.channel ?? 1);
  const wanted = [...new Set(Object.values(take.microphones))];
  const numbers = own ? wanted : [...new Set([referenceChannel, ...wanted])];
  const pick = partOf(take);
  const count = numbers.length + (own ? 1 : 0);
  // What was sent tells where the signal is; of a reference in a file of its own the same part is taken.
  const other = own
    ? load(show, own.recording, `${where}.reference.recording`, [referenceChannel], warnings, {
        ...pick,
        count,
        sent: [referenceChannel],
      })
    : undefined;
  const main = load(show, take.recording, `${where}.recording`, numbers, warnings, {
    ...pick,
    count,
    ...(other ? { part: other.part } : { judge: [referenceChannel], sent: [referenceChannel] }),
  });
  let reference = main.channels.get(referenceChannel);
  let channels: ReadonlyMap<number, Float64Array> = main.channels;
  let oneClock = true;
  if (own && other) {
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
    if (own.sameRecorder !== true) {
      const healthy = new Map([...channels].filter(([n]) => !main.faulty.has(n)));
      const clock = onOneClock(take, reference!, healthy, main.sampleRate, clocks);
      channels = clock.channels;
      oneClock = clock.told;
      if (clock.warning) warnings.push(clock.warning);
    }
  } else {
    refuseFaulty(main.faulty.get(referenceChannel));
  }
  return {
    reference: reference!,
    channels,
    sampleRate: main.sampleRate,
    oneClock,
    start: main.part.start / main.sampleRate,
    faulty: main.faulty,
    damaged: main.damaged,
  };
}

/** @throws RangeError with the message, where there is one */
export function refuseFaulty(message: string | undefined): void {
  if (message) throw new RangeError(message);
}

/** The part that the show file names. */
export const partOf = ({ from, to }: { readonly from?: number; readonly to?: number }): Loading => ({
  ...(from !== undefined && { from }),
  ...(to !== undefined && { to }),
});

/** What part of a recording to load. */
export interface Loading {
  /** Seconds from the start of the file. */
  readonly from?: number;
  readonly to?: number;
  /** Frames chosen in another recording that ran with this one. */
  readonly part?: Part;
  /** Channels, numbered from 1, whose level decides what part of a long recording is used; by default all. */
  readonly judge?: readonly number[];
  /** Whether a signal (by default) or the quiet is looked for in a long one. */
  readonly look?: "loud" | "quiet";
  /** Channels, numbered from 1, that hold what was sent. */
  readonly sent?: readonly number[];
  /** Channels that share the memory; by default those of this recording. */
  readonly count?: number;
}

/**
 * Some channels of a recording, each with what is wrong with it.
 *
 * @param name      of the file in the show's folder
 * @param where     in the show file it is named
 * @param numbers   channels wanted, from 1
 * @param warnings  is added to
 * @param loading   which part
 */
export function load(
  show: Show,
  name: string,
  where: string,
  numbers: readonly number[],
  warnings: string[],
  loading: Loading = {},
) {
  const reader = openWav(insideFolder(show.folder, name, show.fileName, where));
  try {
    return channelsOf(reader, name, numbers, warnings, loading);
  } finally {
    reader.close();
  }
}

function channelsOf(
  reader: WavReader,
  name: string,
  numbers: readonly number[],
  warnings: string[],
  loading: Loading,
) {
  const faulty = new Map<number, string>();
  const damaged = new Set<number>();
  const { channels: count, sampleRate } = reader;
  const there = numbers.filter((n) => {
    if (n > count) {
      faulty.set(
        n,
        `recording "${name}": channel ${n} does not exist, the file has ${count}; correct the show file`,
      );
    }
    return n <= count;
  });
  const part = partToUse(reader, name, there, warnings, loading);
  const selection = { channels: there.map((n) => n - 1), ...part };
  const recording: Recording = { ...readOpened(reader, selection, Number.POSITIVE_INFINITY), name };
  warnings.push(...recording.warnings);
  const sent = there.flatMap((n, i) => (loading.sent?.includes(n) ? [i] : []));
  for (const fault of recordingHealth(recording, { start: part.start / sampleRate, sent }).faults) {
    const number = fault.channel === undefined ? undefined : there[fault.channel];
    const message =
      number === undefined
        ? fault.message
        : fault.message.replace(`channel ${fault.channel! + 1}`, `channel ${number}`);
    if (!fault.fatal) warnings.push(message);
    if (number !== undefined && (fault.kind === "clipping" || fault.kind === "gap")) damaged.add(number);
    if (!fault.fatal) continue;
    if (number === undefined) throw new RangeError(message);
    faulty.set(number, message);
  }
  return {
    channels: new Map(there.map((n, i) => [n, recording.channels[i]])),
    sampleRate,
    faulty,
    damaged,
    part,
  };
}

/** The frames to use, as many as memory allows; says so where others were left out that nobody asked to leave out. */
function partToUse(
  reader: WavReader,
  name: string,
  there: readonly number[],
  warnings: string[],
  { from, to, part, judge, look = "loud", count = there.length }: Loading,
): Part {
  if (part) return part;
  const { sampleRate, frames } = reader;
  const seconds = frames / sampleRate;
  if ((from ?? 0) >= seconds) {
    throw new MeasurementFileError(
      "recording",
      name,
      "from",
      `is ${from} s, and the recording lasts ${seconds.toFixed(1)} s`,
      'correct "from" in the show file',
    );
  }
  const held = fileLimit("samples") / (8 * Math.max(1, count));
  const most = Math.floor(Math.max(SHORTEST * sampleRate, Math.min(LONGEST * sampleRate, held)));
  const channels = (judge ?? there).filter((n) => n <= reader.channels).map((n) => n - 1);
  const { of, ...used } = partOfRecording(reader, { most, channels, look, ...partOf({ from, to }) });
  if (used.frames < of) {
    const at = (n: number) => (n / sampleRate).toFixed(0);
    warnings.push(
      `recording "${name}": of ${(of / sampleRate).toFixed(0)} s the part from ${at(used.start)} to ${at(used.start + used.frames)} s is used, the steadiest and ${look === "loud" ? "loudest" : "quietest"}; "from" and "to" in the show file choose another`,
    );
  }
  return used;
}
