/**
 * Samples out of a WAV file: whole for short files, in blocks for files of any length.
 *
 * Integer samples are divided by their full scale, so that 1 is the edge of clipping; floats stay as they are.
 */

import { MeasurementFileError } from "../file-error";
import { type ByteSource, fileSource, memorySource } from "./byte-source";
import { bytesPerSample, type WavEncoding } from "./format";
import { readWavHeader, type WavHeader } from "./header";

/** A recording in memory. */
export interface Recording {
  /** Name of its file. */
  readonly name: string;
  /** Hertz. */
  readonly sampleRate: number;
  /** One array per channel that was asked for, full scale is 1. */
  readonly channels: readonly Float64Array[];
  /** What is odd about the file though it could be read. */
  readonly warnings: readonly string[];
}

/** A recording that is read piece by piece. */
export interface WavReader extends WavHeader {
  readonly name: string;
  /**
   * Reads frames from `start` on into one array per channel, as many as the arrays hold or as are there.
   *
   * @param into   one array per channel of the file, or `undefined` for a channel that isn't wanted
   * @param start  first frame
   * @returns how many frames were read
   */
  read(into: readonly (Float64Array | undefined)[], start: number): number;
  /**
   * All frames in order, in blocks of at most `frames`. A block's arrays are used again for the next one: copy what you keep.
   *
   * @param frames  frames of a block; the last one is shorter
   */
  blocks(frames?: number): Generator<readonly Float64Array[]>;
  close(): void;
}

/** What of a recording to read into memory. */
export interface WavSelection {
  /** Channel numbers from 0, in the order in which to give them; all by default. */
  readonly channels?: readonly number[];
  /** First frame, counted from 0. Default 0. */
  readonly start?: number;
  /** How many frames; up to the end by default. */
  readonly frames?: number;
}

/**
 * Opens a WAV file to be read in blocks.
 *
 * @param file  a path, the bytes of a file, or any source of bytes
 * @returns its header and its samples on demand; close it when done
 * @throws MeasurementFileError when the file isn't a WAV file that can be read
 */
export function openWav(file: string | Uint8Array | ByteSource): WavReader {
  const source = sourceOf(file);
  let header: WavHeader;
  try {
    header = readWavHeader(source);
  } catch (error) {
    source.close();
    throw error;
  }
  const { channels, frames, encoding, dataStart } = header;
  const frameBytes = channels * bytesPerSample[encoding];
  // About 256 kB a read: large enough that the call's cost vanishes, small enough to stay in the cache.
  const readFrames = Math.max(1, Math.floor(262_144 / frameBytes));
  const bytes = new Uint8Array(Math.min(readFrames, Math.max(1, frames)) * frameBytes);
  const view = new DataView(bytes.buffer);

  const read = (into: readonly (Float64Array | undefined)[], start: number): number => {
    const wanted = Math.max(0, Math.min(frames - start, shortest(into)));
    let done = 0;
    while (done < wanted) {
      const part = bytes.subarray(0, Math.min(bytes.length, (wanted - done) * frameBytes));
      const got = Math.floor(source.read(part, dataStart + (start + done) * frameBytes) / frameBytes);
      if (got === 0) break;
      for (let c = 0; c < channels; c++) {
        const target = into[c];
        if (target) decode[encoding](view, c * bytesPerSample[encoding], frameBytes, target, done, got);
      }
      done += got;
    }
    return done;
  };

  return {
    ...header,
    name: source.name,
    read,
    *blocks(size = 65_536) {
      const length = Math.max(1, Math.min(size, frames));
      const block = Array.from({ length: channels }, () => new Float64Array(length));
      for (let start = 0; start < frames; ) {
        const got = read(block, start);
        if (got === 0) return;
        yield got === length ? block : block.map((samples) => samples.subarray(0, got));
        start += got;
      }
    },
    close: () => source.close(),
  };
}

/**
 * A short recording, or a part of a long one, from a WAV file into memory.
 *
 * PCM of 16, 24 or 32 bits or float of 32 or 64 bits. Integers are divided by their full scale, so that 1 is the edge of
 * clipping; floats stay as they are.
 *
 * @param file  a path, the bytes of a file, or any source of bytes
 * @param selection  which channels and frames; all by default
 * @returns the samples, one array per channel, full scale 1; sample rate in hertz
 * @throws MeasurementFileError when the file isn't a WAV file that can be read, lacks the channel, or is too long to hold
 * @source RIFF WAVE: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0; beyond 4 GB RF64: EBU
 *   Tech 3306; check: tests/measurement/wav/wav.test.ts
 * @example
 * write.wav("click.wav", { sampleRate: 48000, channels: [Float64Array.of(0, 0.5, -0.5)] });
 * read.wav("click.wav").channels[0] // [0, 0.5, -0.5]
 */
export function readWav(file: string | Uint8Array | ByteSource, selection: WavSelection = {}): Recording {
  const reader = openWav(file);
  try {
    return readOpened(reader, selection);
  } finally {
    reader.close();
  }
}

/** The same from a recording that is open, and stays so; `most` bytes of memory are taken for its samples. */
export function readOpened(reader: WavReader, selection: WavSelection, most = usualMemory): Recording {
  const wanted = selection.channels ?? Array.from({ length: reader.channels }, (_, c) => c);
  for (const c of wanted) requireChannel(reader, c);
  const start = Math.max(0, Math.floor(selection.start ?? 0));
  const frames = Math.max(0, Math.min(Math.floor(selection.frames ?? Infinity), reader.frames - start));
  requireMemory(reader, new Set(wanted).size * frames * 8, most);
  const into: (Float64Array | undefined)[] = new Array(reader.channels).fill(undefined);
  for (const c of wanted) into[c] ??= new Float64Array(frames);
  reader.read(into, start);
  return {
    name: reader.name,
    sampleRate: reader.sampleRate,
    channels: wanted.map((c) => into[c]!),
    warnings: reader.warnings,
  };
}

function sourceOf(file: string | Uint8Array | ByteSource): ByteSource {
  if (typeof file === "string") return fileSource(file);
  return file instanceof Uint8Array ? memorySource(file) : file;
}

function shortest(into: readonly (Float64Array | undefined)[]): number {
  let length = Infinity;
  for (const samples of into) if (samples) length = Math.min(length, samples.length);
  return Number.isFinite(length) ? length : 0;
}

/** Throws a MeasurementFileError unless the recording has the channel, counted from 0. */
export function requireChannel(reader: WavReader, channel: number): void {
  if (Number.isInteger(channel) && channel >= 0 && channel < reader.channels) return;
  throw new MeasurementFileError(
    "recording",
    reader.name,
    `channel ${channel + 1}`,
    `does not exist, the file has ${reader.channels}`,
    "choose another channel or another file",
  );
}

/** Bytes: half an hour of two channels, or two minutes of 32, at 48 kHz. A file of few bytes can't ask for more than four times them. */
const usualMemory = 1.6e9;

function requireMemory(reader: WavReader, bytes: number, most: number): void {
  if (bytes <= most) return;
  throw new MeasurementFileError(
    "recording",
    reader.name,
    "length",
    `of ${(reader.frames / reader.sampleRate).toFixed(0)} s is too much to hold in memory at once`,
    "read a part of it, fewer channels, or block by block",
  );
}

/** Takes `count` samples that lie `stride` bytes apart, from byte `first` on, into `target` from `at` on. */
type Decoder = (
  view: DataView,
  first: number,
  stride: number,
  target: Float64Array,
  at: number,
  count: number,
) => void;

const decode: Readonly<Record<WavEncoding, Decoder>> = {
  int16: (view, first, stride, target, at, count) => {
    for (let i = 0, b = first; i < count; i++, b += stride) target[at + i] = view.getInt16(b, true) / 32768;
  },
  int24: (view, first, stride, target, at, count) => {
    for (let i = 0, b = first; i < count; i++, b += stride) {
      target[at + i] = ((view.getInt8(b + 2) << 16) | view.getUint16(b, true)) / 8388608;
    }
  },
  int32: (view, first, stride, target, at, count) => {
    for (let i = 0, b = first; i < count; i++, b += stride)
      target[at + i] = view.getInt32(b, true) / 2147483648;
  },
  float32: (view, first, stride, target, at, count) => {
    for (let i = 0, b = first; i < count; i++, b += stride) target[at + i] = view.getFloat32(b, true);
  },
  float64: (view, first, stride, target, at, count) => {
    for (let i = 0, b = first; i < count; i++, b += stride) target[at + i] = view.getFloat64(b, true);
  },
};
