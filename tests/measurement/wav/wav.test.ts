import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join as path } from "node:path";
import { describe, expect, it } from "vitest";
import type { WavEncoding } from "../../../lib/measurement/wav/format";
import { openWav, readWav } from "../../../lib/measurement/wav/read";
import { encodeWav, writeWav } from "../../../lib/measurement/wav/write";
import expected from "../reference/wav-files.json";
import { ascii, type Chunk, data, format, join, riff, uint } from "./wav-bytes";

const folder = path(__dirname, "../reference");

describe("readWav beside libsndfile", () => {
  // Written by scipy.io.wavfile, Python's wave module and libsndfile; read by libsndfile (scripts/reference/measurement_wav_files.py).
  for (const [name, { sampleRate, channels }] of Object.entries(expected.files)) {
    it(`finds in ${name} the same samples to the last bit`, () => {
      const recording = readWav(path(folder, name));
      expect(recording.sampleRate).toBe(sampleRate);
      expect(recording.channels.map((samples) => Array.from(samples))).toEqual(channels);
      expect(recording.warnings).toEqual([]);
      expect(recording.name).toBe(name);
    });
  }
});

describe("encodeWav beside scipy.io.wavfile and Python's wave module", () => {
  const cases: [string, WavEncoding][] = [
    ["scipy-int16-mono.wav", "int16"],
    ["wave-int24-stereo.wav", "int24"],
    ["scipy-int32-stereo.wav", "int32"],
    ["scipy-float32-3-channels.wav", "float32"],
    ["scipy-float64-stereo.wav", "float64"],
  ];
  for (const [name, encoding] of cases) {
    it(`writes ${encoding} byte for byte as in ${name}`, () => {
      const { sampleRate, channels } = expected.files[name as keyof typeof expected.files];
      const bytes = encodeWav({ sampleRate, channels: channels.map((c) => Float64Array.from(c)), encoding });
      expect(Buffer.from(bytes).equals(readFileSync(path(folder, name)))).toBe(true);
    });
  }

  it("pads an odd length, as RIFF asks and Python's wave module does not", () => {
    const { sampleRate, channels } = expected.files["wave-int24-odd-length.wav"];
    const bytes = encodeWav({ sampleRate, channels: [Float64Array.from(channels[0])], encoding: "int24" });
    const theirs = readFileSync(path(folder, "wave-int24-odd-length.wav"));
    expect(bytes.length % 2).toBe(0);
    expect(
      Buffer.from(bytes)
        .subarray(44, 44 + 75)
        .equals(theirs.subarray(44, 44 + 75)),
    ).toBe(true);
  });

  it("clips integers at full scale as a converter does", () => {
    const bytes = encodeWav({
      sampleRate: 48000,
      channels: [Float64Array.of(1, 1.5, -1, -7)],
      encoding: "int16",
    });
    expect(Array.from(new Int16Array(bytes.slice(44).buffer))).toEqual([32767, 32767, -32768, -32768]);
  });

  it("refuses what a WAV file can't hold and says which field", () => {
    const one = [Float64Array.of(0.5)];
    expect(() => encodeWav({ sampleRate: 48000, channels: [] })).toThrow(/channels has 0 entries/);
    expect(() => encodeWav({ sampleRate: 0.5, channels: one })).toThrow(/sampleRate is 0.5/);
    expect(() => encodeWav({ sampleRate: 48000, channels: [...one, new Float64Array(2)] })).toThrow(
      /channels\[1\] has 2 samples, expected 1/,
    );
    expect(() => encodeWav({ sampleRate: 48000, channels: [Float64Array.of(NaN)] })).toThrow(/sample is NaN/);
  });

  it("rounds a sample between two steps to the nearer one, and clips at full scale", () => {
    // Steps of 1/32768: 0.6 of a step is nearer to 1, 0.4 to 0, −1.7 to −2; beyond full scale the last step stays.
    const steps = [0.6, 0.4, -0.6, -0.4, -1.7, 2.2, 40_000, -40_000];
    const samples = Float64Array.from(steps, (s) => s / 32768);
    const bytes = encodeWav({ sampleRate: 48000, channels: [samples], encoding: "int16" });
    const view = new DataView(bytes.buffer, bytes.byteOffset + 44);
    expect(steps.map((_, k) => view.getInt16(2 * k, true))).toEqual([1, 0, -1, 0, -2, 2, 32767, -32768]);
    const fine = encodeWav({
      sampleRate: 48000,
      channels: [Float64Array.from([0.6, -1.7], (s) => s / 8388608)],
      encoding: "int24",
    });
    // −2 in 24 bits is FE FF FF, lowest byte first.
    expect([...fine.subarray(44)]).toEqual([1, 0, 0, 0xfe, 0xff, 0xff]);
  });
});

describe("readWav", () => {
  it("skips chunks that it does not know, with their padding", () => {
    const note: Chunk = { id: "note", body: ascii("odd") };
    const file = riff([note, format(), note, data([16384, -16384]), note]);
    expect(Array.from(readWav(file).channels[0])).toEqual([0.5, -0.5]);
  });

  it("reads only the channels and frames asked for, in the order asked for", () => {
    const file = riff([format({ channels: 3 }), data([1, 2, 3, 4, 5, 6, 7, 8, 9].map((x) => x * 1024))]);
    const { channels } = readWav(file, { channels: [2, 0], start: 1, frames: 1 });
    expect(channels.map((c) => c[0] * 32)).toEqual([6, 4]);
    expect(() => readWav(file, { channels: [3] })).toThrow(
      'recording "recording": channel 4 does not exist, the file has 3',
    );
  });

  it("keeps NaN and values beyond full scale in floats, for the health check to find", () => {
    const bytes = encodeWav({
      sampleRate: 48000,
      channels: [Float64Array.of(NaN, 2.5)],
      encoding: "float32",
    });
    expect(Array.from(readWav(bytes).channels[0])).toEqual([NaN, 2.5]);
  });

  it("refuses to hold more than 1.6 GB in memory, and says what to do instead", () => {
    const frames = 250_000_000; // 8 bytes each
    const head = riff([format({ channels: 1 }), data([], frames * 2)]);
    const source = { name: "hour.wav", size: head.length + frames * 2, close() {} };
    const read = (into: Uint8Array, at: number) => {
      into.set(head.subarray(at, at + into.length));
      return into.length;
    };
    expect(() => readWav({ ...source, read })).toThrow(
      /hour.wav": length of 5208 s is too much.*read a part of it, fewer channels, or block by block/,
    );
    expect(readWav({ ...source, read }, { frames: 10 }).channels[0].length).toBe(10);
  });

  it("names a file that isn't there, and a folder", () => {
    expect(() => readWav("/nowhere/lost.wav")).toThrow(
      'recording "lost.wav": path does not exist; check the name',
    );
    expect(() => readWav(tmpdir())).toThrow(/path is not a file/);
  });
});

describe("a WAV file that was cut short", () => {
  const file = riff([format({ channels: 2 }), data(Array.from({ length: 400 }, (_, i) => i))]);

  it("is read as far as it goes, with a warning", () => {
    const recording = readWav(file.subarray(0, 44 + 401));
    expect(recording.channels[0].length).toBe(100);
    expect(recording.channels[1][99]).toBe(199 / 32768);
    expect(recording.warnings.join()).toMatch(
      /^recording "recording": data is cut short, .* copy the file again/,
    );
  });

  it("is refused where not one frame is left", () => {
    expect(() => readWav(file.subarray(0, 46))).toThrow('"recording": data holds no samples; record anew');
    expect(() => readWav(file.subarray(0, 40))).toThrow(/data chunk is missing/);
    expect(() => readWav(file.subarray(0, 30))).toThrow(/fmt chunk is cut short; export/);
    expect(() => readWav(file.subarray(0, 7))).toThrow(/header has 7 bytes, too few/);
    expect(() => readWav(new Uint8Array(0))).toThrow(/the file is empty/);
  });

  it("is refused where the data are truly empty and only a note follows", () => {
    const empty = riff([format(), data([]), { id: "note", body: ascii("take 2") }]);
    expect(() => readWav(empty)).toThrow(/data holds no samples/);
  });

  it("is read to its end where the recorder never filled in the size", () => {
    for (const claimed of [0, 0xffffffff]) {
      const unfinished = riff([format(), data([1, 2, 3], claimed)]);
      const recording = readWav(unfinished);
      expect(Array.from(recording.channels[0], (x) => x * 32768)).toEqual([1, 2, 3]);
      expect(recording.warnings.join()).toMatch(/data.size was never filled in/);
    }
  });
});

describe("a header that makes no sense", () => {
  const samples = data([1, 2, 3, 4, 5, 6, 7, 8]);
  const cases: [string, Uint8Array, RegExp][] = [
    ["no RIFF", ascii("OggS, or whatever else it is"), /header is that of an Ogg file/],
    ["big-endian", riff([format(), samples], "RIFX"), /header says RIFX/],
    [
      "no channels",
      riff([format({ channels: 0, frameBytes: 2 }), samples]),
      /fmt.channels is 0, expected 1 to 1024/,
    ],
    ["65,535 channels", riff([format({ channels: 65535, frameBytes: 2 }), samples]), /fmt.channels is 65535/],
    ["no sample rate", riff([format({ sampleRate: 0 }), samples]), /fmt.sampleRate is 0 Hz/],
    ["compressed", riff([format({ tag: 0x55 }), samples]), /fmt.format is number 85, a compressed/],
    [
      "8 bit",
      riff([format({ bits: 8 }), samples]),
      /fmt.format is 8 bit PCM, which is not read here; export it as 16, 24/,
    ],
    [
      "a frame of the wrong size",
      riff([format({ frameBytes: 3 }), samples]),
      /fmt.blockAlign is 3 bytes, expected 2/,
    ],
    ["samples before their format", riff([samples, format()]), /fmt chunk is missing before the samples/],
    [
      "a format cut short",
      riff([{ id: "fmt ", body: uint(1, 8) }, samples]),
      /fmt chunk has 8 bytes, expected 16/,
    ],
    [
      "an extensible one cut short",
      riff([format({ tag: 0xfffe }), samples]),
      /expected 40 for an extensible/,
    ],
    [
      "an unknown sub-format",
      riff([{ id: "fmt ", body: join([format({ tag: 0xfffe }).body, new Uint8Array(24)]) }, samples]),
      /fmt.subFormat is unknown/,
    ],
    [
      "a chunk larger than the file",
      riff([{ id: "junk", body: uint(0, 4), claimed: 0xfffffff0 }, samples]),
      /data chunk is missing/,
    ],
  ];
  for (const [what, bytes, message] of cases) {
    it(`is refused with file, field and remedy: ${what}`, () => {
      expect(() => readWav(bytes)).toThrow(message);
      expect(() => readWav(bytes)).toThrow(/^recording "recording": [^\n]+; [^\n]+$/);
    });
  }

  it("made of endless empty chunks is given up", () => {
    const bytes = join([ascii("RIFF"), uint(8e6, 4), ascii("WAVE"), new Uint8Array(8e6)]);
    let reads = 0;
    const source = { name: "empty chunks", size: bytes.length, close() {} };
    const read = (into: Uint8Array, at: number) => {
      reads++;
      into.set(bytes.subarray(at, at + into.length));
      return into.length;
    };
    expect(() => readWav({ ...source, read })).toThrow(/data chunk is missing/);
    expect(reads).toBeLessThan(10_010);
  });
});

describe("openWav", () => {
  const scratch = mkdtempSync(path(tmpdir(), "evenground-"));
  const name = path(scratch, "long.wav");

  it("gives in blocks of any size what readWav gives at once", () => {
    const channels = [0, 1, 2].map((c) =>
      Float64Array.from({ length: 100_003 }, (_, i) => Math.sin(i * (c + 1))),
    );
    writeWav(name, { sampleRate: 48000, channels });
    const whole = readWav(name);
    for (const size of [1000, 4096, 65_536, 1e9]) {
      const reader = openWav(name);
      const joined = channels.map(() => [] as number[]);
      for (const block of reader.blocks(size)) {
        for (const [c, samples] of block.entries()) for (const x of samples) joined[c].push(x);
      }
      reader.close();
      expect(joined.map((c) => c.length)).toEqual([100_003, 100_003, 100_003]);
      expect(joined.every((c, k) => c.every((x, i) => x === whole.channels[k][i]))).toBe(true);
    }
    rmSync(scratch, { recursive: true });
  });

  it("stops where the file got shorter while it was read", () => {
    const scratch2 = mkdtempSync(path(tmpdir(), "evenground-"));
    const file = path(scratch2, "shrinking.wav");
    writeWav(file, { sampleRate: 48000, channels: [new Float64Array(200_000).fill(0.25)] });
    const reader = openWav(file);
    writeFileSync(file, readFileSync(file).subarray(0, 44 + 30_000));
    let frames = 0;
    for (const block of reader.blocks(4096)) frames += block[0].length;
    reader.close();
    expect(frames).toBe(10_000);
    rmSync(scratch2, { recursive: true });
  });
});
