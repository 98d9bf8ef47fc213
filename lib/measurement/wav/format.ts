/**
 * The format chunk of a WAV file: rate, channels, and how a sample is kept. What is compressed, unknown or contradicts itself is refused.
 *
 * @source IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0; Microsoft, WAVEFORMATEXTENSIBLE
 */

import { MeasurementFileError } from "../file-error";
import type { ByteSource } from "./byte-source";

export type WavEncoding = "int16" | "int24" | "int32" | "float32" | "float64";

/** Bytes of one sample. */
export const bytesPerSample: Readonly<Record<WavEncoding, number>> = {
  int16: 2,
  int24: 3,
  int32: 4,
  float32: 4,
  float64: 8,
};

/** What the format chunk says. */
export interface Format {
  readonly sampleRate: number;
  readonly channels: number;
  readonly encoding: WavEncoding;
}

const channelLimit = 1024;

/** Reads the format chunk whose body begins at `at` and has `size` bytes. */
export function readFormat(source: ByteSource, at: number, size: number): Format {
  const view = size >= 16 ? bytesAt(source, at, 16) : undefined;
  if (!view) {
    throw broken(
      source,
      "fmt chunk",
      size < 16 ? `has ${size} bytes, expected 16 or more` : "is cut short",
      "export the recording again as WAV",
    );
  }
  let tag = view.getUint16(0, true);
  const channels = view.getUint16(2, true);
  const sampleRate = view.getUint32(4, true);
  const frameBytes = view.getUint16(12, true);
  const bits = view.getUint16(14, true);
  if (tag === 0xfffe) tag = extensibleTag(source, at, size);
  if (channels < 1 || channels > channelLimit) {
    throw broken(
      source,
      "fmt.channels",
      `is ${channels}, expected 1 to ${channelLimit}`,
      "export the recording again as WAV",
    );
  }
  if (sampleRate < 1000 || sampleRate > 1_000_000) {
    throw broken(
      source,
      "fmt.sampleRate",
      `is ${sampleRate} Hz, expected 1000 to 1000000`,
      "export the recording again as WAV",
    );
  }
  const encoding = encodings[`${tag}/${bits}`];
  if (!encoding)
    throw broken(
      source,
      "fmt.format",
      formatProblem(tag, bits),
      "export it as 16, 24 or 32 bit PCM, or 32 or 64 bit float",
    );
  if (frameBytes !== channels * bytesPerSample[encoding]) {
    throw broken(
      source,
      "fmt.blockAlign",
      `is ${frameBytes} bytes, expected ${channels * bytesPerSample[encoding]} for ${channels} channels of ${bits} bits`,
      "export the recording again as WAV",
    );
  }
  return { sampleRate, channels, encoding };
}

const encodings: Readonly<Record<string, WavEncoding | undefined>> = {
  "1/16": "int16",
  "1/24": "int24",
  "1/32": "int32",
  "3/32": "float32",
  "3/64": "float64",
};

// The tail that turns a format tag into the extensible chunk's sub-format identifier.
const subFormatTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

function extensibleTag(source: ByteSource, at: number, size: number): number {
  const view = size >= 40 ? bytesAt(source, at, 40) : undefined;
  if (!view) {
    throw broken(
      source,
      "fmt chunk",
      size < 40 ? `has ${size} bytes, expected 40 for an extensible format` : "is cut short",
      "export the recording again as WAV",
    );
  }
  if (!subFormatTail.every((byte, i) => view.getUint8(26 + i) === byte)) {
    throw broken(source, "fmt.subFormat", "is unknown, expected PCM or float", "export it as PCM or float");
  }
  return view.getUint16(24, true);
}

function formatProblem(tag: number, bits: number): string {
  if (tag === 1 || tag === 3) return `is ${bits} bit ${tag === 1 ? "PCM" : "float"}, which is not read here`;
  return `is number ${tag}, a compressed or unknown one, expected 1 (PCM) or 3 (float)`;
}

/** Bytes at a place of the file, or undefined where it ends before. */
export function bytesAt(source: ByteSource, at: number, count: number): DataView | undefined {
  if (at + count > source.size) return undefined;
  const bytes = new Uint8Array(count);
  return source.read(bytes, at) === count ? new DataView(bytes.buffer) : undefined;
}

/** The error for a recording. */
export function broken(
  source: ByteSource,
  field: string,
  problem: string,
  remedy: string,
): MeasurementFileError {
  return new MeasurementFileError("recording", source.name, field, problem, remedy);
}
