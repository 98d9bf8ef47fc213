import { closeSync, ftruncateSync, mkdtempSync, openSync, readFileSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { openWav, readWav } from "../../lib/measurement/wav/read";
import { encodeWav } from "../../lib/measurement/wav/write";
import { load } from "../../lib/study/open-take";
import { partOfRecording } from "../../lib/study/part-of-recording";
import { readShow } from "../../lib/study/read-show";
import { whiteNoise } from "../measurement/noise";
import { format, riff } from "../measurement/wav/wav-bytes";

const rate = 1000;
/** A recording whose level is given second by second, dB re full scale. */
function levels(perSecond: readonly number[]) {
  const noise = whiteNoise(perSecond.length * rate, 3);
  const samples = noise.map((x, n) => x * 10 ** (perSecond[Math.floor(n / rate)] / 20));
  return openWav(encodeWav({ sampleRate: rate, channels: [samples], encoding: "float32" }));
}
const fill = (seconds: number, level: number) => new Array<number>(seconds).fill(level);
const chosen = (perSecond: readonly number[], most: number, more = {}) => {
  const { start, frames } = partOfRecording(levels(perSecond), {
    most: most * rate,
    channels: [0],
    look: "loud",
    ...more,
  });
  return [start / rate, (start + frames) / rate];
};

describe("the part of a recording that is used", () => {
  it("is all of one that can be held, or what the show file names of it", () => {
    expect(chosen(fill(40, -20), 60)).toEqual([0, 40]);
    expect(chosen(fill(40, -20), 60, { from: 5, to: 30 })).toEqual([5, 30]);
    expect(chosen(fill(40, -20), 60, { from: 5, to: 99 })).toEqual([5, 40]);
  });

  it("is the loud part of one that is longer, wherever it lies", () => {
    const [from, to] = chosen([...fill(200, -60), ...fill(60, -20), ...fill(100, -60)], 60);
    expect(from).toBeGreaterThanOrEqual(199);
    expect(from).toBeLessThanOrEqual(203);
    expect(to - from).toBe(60);
  });

  it("is shorter where the signal is", () => {
    const [from, to] = chosen([...fill(150, -70), ...fill(32, -20), ...fill(150, -70)], 120);
    expect(from).toBeGreaterThanOrEqual(142);
    expect(to).toBeLessThanOrEqual(190);
    expect(to - from).toBe(30);
  });

  it("is steady rather than louder at times", () => {
    const claps = fill(120, -50).map((level, i) => (i % 4 === 0 ? -3 : level));
    const [from, to] = chosen([...claps, ...fill(60, -20), ...claps], 60);
    expect([from >= 118 && from <= 122, to - from]).toEqual([true, 60]);
  });

  it("lies within what the show file names", () => {
    const [from, to] = chosen([...fill(60, -10), ...fill(60, -40), ...fill(100, -20)], 30, { from: 60 });
    expect(from).toBeGreaterThanOrEqual(119);
    expect(to - from).toBe(30);
  });

  it("is the quietest that isn't nothing at all where a noise floor is looked for", () => {
    const [from, to] = chosen([...fill(40, -400), ...fill(60, -30), ...fill(40, -60), ...fill(40, -20)], 30, {
      look: "quiet",
    });
    expect(from).toBeGreaterThanOrEqual(99);
    expect(to).toBeLessThanOrEqual(141);
  });
});

describe("recordings as they come from an evening's work", () => {
  const folder = mkdtempSync(path.join(tmpdir(), "evenground-long-"));
  afterAll(() => rmSync(folder, { recursive: true }));
  const demo = readShow(path.resolve(__dirname, "../../data/shows/harbour-theatre"));

  /** 16 bits; a head, a stretch of noise on every channel, and nothing else that takes room on the disk. */
  function sparse(name: string, channels: number, sampleRate: number, seconds: number, noiseAt: number) {
    const bytes = 2 * channels * sampleRate * seconds;
    const head = riff([
      format({ channels, bits: 16, sampleRate }),
      { id: "data", body: new Uint8Array(0), claimed: bytes },
    ]);
    const file = path.join(folder, name);
    const handle = openSync(file, "w");
    writeSync(handle, head);
    ftruncateSync(handle, head.length + bytes);
    const noise = Buffer.alloc(2 * channels * sampleRate * 10);
    for (let i = 0; i < noise.length; i++) noise[i] = (i * 7919 + (i >> 5) * 104729) & (i % 2 ? 15 : 255);
    for (let s = 0; s < 60; s += 10)
      writeSync(handle, noise, 0, noise.length, head.length + 2 * channels * sampleRate * (noiseAt + s));
    closeSync(handle);
    return file;
  }

  it("eight channels of 16 bits for 62 s are read", () => {
    const file = sparse("eight.wav", 8, 48000, 62, 0);
    expect(readWav(file).channels.map((c) => c.length)).toEqual(fill(8, 62 * 48000));
  });

  it("of an hour of 32 channels the minute with the signal is used, and no more than 1 GB is held", () => {
    sparse("hour.wav", 32, 8000, 3600, 2000);
    const warnings: string[] = [];
    const numbers = Array.from({ length: 32 }, (_, i) => i + 1);
    const { part, channels } = load(
      { ...demo, folder },
      "hour.wav",
      "takes[0].recording",
      numbers,
      warnings,
      {
        judge: [1],
      },
    );
    expect(part.start / 8000).toBeGreaterThanOrEqual(1999);
    expect((part.start + part.frames) / 8000).toBeLessThanOrEqual(2062);
    expect(8 * channels.size * part.frames).toBeLessThan(1e9);
    expect(warnings.join()).toMatch(
      /recording "hour.wav": of 3600 s the part from 2\d{3} to 2\d{3} s is used, the steadiest and loudest; "from" and "to"/,
    );
  });

  it("a part that begins after the end is refused with the recording's length", () => {
    expect(() => load(demo, "mains.wav", "takes[0].recording", [1], [], { from: 500 })).toThrow(
      /recording "mains.wav": from is 500 s, and the recording lasts 8.2 s; correct "from"/,
    );
  });

  it("what is wrong is told at the time of the file, not of the part", () => {
    const warnings: string[] = [];
    const bytes = readFileSync(path.join(demo.folder, "mains.wav"));
    expect(bytes.length).toBeGreaterThan(0);
    const { channels, sampleRate } = readWav(path.join(demo.folder, "mains.wav"));
    const hole = channels[1].map((x, n) => (n > 6 * sampleRate && n < 6.1 * sampleRate ? 0 : x));
    const file = path.join(folder, "hole.wav");
    const handle = openSync(file, "w");
    writeSync(handle, encodeWav({ sampleRate, channels: [hole], encoding: "float32" }));
    closeSync(handle);
    load({ ...demo, folder }, "hole.wav", "takes[0].recording", [1], warnings, { from: 4 });
    expect(warnings.join()).toMatch(/channel 1 at 6\.000 s .*exact zeros/);
  });
});
