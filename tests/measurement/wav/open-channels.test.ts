import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { joinedAverage } from "../../../lib/measurement/transfer/joined";
import { openChannels } from "../../../lib/measurement/wav/open-channels";
import { openWav } from "../../../lib/measurement/wav/read";
import { encodeWav, writeWav } from "../../../lib/measurement/wav/write";
import { seeded } from "../seeded";

const folder = mkdtempSync(join(tmpdir(), "evenground-channels-"));
afterAll(() => rmSync(folder, { recursive: true }));

const sampleRate = 8000;
const random = seeded(3);
const reference = Float64Array.from({ length: 60_000 }, () => 0.1 * random.normal());
/** Half as strong and 40 samples later. */
const late = reference.map((_, i) => (i >= 40 ? 0.5 * reference[i - 40] : 0));
const file = (name: string, channels: Float64Array[], rate = sampleRate) => {
  const path = join(folder, name);
  writeWav(path, { sampleRate: rate, channels, encoding: "float64" });
  return path;
};
const console_ = file("console.wav", [new Float64Array(60_000), reference]);
const microphones = file(
  "microphones.wav",
  [late, new Float64Array(50_000), reference].map((x) => x.subarray(0, 50_000)),
);

describe("openChannels", () => {
  it("runs channels of several files together, in the order asked for, as long as the shortest", () => {
    const stream = openChannels([
      { file: console_, channel: 1 },
      { file: microphones, channel: 2 },
      { file: microphones, channel: 0 },
    ]);
    const joined: number[][] = [[], [], []];
    for (const block of stream.blocks(4096)) {
      for (const [c, samples] of block.entries()) for (const x of samples) joined[c].push(x);
    }
    stream.close();
    expect(stream.frames).toBe(50_000);
    expect(joined).toEqual([reference, reference, late].map((x) => Array.from(x.subarray(0, 50_000))));
    expect(stream.warnings).toEqual([
      'recording "console.wav": goes on for 1 s after "microphones.wav" has ended, which are left out',
    ]);
  });

  it("feeds a transfer function that finds the level and delay put in", () => {
    const stream = openChannels([
      { file: console_, channel: 1 },
      { file: microphones, channel: 0 },
    ]);
    const average = joinedAverage(1, stream.sampleRate, { delays: [40 / sampleRate] });
    for (const [sent, heard] of stream.blocks(1000)) average.feed(sent, [heard]);
    stream.close();
    const [{ re, im, coherence }] = average.result();
    re.forEach((x, i) => {
      expect(Math.hypot(x - 0.5, im[i])).toBeLessThan(0.005);
      expect(coherence![i]).toBeGreaterThan(0.999);
    });
  });

  it("names the file whose sample rate differs, and the one it differs from", () => {
    const other = file("field recorder.wav", [reference], 44100);
    expect(() =>
      openChannels([
        { file: console_, channel: 1 },
        { file: other, channel: 0 },
      ]),
    ).toThrow(
      'recording "field recorder.wav": sample rate is 44100 Hz, expected 8000 Hz as in "console.wav"; record both at one rate, or convert one of them before',
    );
  });

  it("names a channel that does not exist and refuses none at all", () => {
    expect(() => openChannels([{ file: console_, channel: 2 }])).toThrow(
      /"console.wav": channel 3 does not exist/,
    );
    expect(() => openChannels([])).toThrow(/channels is empty/);
  });

  it("passes on the warnings of a file that was cut short", () => {
    const bytes = encodeWav({ sampleRate, channels: [reference] });
    const reader = openWav(bytes.subarray(0, 10_000));
    const stream = openChannels([{ file: reader, channel: 0 }]);
    expect(stream.warnings.join()).toMatch(/data is cut short/);
    expect(stream.frames).toBe(3318);
  });
});
