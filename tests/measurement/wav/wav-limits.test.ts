import { describe, expect, it } from "vitest";
import { memorySource } from "../../../lib/measurement/wav/byte-source";
import { openWav, readWav } from "../../../lib/measurement/wav/read";
import { encodeWav } from "../../../lib/measurement/wav/write";
import { ascii, data, format, join, riff, uint } from "./wav-bytes";

const one = Float64Array.of(0.5);

describe("limits of a WAV file", () => {
  it("are 1024 channels, and rates from 1000 Hz to 1 MHz, in and out", () => {
    const many = (count: number) => new Array<Float64Array>(count).fill(one);
    expect(readWav(encodeWav({ sampleRate: 48000, channels: many(1024) })).channels.length).toBe(1024);
    expect(() => encodeWav({ sampleRate: 48000, channels: many(1025) })).toThrow(/has 1025 entries/);
    expect(() => readWav(riff([format({ channels: 1025, bits: 16 }), data([1])]))).toThrow(
      /channels is 1025/,
    );
    for (const sampleRate of [1000, 44100, 1_000_000])
      expect(readWav(encodeWav({ sampleRate, channels: [one] })).sampleRate).toBe(sampleRate);
    for (const sampleRate of [999, 1_000_001]) {
      expect(() => encodeWav({ sampleRate, channels: [one] })).toThrow(`sampleRate is ${sampleRate}`);
      expect(() => readWav(riff([format({ sampleRate }), data([1])]))).toThrow(`sampleRate is ${sampleRate}`);
    }
    for (const sampleRate of [48000.5, NaN, Infinity])
      expect(() => encodeWav({ sampleRate, channels: [one] })).toThrow(/expected a whole number of hertz/);
  });

  it("are 4 GB, which its sizes of 32 bits can tell", () => {
    // The first sample is refused as well, so that nothing is written should the size be let through.
    const channel = new Float32Array(1_100_000).fill(NaN);
    const channels = new Array<Float32Array>(1024).fill(channel);
    expect(() => encodeWav({ sampleRate: 48000, channels, encoding: "int32" })).toThrow(
      /can't hold 4505600044/,
    );
  });

  it("hold 24 bits where nothing else is said", () => {
    // 0.5 of 2²³ is 0x400000, lowest byte first.
    expect([...encodeWav({ sampleRate: 48000, channels: [one] }).subarray(34)]).toEqual([
      ...[24, 0],
      ...ascii("data"),
      ...[3, 0, 0, 0],
      ...[0, 0, 0x40, 0],
    ]);
  });
});

describe("the end of the data", () => {
  const samples = data([1, 2, 3, 4, 5]);

  it("within a sample is told with the bytes left out", () => {
    const { channels, warnings } = readWav(riff([format({ channels: 2 }), samples]));
    expect(channels.map((c) => c.length)).toEqual([2, 2]);
    expect(warnings).toEqual([
      'recording "recording": data ends within a sample, and the last 2 bytes were left out; copy the file again if its end matters',
    ]);
  });

  it("before what the header says is told in seconds", () => {
    const file = riff([format({ sampleRate: 1000 }), data(new Array(500).fill(1), 3000)]);
    expect(readWav(file).warnings.join()).toMatch(/cut short, 0\.50 s of the 1\.50 s/);
  });

  it("right behind the head of the data is no sample, and nothing behind it no data", () => {
    const file = riff([format(), data([])]);
    expect(file.length).toBe(44);
    expect(() => readWav(file)).toThrow(/data holds no samples/);
    expect(() => readWav(file.subarray(0, 43))).toThrow(/data chunk is missing/);
    expect(() => readWav(file.subarray(0, 36))).toThrow(/data chunk is missing/);
  });

  it("is where an empty data chunk is followed by one other that fills the rest, padded or not", () => {
    const note = (body: string, size: number) => ({
      id: "data",
      body: join([ascii("note"), uint(size, 4), ascii(body)]),
      claimed: 0,
    });
    for (const chunk of [note("even", 4), note("odd", 3), note("odd.", 3)])
      expect(() => readWav(riff([format(), chunk]))).toThrow(/data holds no samples/);
    // Otherwise the recorder has not filled in the size, and these are samples.
    for (const chunk of [note("even", 6), note("even", 2), note("", 4)])
      expect(readWav(riff([format(), chunk])).warnings.join()).toMatch(/never filled in/);
    const strange = { id: "data", body: join([uint(1, 4), uint(4, 4), ascii("even")]), claimed: 0 };
    expect(readWav(riff([format(), strange])).channels[0].length).toBe(6);
  });

  it("of more than 4 GB is what ds64 says in an RF64 file, and only there", () => {
    // The chunk: size of the file, of the data, number of frames, each of 64 bits, and an empty table.
    const sizes = (bytes: number) => ({ id: "ds64", body: join([uint(0, 8), uint(bytes, 8), uint(0, 12)]) });
    const file = (bytes: number, kind: string) =>
      riff([sizes(bytes), format(), data([1, 2, 3, 4, 5], 0xffffffff)], kind);
    expect(readWav(file(6, "RF64")).channels[0].length).toBe(3);
    expect(readWav(file(6, "RF64")).warnings).toEqual([]);
    expect(readWav(file(6, "RIFF")).channels[0].length).toBe(5);
    // 3 · 2³² bytes, 2 a sample, at 48 kHz are 134,217.73 s.
    expect(readWav(file(3 * 2 ** 32, "RF64")).warnings.join()).toMatch(/of the 134217\.73 s/);
  });
});

describe("a format that is not read", () => {
  it("is named: bits of a float, or the number of what is neither PCM nor float", () => {
    const refused = (fields: object) => expect(() => readWav(riff([format(fields), data([1])])));
    refused({ tag: 3, bits: 16 }).toThrow(/is 16 bit float, which is not read/);
    refused({ tag: 1, bits: 12 }).toThrow(/is 12 bit PCM, which is not read/);
    refused({ tag: 2 }).toThrow(/is number 2, a compressed or unknown one/);
  });
});

describe("reading a part", () => {
  const file = riff([format({ channels: 2 }), data([0, 10, 1, 11, 2, 12, 3, 13])]);
  const numbers = (channel: Float64Array) => [...channel].map((x) => x * 32768);

  it("ends where the recording ends, and begins at its beginning at the earliest", () => {
    expect(numbers(readWav(file, { start: 3 }).channels[1])).toEqual([13]);
    expect(numbers(readWav(file, { start: 1, frames: 9 }).channels[0])).toEqual([1, 2, 3]);
    expect(numbers(readWav(file, { start: -5, frames: 2 }).channels[0])).toEqual([0, 1]);
    expect(numbers(readWav(file, { start: 1.9, frames: 1.9 }).channels[0])).toEqual([1]);
    expect(numbers(readWav(file, { start: 9 }).channels[0])).toEqual([]);
    expect(numbers(readWav(file, { frames: -1 }).channels[0])).toEqual([]);
  });

  it("refuses channels that there are not", () => {
    for (const channel of [-1, 2, 0.5])
      expect(() => readWav(file, { channels: [channel] })).toThrow(`channel ${channel + 1} does not exist`);
    const [a, b] = readWav(file, { channels: [1, 1] }).channels;
    expect(a).toBe(b);
  });

  it("fills as many frames as the shortest array holds, and leaves the others' ends as they were", () => {
    const reader = openWav(file);
    const [a, b] = [new Float64Array(2), new Float64Array(3).fill(7)];
    expect(reader.read([a, b], 1)).toBe(2);
    expect(numbers(a)).toEqual([1, 2]);
    expect([...b].map((x) => x * (x < 1 ? 32768 : 1))).toEqual([11, 12, 7]);
    expect(reader.read([undefined, b], 3)).toBe(1);
    expect(reader.read([undefined, undefined], 0)).toBe(0);
    expect(reader.read([a], 4)).toBe(0);
    expect(reader.read([a], 99)).toBe(0);
  });

  it("in blocks gives each frame once, the last block shorter, however few a block has", () => {
    const blocks = (size?: number) => [...openWav(file).blocks(size)].map(([a]) => a.length);
    expect(blocks()).toEqual([4]);
    expect(blocks(3)).toEqual([3, 1]);
    expect(blocks(2)).toEqual([2, 2]);
    expect(blocks(0)).toEqual([1, 1, 1, 1]);
  });
});

describe("a source of bytes", () => {
  it("is closed by readWav and by whoever opened it, also where it can't be read", () => {
    let closed = 0;
    const source = (bytes: Uint8Array) => ({ ...memorySource(bytes, "a.wav"), close: () => void closed++ });
    const good = encodeWav({ sampleRate: 48000, channels: [one] });
    expect(readWav(source(good)).name).toBe("a.wav");
    expect(closed).toBe(1);
    expect(() => readWav(source(good), { channels: [5] })).toThrow();
    expect(closed).toBe(2);
    expect(() => openWav(source(good.subarray(0, 20)))).toThrow();
    expect(closed).toBe(3);
    const reader = openWav(source(good));
    expect(closed).toBe(3);
    reader.close();
    expect(closed).toBe(4);
  });
});
