/**
 * Channels from one recording or from several, as one stream of blocks: a reference from the console's file, microphones from another's.
 */
import { MeasurementFileError } from "../file-error";
import { openWav, requireChannel, type WavReader } from "./read";

/** A channel of a recording. */
export interface ChannelOfFile {
  /** Path, or a recording that is open already (it is then not closed here). */
  readonly file: string | WavReader;
  /** From 0. */
  readonly channel: number;
}

/** Channels that run together. */
export interface OpenChannels {
  /** Hertz, of all. */
  readonly sampleRate: number;
  /** Frames of the shortest. */
  readonly frames: number;
  /** Those of the files, and where one is shorter than another. */
  readonly warnings: readonly string[];
  /**
   * All frames in order, one array per channel. The arrays are used again for the next block: copy what you keep.
   *
   * @param frames  frames of a block; the last one is shorter
   */
  blocks(frames?: number): Generator<readonly Float64Array[]>;
  close(): void;
}

/**
 * Opens channels to be read together, block by block.
 *
 * Frame n of one is taken to belong to frame n of all others: start the recorders together, or trim the files before.
 *
 * @param channels  at least one
 * @returns one stream; close it when done
 * @throws MeasurementFileError when a file can't be read, lacks the channel, or has another sample rate than the first
 */
export function openChannels(channels: readonly ChannelOfFile[]): OpenChannels {
  if (channels.length === 0) throw new RangeError("channels is empty, expected at least one");
  const opened = new Map<string | WavReader, WavReader>();
  const own: WavReader[] = [];
  const close = () => {
    for (const reader of own) reader.close();
  };
  try {
    for (const { file, channel } of channels) {
      let reader = opened.get(file);
      if (!reader) {
        reader = typeof file === "string" ? openWav(file) : file;
        if (typeof file === "string") own.push(reader);
        opened.set(file, reader);
      }
      requireChannel(reader, channel);
      requireRate(reader, opened.get(channels[0].file)!);
    }
  } catch (error) {
    close();
    throw error;
  }
  const readers = [...opened.values()];
  const frames = Math.min(...readers.map((reader) => reader.frames));
  return {
    sampleRate: readers[0].sampleRate,
    frames,
    warnings: [...readers.flatMap((reader) => reader.warnings), ...lengthWarnings(readers, frames)],
    *blocks(size = 65_536) {
      const length = Math.max(1, Math.min(size, frames));
      const arrays = readers.map((reader) => wantedArrays(reader, channels, opened, length));
      const block = channels.map(({ file, channel }) => arrays[readers.indexOf(opened.get(file)!)][channel]!);
      for (let start = 0; start < frames; ) {
        const got = Math.min(frames - start, ...readers.map((reader, r) => reader.read(arrays[r], start)));
        if (got <= 0) return;
        yield got === length ? block : block.map((samples) => samples.subarray(0, got));
        start += got;
      }
    },
    close,
  };
}

/** One array for each channel of a file that is wanted; `undefined` for the others, which are then not decoded. */
function wantedArrays(
  reader: WavReader,
  channels: readonly ChannelOfFile[],
  opened: ReadonlyMap<string | WavReader, WavReader>,
  length: number,
): (Float64Array | undefined)[] {
  const arrays: (Float64Array | undefined)[] = new Array(reader.channels).fill(undefined);
  for (const { file, channel } of channels) {
    if (opened.get(file) === reader) arrays[channel] ??= new Float64Array(length);
  }
  return arrays;
}

function lengthWarnings(readers: readonly WavReader[], frames: number): string[] {
  const shortest = readers.find((reader) => reader.frames === frames)!;
  return readers.flatMap((reader) =>
    reader.frames - frames > reader.sampleRate
      ? [
          `recording "${reader.name}": goes on for ${((reader.frames - frames) / reader.sampleRate).toFixed(0)} s after "${shortest.name}" has ended, which are left out`,
        ]
      : [],
  );
}

function requireRate(reader: WavReader, first: WavReader): void {
  if (reader.sampleRate === first.sampleRate) return;
  throw new MeasurementFileError(
    "recording",
    reader.name,
    "sample rate",
    `is ${reader.sampleRate} Hz, expected ${first.sampleRate} Hz as in "${first.name}"`,
    "record both at one rate, or convert one of them before",
  );
}
