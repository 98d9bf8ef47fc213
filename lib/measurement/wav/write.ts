/**
 * Samples into a WAV file, plain RIFF/WAVE with PCM or float samples.
 */
import { writeWhole } from "../../files/write";
import { bytesPerSample, type WavEncoding } from "./format";

/** What goes into a WAV file. */
export interface WavContent {
  /** Hertz, a whole number from 1000 to 1,000,000. */
  readonly sampleRate: number;
  /** One array per channel, of one length; full scale is 1. */
  readonly channels: readonly (Float64Array | Float32Array)[];
  /** How samples are kept. Default "int24", 24-bit integers. */
  readonly encoding?: WavEncoding;
}

/**
 * Writes a WAV file.
 *
 * @param path  where; an existing file is replaced. A relative one starts from where the notebook lies
 * @param content  sample rate in hertz, samples with full scale 1, encoding
 * @returns nothing: it writes the file
 * @throws RangeError as `write.wavBytes`, or when the system refuses the file
 * @source RIFF WAVE: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0; check:
 *   tests/measurement/wav/wav.test.ts
 * @example
 * const tone = Float64Array.from({ length: 48000 }, (_, n) => 0.1 * Math.sin((2 * Math.PI * 1000 * n) / 48000));
 * write.wav("tone.wav", { sampleRate: 48000, channels: [tone] });
 * read.wav("tone.wav").sampleRate // 48000
 */
export function writeWav(path: string, content: WavContent): void {
  writeWhole(path, encodeWav(content));
}

/**
 * The bytes of a WAV file.
 *
 * Integers are rounded to the nearest step without dither, and what lies beyond full scale is clipped as a converter would.
 *
 * @param content  sample rate in hertz, samples with full scale 1, encoding
 * @returns the file's bytes
 * @throws RangeError when the rate is not a whole number of hertz from 1000 to 1,000,000, there are not 1 to 1024 channels,
 *   lengths differ, a sample for an integer encoding isn't finite, or it exceeds 4 GB
 * @source RIFF WAVE: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0; check:
 *   tests/measurement/wav/wav.test.ts
 * @example
 * const silence = new Float64Array(480); // a header of 44 bytes, then 2 a sample
 * write.wavBytes({ sampleRate: 48000, channels: [silence], encoding: "int16" }).length // 1004
 */
export function encodeWav(content: WavContent): Uint8Array {
  const { sampleRate, channels, encoding = "int24" } = content;
  requireContent(content);
  const frames = channels[0].length;
  const width = bytesPerSample[encoding];
  const frameBytes = width * channels.length;
  const dataBytes = frames * frameBytes;
  const isFloat = encoding.startsWith("float");
  // Other than PCM carries the format chunk's extension size and a fact chunk, as the format's authors ask.
  const formatBytes = isFloat ? 18 : 16;
  const dataHead = 12 + 8 + formatBytes + (isFloat ? 12 : 0);
  const size = dataHead + 8 + dataBytes + (dataBytes & 1);
  if (size > 0xffffffff) throw new RangeError(`a WAV file can't hold ${size} bytes: write less than 4 GB`);
  const bytes = new Uint8Array(size);
  const view = new DataView(bytes.buffer);
  text(bytes, 0, "RIFF");
  view.setUint32(4, size - 8, true);
  text(bytes, 8, "WAVEfmt ");
  view.setUint32(16, formatBytes, true);
  view.setUint16(20, isFloat ? 3 : 1, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * frameBytes, true);
  view.setUint16(32, frameBytes, true);
  view.setUint16(34, width * 8, true);
  if (isFloat) {
    text(bytes, 38, "fact");
    view.setUint32(42, 4, true);
    view.setUint32(46, frames, true);
  }
  text(bytes, dataHead, "data");
  view.setUint32(dataHead + 4, dataBytes, true);
  channels.forEach((samples, c) => {
    let at = dataHead + 8 + c * width;
    for (let i = 0; i < frames; i++, at += frameBytes) encode[encoding](view, at, samples[i]);
  });
  return bytes;
}

const encode: Readonly<Record<WavEncoding, (view: DataView, at: number, sample: number) => void>> = {
  int16: (view, at, sample) => view.setInt16(at, step(sample, 32768), true),
  int24: (view, at, sample) => {
    const value = step(sample, 8388608);
    view.setUint16(at, value & 0xffff, true);
    view.setInt8(at + 2, value >> 16);
  },
  int32: (view, at, sample) => view.setInt32(at, step(sample, 2147483648), true),
  float32: (view, at, sample) => view.setFloat32(at, sample, true),
  float64: (view, at, sample) => view.setFloat64(at, sample, true),
};

function step(sample: number, fullScale: number): number {
  if (!Number.isFinite(sample)) {
    throw new RangeError(`a sample is ${sample}, expected a finite number; use a float encoding to keep it`);
  }
  return Math.max(-fullScale, Math.min(fullScale - 1, Math.round(sample * fullScale)));
}

function requireContent({ sampleRate, channels }: WavContent): void {
  if (!Number.isInteger(sampleRate) || sampleRate < 1000 || sampleRate > 1_000_000) {
    throw new RangeError(
      `sampleRate is ${sampleRate}, expected a whole number of hertz from 1000 to 1000000`,
    );
  }
  if (channels.length < 1 || channels.length > 1024) {
    throw new RangeError(`channels has ${channels.length} entries, expected 1 to 1024`);
  }
  const odd = channels.findIndex((samples) => samples.length !== channels[0].length);
  if (odd >= 0) {
    throw new RangeError(
      `channels[${odd}] has ${channels[odd].length} samples, expected ${channels[0].length} as in the first`,
    );
  }
}

function text(bytes: Uint8Array, at: number, value: string): void {
  for (let i = 0; i < value.length; i++) bytes[at + i] = value.charCodeAt(i);
}
