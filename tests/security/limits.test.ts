/** Files far larger than honest ones are refused before they are read, with the way to raise the limit; and it does. */
import { closeSync, ftruncateSync, openSync, rmSync, truncateSync, writeFileSync, writeSync } from "node:fs";
import path from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { measureShow } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";
import { type SmallShow, smallShow, writeSmallShow } from "./small-show";

let folder: string;
const show = (): SmallShow => smallShow((n) => `name ${n}`);
beforeEach(() => {
  folder = writeSmallShow(show());
});
afterEach(() => {
  rmSync(path.dirname(folder), { recursive: true, force: true });
  delete process.env.EVENGROUND_LIMITS;
});
const inFolder = (name: string) => path.join(folder, name);
const problems = () => measureShow(readShow(folder)).problems.join("\n");

/** A WAV header of 16 channels at 192 kHz, with a file of the size it claims whose samples take no room on the disk. */
function writeHugeWav(file: string, frames: number): void {
  const [channels, rate, bytes] = [16, 192_000, 2];
  const size = frames * channels * bytes;
  const header = Buffer.alloc(44);
  header.write("RIFF");
  header.writeUInt32LE(size + 36, 4);
  header.write("WAVEfmt ", 8);
  header.writeUInt32LE(16, 16);
  header.writeUInt16LE(1, 20);
  header.writeUInt16LE(channels, 22);
  header.writeUInt32LE(rate, 24);
  header.writeUInt32LE(rate * channels * bytes, 28);
  header.writeUInt16LE(channels * bytes, 32);
  header.writeUInt16LE(8 * bytes, 34);
  header.write("data", 36);
  header.writeUInt32LE(size, 40);
  const handle = openSync(file, "w");
  writeSync(handle, header);
  ftruncateSync(handle, 44 + size);
  closeSync(handle);
}

describe("a file beyond the usual size", () => {
  it("is refused where it is the show file", () => {
    truncateSync(inFolder("show.json"), 5_000_001);
    expect(() => readShow(folder)).toThrow(
      /"show.json" is 5000001 bytes, expected at most 5000000; .*EVENGROUND_LIMITS=10/,
    );
    process.env.EVENGROUND_LIMITS = "2";
    expect(() => readShow(folder)).not.toThrow(/expected at most/);
  });

  it("is refused where it is the venue file", () => {
    truncateSync(inFolder("venue.json"), 6_000_000);
    expect(() => readShow(folder)).toThrow(
      /"venue.json" is 6000000 bytes, expected at most 5000000; .*EVENGROUND_LIMITS=10/,
    );
  });

  it("costs a trace its place, and the raised limit reads it", () => {
    const comment = `# ${"x".repeat(998)}\n`.repeat(21_000);
    const text = `${comment}frequency_hz,magnitude_db,phase_deg\n20,0,0\n100,1,0\n16000,0,0\n`;
    writeFileSync(inFolder("subs-0.csv"), text);
    expect(problems()).toMatch(
      /trace "subs-0.csv": size is 21021061 bytes, expected at most 20000000; .*EVENGROUND_LIMITS=10/,
    );
    process.env.EVENGROUND_LIMITS = "10";
    expect(problems()).not.toMatch(/subs-0.csv/);
  });

  it("takes of a recording that would not fit the memory as much as fits", () => {
    writeHugeWav(inFolder("huge.wav"), 130 * 192_000);
    const microphones = Object.fromEntries(show().venue.positions.map(({ id }, i) => [id, i + 2]));
    // Every channel is asked for: 16 places do not exist, so the venue gets them.
    const positions = Array.from({ length: 15 }, (_, i) => ({
      id: `seat ${i}`,
      point: { x: 4 + i / 2, y: 1, z: 1.2 },
    }));
    const file = show();
    file.venue.positions.push(...positions);
    for (const [i, { id }] of positions.entries()) microphones[id] = i + 2;
    const takes = [{ playing: "subs", recording: "huge.wav", reference: 1, microphones }];
    writeFileSync(inFolder("venue.json"), JSON.stringify(file.venue));
    writeFileSync(inFolder("show.json"), JSON.stringify({ ...file.show, takes }));
    // 17 channels of 130 s at 192 kHz are 1.7 GB in single precision; half of the usual gigabyte is allowed.
    process.env.EVENGROUND_LIMITS = "0.5";
    const before = process.resourceUsage().maxRSS;
    expect(problems()).toMatch(/recording "huge.wav": channel 1 is silent/);
    expect((process.resourceUsage().maxRSS - before) * 1024).toBeLessThan(1e9);
  });

  it("has its limit's own mistakes told", () => {
    process.env.EVENGROUND_LIMITS = "much";
    expect(() => readShow(folder)).toThrow(/EVENGROUND_LIMITS is "much", expected a number above 0/);
  });
});
