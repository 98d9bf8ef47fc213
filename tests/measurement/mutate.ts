/** Damaged files, drawn from sound ones by a seed: the ways in which copying, converting, editing and malice spoil them. */
import { readFileSync } from "node:fs";
import { join as path } from "node:path";
import type { WavEncoding } from "../../lib/measurement/wav/format";
import { encodeWav } from "../../lib/measurement/wav/write";
import { type Seeded, seeded } from "./seeded";
import { ascii, data, format, join, riff, uint } from "./wav/wav-bytes";

/** The damaged WAV file of a seed. */
export function damagedWav(seed: number): Uint8Array {
  const random = seeded(seed);
  return damageWav(pick(random, soundWavs()), random);
}

/** The damaged trace file of a seed, as bytes that may no longer be text. */
export function damagedTrace(seed: number): Uint8Array {
  const random = seeded(seed);
  return damageTrace(new TextEncoder().encode(pick(random, soundTraces)), random);
}

/** One to three damages to a WAV file. */
export function damageWav(bytes: Uint8Array, random: Seeded): Uint8Array {
  let damaged = bytes;
  for (let times = 1 + random.below(3); times > 0; times--)
    damaged = pick(random, wavDamages)(damaged, random);
  return damaged;
}

/** One to three damages to the text of a trace file, and in a quarter of the cases one to its bytes. */
export function damageTrace(bytes: Uint8Array, random: Seeded): Uint8Array {
  let text = new TextDecoder().decode(bytes);
  for (let times = 1 + random.below(3); times > 0; times--) text = pick(random, textDamages)(text, random);
  const damaged = new TextEncoder().encode(text);
  return random.below(4) === 0 ? pick(random, byteDamages)(damaged, random) : damaged;
}

type Damage = (bytes: Uint8Array, random: Seeded) => Uint8Array;
type TextDamage = (text: string, random: Seeded) => string;

function pick<T>(random: Seeded, from: readonly T[]): T {
  return from[random.below(from.length)];
}

/** Numbers at which sizes, counts and signs go wrong. */
const hostile32 = [
  0, 1, 2, 3, 7, 8, 15, 16, 40, 255, 1024, 65535, 65536, 0x7fffffff, 0x80000000, 0xfffffff0, 0xfffffffe,
  0xffffffff,
];

const byteDamages: readonly Damage[] = [
  // Cut short.
  (bytes, random) => bytes.slice(0, random.below(bytes.length + 1)),
  (bytes, random) => bytes.slice(0, random.below(Math.min(100, bytes.length + 1))),
  // Bits flipped, anywhere or in the head.
  (bytes, random) => flipped(bytes, random, bytes.length),
  (bytes, random) => flipped(bytes, random, Math.min(80, bytes.length)),
  // A stretch lost, doubled, or filled with one value.
  (bytes, random) => {
    const [from, to] = stretch(bytes.length, random);
    return join([bytes.subarray(0, from), bytes.subarray(to)]);
  },
  (bytes, random) => {
    const [from, to] = stretch(bytes.length, random);
    return join([bytes.subarray(0, to), bytes.subarray(from)]);
  },
  (bytes, random) => {
    const [from, to] = stretch(bytes.length, random);
    return bytes.slice().fill(pick(random, [0, 0x20, 0x7f, 0xff]), from, to);
  },
  // Something else in its place.
  (bytes, random) => Uint8Array.from(bytes, () => random.below(256)),
  (bytes) => join([bytes, bytes]),
];

const wavDamages: readonly Damage[] = [
  ...byteDamages,
  // Any field of the head takes a hostile value, 16 or 32 bits wide.
  (bytes, random) =>
    overwritten(bytes, 2 * random.below(40), uint(pick(random, hostile32), pick(random, [2, 4]))),
  // The size of a chunk lies.
  (bytes, random) => {
    const at = pick(random, chunkPlaces(bytes));
    const size = random.below(2) ? pick(random, hostile32) : random.below(2 ** 32);
    return overwritten(bytes, at + 4, uint(size, 4));
  },
  // No channel, thousands of them, no sample rate, an odd number of bits.
  (bytes, random) => overwritten(bytes, 22, uint(pick(random, [0, 1025, 32768, 65535]), 2)),
  (bytes, random) => overwritten(bytes, 24, uint(pick(random, hostile32), 4)),
  (bytes, random) => overwritten(bytes, 34, uint(pick(random, [0, 1, 8, 12, 20, 64, 65535]), 2)),
  // Samples that are no numbers: all bits of a float set.
  (bytes, random) =>
    overwritten(bytes, 60 + random.below(Math.max(1, bytes.length - 60)), uint(0xffffffff, 4)),
  // A huge head: junk chunks before everything else, empty ones or one of any size.
  (bytes, random) => {
    const one = join([ascii("junk"), uint(0, 4)]);
    const many = join(Array.from({ length: random.below(20_000) }, () => one));
    return join([bytes.subarray(0, 12), many, bytes.subarray(12)]);
  },
  (bytes, random) => {
    const body = new Uint8Array(random.below(100_000));
    return join([bytes.subarray(0, 12), ascii("LIST"), uint(body.length, 4), body, bytes.subarray(12)]);
  },
  (bytes, random) => join([ascii(pick(random, ["RF64", "RIFX", "RIFF"])), bytes.subarray(4)]),
];

const tokens = [
  "NaN",
  "Infinity",
  "-Infinity",
  "1e999",
  "-1e999",
  "1e-400",
  "0",
  "-0",
  "",
  " ",
  ",",
  ";",
  "\t",
  '"',
  '""',
  "#",
  "# a: b",
  "\n",
  "\r",
  "\r\n",
  "\0",
  "\ufeff",
  "−3",
  "1,5",
  "1.5.5",
  "0x10",
  "1e",
  "--1",
  "__proto__",
  "constructor",
  "9".repeat(400),
  "undefined",
  "null",
  "frequency_hz",
  "phase",
  "🔊",
  "\u2028",
  "1_000",
  "1 000",
  "٣",
];

const textDamages: readonly TextDamage[] = [
  (text, random) => text.slice(0, random.below(text.length + 1)),
  // A token thrown in, or put in place of a cell.
  (text, random) => {
    const at = random.below(text.length + 1);
    return text.slice(0, at) + pick(random, tokens) + text.slice(at);
  },
  (text, random) => {
    const cells = text.split(/([,;\t\n])/);
    cells[random.below(cells.length)] = pick(random, tokens);
    return cells.join("");
  },
  // Lines lost, doubled, out of order, without end.
  (text, random) => lines(text, random, (all, at) => all.filter((_, i) => i !== at)),
  (text, random) => lines(text, random, (all, at) => [...all, all[at]]),
  (text, random) => lines(text, random, (all, at) => [...all.slice(at), ...all.slice(0, at)]),
  (text, random) =>
    lines(text, random, (all, at) => all.map((line, i) => (i === at ? line.repeat(50) : line))),
  (text) => text.replaceAll("\n", pickEnd(text)),
  // Another separator, other decimals.
  (text, random) => text.replaceAll(",", pick(random, [";", "\t", " ", "|", ",,"])),
  (text) => text.replaceAll(".", ","),
  // Huge: a header of thousands of columns, blank lines, comments, digits without end.
  (text, random) => `${"a,".repeat(random.below(30_000))}\n${text}`,
  (text, random) => "\n".repeat(random.below(100_000)) + text,
  (text, random) => `${"# k: v\n".repeat(random.below(5000))}${text}`,
  (text, random) => text + "1".repeat(random.below(100_000)),
  (text, random) => text + "100,0,0,1\n".repeat(random.below(3000)),
  (text, random) => text + '"'.repeat(random.below(3000)),
];

/** Sound trace files to begin with. */
export const soundTraces: readonly string[] = [
  "# who: house crew\n# where: row F\nfrequency_hz,magnitude_db,phase_deg,coherence\n20,-12.3,45,0.9\n31.5,-8,-170.1,1\n63,0.05,180,0.875\n",
  "frequency_hz;magnitude_db;phase_deg\n31,5;-3,5;10\n40;-4;20,25\n50;-5,25;-30\n",
  "\ufefffrequency_hz\tmagnitude_db\r\n100\t-1\r\n200\t-2.5\r\n400\t-6\r\n",
  "frequency_hz,magnitude_db,phase_deg,coherence,averages,diffuse,real,imaginary\n100,0,0,1,16,0.25,1,0\n200,0,90,0.5,16,0,0,1\n",
  '"Frequency (Hz)","Level [dB]","Phase (deg)"\n"31,5","-3,5","10"\n"40","-4","20,25"\n',
];

let wavs: Uint8Array[] | undefined;

/** Sound WAV files to begin with. */
export function soundWavs(): readonly Uint8Array[] {
  if (wavs) return wavs;
  const reference = [
    "scipy-float32-3-channels",
    "scipy-float64-stereo",
    "scipy-int16-mono",
    "scipy-int32-stereo",
    "sndfile-extensible-int24-4-channels",
    "sndfile-rf64-int16-stereo",
    "wave-int24-odd-length",
  ].map((name) => new Uint8Array(readFileSync(path("tests/measurement/reference", `${name}.wav`))));
  const random = seeded(99);
  const own = (["int16", "int24", "int32", "float32", "float64"] as const).map((encoding: WavEncoding) =>
    encodeWav({
      sampleRate: 48000,
      channels: Array.from({ length: 1 + random.below(8) }, () =>
        Float64Array.from({ length: 2000 }, () => random.normal() / 5),
      ),
      encoding,
    }),
  );
  const chunks = riff([
    { id: "note", body: ascii("take 3") },
    format({ channels: 2 }),
    { id: "fact", body: uint(4, 4) },
    data(Array.from({ length: 64 }, (_, i) => 100 * i)),
    { id: "cue ", body: uint(0, 28) },
  ]);
  wavs = [...reference, ...own, chunks];
  return wavs;
}

function flipped(bytes: Uint8Array, random: Seeded, within: number): Uint8Array {
  const copy = bytes.slice();
  if (within === 0) return copy;
  for (let times = 1 + random.below(16); times > 0; times--)
    copy[random.below(within)] ^= 1 << random.below(8);
  return copy;
}

function stretch(length: number, random: Seeded): [number, number] {
  const from = random.below(length + 1);
  return [from, Math.min(length, from + random.below(1 + Math.min(length, 400)))];
}

function overwritten(bytes: Uint8Array, at: number, value: Uint8Array): Uint8Array {
  const copy = bytes.slice();
  for (let i = 0; i < value.length && at + i < copy.length; i++) copy[at + i] = value[i];
  return copy;
}

/** Where chunks begin; at least the head of the file. */
function chunkPlaces(bytes: Uint8Array): number[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const positions = [0];
  for (let at = 12; at + 8 <= bytes.length && positions.length < 50; ) {
    positions.push(at);
    const size = view.getUint32(at + 4, true);
    at += 8 + size + (size & 1);
  }
  return positions;
}

function lines(text: string, random: Seeded, change: (all: string[], at: number) => string[]): string {
  const all = text.split("\n");
  return change(all, random.below(all.length)).join("\n");
}

function pickEnd(text: string): string {
  return text.length % 2 ? "\r" : "\r\n";
}
