/** Takes that repeat others, and microphones that were moved, are known by what is heard. */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { writeWav } from "../../../lib/measurement/wav/write";
import { normal } from "../../../lib/numeric/random";
import { simulateRecordings } from "../../../lib/study/simulate-recordings";
import { readVenue } from "../../../lib/venue/file/read";
import { propose } from "../../../scripts/new-show/propose";
import { showFrom } from "../../../scripts/new-show/show-from";
import { filesIn } from "../../../scripts/new-show/tracks";
import { testSignal } from "../../../scripts/signals/signals";

const file = path.join(__dirname, "..", "..", "..", "data", "venues", "harbour-theatre.json");
const venue = readVenue(readFileSync(file, "utf8"), "venue.json");
const folder = mkdtempSync(path.join(tmpdir(), "evenground-repeats-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const sampleRate = 16_000;
const stood = [0, 2, 4].map((i) => venue.positions[i]);
/** Half a metre back and to the side. */
const moved = stood.map(({ id, point }) => ({ id, point: { ...point, x: point.x + 0.4, y: point.y + 0.3 } }));

const random = normal(12);
const write = (name: string, reference: Float64Array, microphones: readonly Float64Array[]) =>
  writeWav(path.join(folder, `${name}.wav`), {
    sampleRate,
    // Each recording has noise of its own, 50 dB below what plays.
    channels: [reference, ...microphones].map((x) => {
      const level = Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
      return x.map((v) => v + 0.003 * level * random());
    }),
    encoding: "float32",
  });
let first: ReturnType<typeof simulateRecordings>;

beforeAll(() => {
  const options = { seconds: 4, noise: 40, sampleRate };
  first = simulateRecordings(venue, stood, options);
  const second = simulateRecordings(venue, moved, options);
  write("take 1", first.reference, first.mains);
  write("take 2", first.reference, first.mains);
  write("take 3", first.reference, first.subs);
  write("take 4", first.reference, first.both);
  write("take 5", first.reference, first.subs);
  write("take 6", second.reference, second.mains);
  write("take 7", second.reference, second.subs);
}, 60_000);

describe("takes that repeat others, and microphones that were moved", () => {
  it("are proposed as what they are", () => {
    const { takes } = propose(filesIn(folder).files, venue);
    expect(takes.map(({ name, holds, standing }) => [name, holds, standing])).toEqual([
      ["take 1", "mains", 0],
      ["take 2", "mains", 0],
      ["take 3", "subs", 0],
      ["take 4", "both", 0],
      ["take 5", "subs", 0],
      ["take 6", "mains", 1],
      ["take 7", "subs", 1],
    ]);
    expect(takes[1].because).toMatch(/repeats "take 1", with which it is averaged/);
    expect(takes[4].because).toMatch(/repeats "take 3"/);
    const positions = takes.map(({ tracks }) => tracks.slice(1).map(({ position }) => position));
    const names = stood.map(({ id }) => id);
    const around = names.map((name) => `${name}/2`);
    expect(positions).toEqual([names, names, names, names, names, around, around]);
  });

  it("come all into the show", () => {
    const { file: show, left } = showFrom("x", "venue.json", propose(filesIn(folder).files, venue));
    expect(left).toEqual([]);
    expect(show?.takes).toHaveLength(7);
  });

  it("without a drawing are points around where the same microphones stood", () => {
    const { takes } = propose(filesIn(folder).files);
    expect(takes[5].tracks.slice(1).map(({ position }) => position)).toEqual([
      "position 1/2",
      "position 2/2",
      "position 3/2",
    ]);
  });

  it("are told from one in which a microphone was carried while the signal played", () => {
    // Away at a metre a second, the other inputs open.
    const carried = first.mains[0].map((_, n, all) => 0.03 * (all[Math.round(n * (1 - 1 / 343))] ?? 0));
    const open = () => carried.map(() => 1e-5 * random());
    write("take 8", first.reference, [carried, open(), open()]);
    const { takes } = propose(filesIn(folder).files, venue);
    expect(takes.find(({ name }) => name === "take 8")).toMatchObject({
      holds: "unknown",
      because: expect.stringContaining("a walk, perhaps"),
    });
  });
});

describe("a take without what was sent", () => {
  it("is told to hold the test signal, and its nearest microphone is taken for no reference", () => {
    const own = mkdtempSync(path.join(tmpdir(), "evenground-unsent-"));
    const { samples } = testSignal("noise", { sampleRate, seconds: 8 });
    const random = normal(5);
    // Sound comes directly and back from walls.
    const microphones = [160, 480, 900].map((late) =>
      samples.map((_, n) =>
        [
          [0, 0.5],
          [70, -0.4],
          [190, 0.3],
          [430, -0.25],
        ].reduce((sum, [by, gain]) => sum + gain * (samples[n - late - by] ?? 0), 1e-4 * random()),
      ),
    );
    writeWav(path.join(own, "a.wav"), { sampleRate, channels: microphones, encoding: "float32" });
    const { takes, doubts } = propose(filesIn(own).files, venue);
    expect(takes[0].tracks.every(({ use }) => use !== "reference")).toBe(true);
    expect(doubts.join("\n")).toMatch(
      /"a" holds the test signal, pink noise, as microphones heard it, and no channel/,
    );
    rmSync(own, { recursive: true });
  });
});
