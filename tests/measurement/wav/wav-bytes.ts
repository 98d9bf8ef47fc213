/** WAV files built byte by byte from the format's description, for what no common writer writes. */

export interface Chunk {
  readonly id: string;
  readonly body: Uint8Array;
  /** Size written in the chunk's head, where it lies. */
  readonly claimed?: number;
}

export function riff(chunks: readonly Chunk[], kind = "RIFF"): Uint8Array {
  const parts = chunks.flatMap(({ id, body, claimed }) => [
    ascii(id),
    uint(claimed ?? body.length, 4),
    body,
    new Uint8Array(body.length & 1),
  ]);
  const body = join([ascii("WAVE"), ...parts]);
  return join([ascii(kind), uint(body.length, 4), body]);
}

export interface FormatFields {
  readonly tag?: number;
  readonly channels?: number;
  readonly sampleRate?: number;
  readonly bits?: number;
  readonly frameBytes?: number;
}

export function format({
  tag = 1,
  channels = 1,
  sampleRate = 48000,
  bits = 16,
  frameBytes = (channels * bits) / 8,
}: FormatFields = {}): Chunk {
  const body = join([
    uint(tag, 2),
    uint(channels, 2),
    uint(sampleRate, 4),
    uint(sampleRate * frameBytes, 4),
    uint(frameBytes, 2),
    uint(bits, 2),
  ]);
  return { id: "fmt ", body };
}

export function data(values: readonly number[], claimed?: number): Chunk {
  return {
    id: "data",
    body: join(values.map((value) => uint(value < 0 ? value + 65536 : value, 2))),
    claimed,
  };
}

export function uint(value: number, bytes: number): Uint8Array {
  return Uint8Array.from({ length: bytes }, (_, i) => Math.floor(value / 256 ** i) % 256);
}

export function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

export function join(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
