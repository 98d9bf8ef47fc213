/**
 * The header of a WAV file: what it says about its samples, and where they lie.
 *
 * RIFF/WAVE with the plain or the extensible format chunk, and RF64 with its ds64 chunk for files past 4 GB.
 * A header is a claim by a stranger: every size in it is held against the bytes that are there.
 * A file cut short still holds good samples, so it is read as far as it goes, with a warning; a header that doesn't
 * make sense is refused.
 *
 * @source IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (RIFF, WAVE);
 *   EBU Tech 3306 (RF64, ds64)
 */
import type { ByteSource } from "./byte-source";
import { broken, bytesAt, bytesPerSample, type Format, readFormat, type WavEncoding } from "./format";

export interface WavHeader {
  /** Hertz. */
  readonly sampleRate: number;
  readonly channels: number;
  /** Samples per channel that are really there. */
  readonly frames: number;
  readonly encoding: WavEncoding;
  /** Where the first sample lies, bytes from the start of the file. */
  readonly dataStart: number;
  /** What is odd about the file though it can be read; one sentence each, naming file and remedy. */
  readonly warnings: readonly string[];
}

/**
 * Reads the header of a WAV file.
 *
 * @param source  the file
 * @returns what it holds, and warnings for a file that was cut short
 * @throws MeasurementFileError when it is no WAV file, its format is one we don't read, or the header makes no sense
 */
export function readWavHeader(source: ByteSource): WavHeader {
  const start = bytesAt(source, 0, 12);
  const kind = start && text(start, 0);
  if (!start || (kind !== "RIFF" && kind !== "RF64") || text(start, 8) !== "WAVE") {
    throw broken(
      source,
      "header",
      notWav(source, kind ?? ""),
      "export the recording as WAV with PCM or float samples",
    );
  }
  let format: Format | undefined;
  let long: number | undefined;
  let at = 12;
  for (let count = 0; count < chunkLimit; count++) {
    const head = bytesAt(source, at, 8);
    if (!head) break;
    const id = text(head, 0);
    const size = head.getUint32(4, true);
    if (id === "data") return withData(source, format, at + 8, size, kind === "RF64" ? long : undefined);
    if (id === "fmt ") format = readFormat(source, at + 8, size);
    if (id === "ds64") long = readLongSize(source, at + 8);
    at += 8 + size + (size & 1);
  }
  throw broken(
    source,
    "data chunk",
    "is missing, expected samples after the header",
    "copy the file again or record anew: this one was cut short or damaged",
  );
}

// Real files have a few chunks; a file made of thousands of empty ones is only there to waste our time.
const chunkLimit = 10_000;

function withData(
  source: ByteSource,
  format: Format | undefined,
  dataStart: number,
  size: number,
  long: number | undefined,
): WavHeader {
  if (!format) {
    throw broken(source, "fmt chunk", "is missing before the samples", "export the recording again as WAV");
  }
  const there = source.size - dataStart;
  // A recorder that lost its power leaves 0 or the largest number where the size belongs.
  const unfinished =
    long === undefined &&
    ((size === 0 && there > 0 && !isChunk(source, dataStart, there)) || size === 0xffffffff);
  const claimed = unfinished ? there : (long ?? size);
  const usable = Math.min(claimed, there);
  const frameBytes = format.channels * bytesPerSample[format.encoding];
  const frames = Math.floor(usable / frameBytes);
  if (frames === 0) {
    throw broken(
      source,
      "data",
      "holds no samples",
      "record anew, or copy the file again: only its header is there",
    );
  }
  const warnings: string[] = [];
  const seconds = (n: number) => (n / frameBytes / format.sampleRate).toFixed(2);
  if (unfinished) {
    warnings.push(
      `recording "${source.name}": data.size was never filled in, so everything to the file's end (${seconds(there)} s) was read; stop the recorder before copying`,
    );
  } else if (claimed > there) {
    warnings.push(
      `recording "${source.name}": data is cut short, ${seconds(there)} s of the ${seconds(claimed)} s in its header are there and were read; copy the file again if the rest matters`,
    );
  } else if (usable % frameBytes !== 0) {
    warnings.push(
      `recording "${source.name}": data ends within a sample, and the last ${usable % frameBytes} bytes were left out; copy the file again if its end matters`,
    );
  }
  return { ...format, frames, dataStart, warnings };
}

/** Whether the rest of the file is just one more chunk, as behind a data chunk that is truly empty. */
function isChunk(source: ByteSource, at: number, rest: number): boolean {
  const head = bytesAt(source, at, 8);
  if (!head || !/^[\w ]{4}$/.test(text(head, 0))) return false;
  const size = head.getUint32(4, true);
  return size + 8 === rest || size + (size & 1) + 8 === rest;
}

function readLongSize(source: ByteSource, at: number): number | undefined {
  const view = bytesAt(source, at, 16);
  return view && view.getUint32(8, true) + 2 ** 32 * view.getUint32(12, true);
}

function text(view: DataView, at: number): string {
  return String.fromCharCode(
    view.getUint8(at),
    view.getUint8(at + 1),
    view.getUint8(at + 2),
    view.getUint8(at + 3),
  );
}

function notWav(source: ByteSource, kind: string): string {
  if (source.size === 0) return "is missing, the file is empty";
  if (kind === "RIFX") return "says RIFX (big-endian), which is not read here";
  const other = otherFormat(source);
  if (other) return `is that of ${other}, whatever the file's name says`;
  return source.size < 12
    ? `has ${source.size} bytes, too few for a WAV file`
    : "is not that of a WAV file (RIFF … WAVE)";
}

/** What audio people have by another name: told by its first bytes. */
function otherFormat(source: ByteSource): string | undefined {
  const head = bytesAt(source, 0, 12);
  if (!head) return undefined;
  const start = text(head, 0);
  const frame = head.getUint16(0);
  // A frame of MPEG audio begins with eleven bits set; then version and layer, of which layer 0 is AAC's.
  if (start.startsWith("ID3") || ((frame & 0xffe0) === 0xffe0 && (frame & 0x0006) !== 0))
    return "an MP3 file";
  if ((frame & 0xfff6) === 0xfff0 || text(head, 4) === "ftyp") return "an AAC or MP4 file";
  if (start === "FORM") return "an AIFF file";
  return others[start];
}

const others: Readonly<Record<string, string | undefined>> = {
  fLaC: "a FLAC file",
  OggS: "an Ogg file",
  caff: "a CAF file",
  wvpk: "a WavPack file",
};
