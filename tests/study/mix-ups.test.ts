/** Mix-ups planted in the invented theatre's show: each is told by its name. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { readWav } from "../../lib/measurement/wav/read";
import { writeWav } from "../../lib/measurement/wav/write";
import { measureShow, type ShowMeasurement } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";

const original = path.resolve(__dirname, "../../data/shows/harbour-theatre");
let folder: string;
beforeEach(() => {
  folder = path.join(mkdtempSync(path.join(tmpdir(), "mix-ups-")), "show");
  cpSync(original, folder, { recursive: true });
});
afterEach(() => rmSync(path.dirname(folder), { recursive: true, force: true }));

type Microphones = Record<string, number>;
function withMicrophones(change: (microphones: Microphones, take: number) => void): ShowMeasurement {
  const file = path.join(folder, "show.json");
  const show = JSON.parse(readFileSync(file, "utf8"));
  show.takes.forEach((take: { microphones: Microphones }, i: number) => {
    change(take.microphones, i);
  });
  writeFileSync(file, JSON.stringify(show));
  return measureShow(readShow(folder));
}
const swap = (m: Microphones) => {
  [m["row A"], m["row T"]] = [m["row T"], m["row A"]];
};

it("nothing is told of a show without any, and each delay of the mains stands beside that of the drawing", () => {
  const { warnings, delays } = withMicrophones(() => {});
  expect(warnings.join("\n")).not.toMatch(/swapped|drawing|one channel|same sound|left on|treble/);
  for (const { playing, result, expected } of delays) {
    if (playing === "subs") expect(expected).toBeUndefined();
    else expect(Math.abs(result.chosen.time - expected!)).toBeLessThan(0.004);
  }
});

it.each([[[0, 1, 2]], [[0]]])("labels swapped in takes %j", (takes) => {
  const { warnings } = withMicrophones((m, i) => {
    if (takes.includes(i)) swap(m);
  });
  expect(warnings.join("\n")).toMatch(
    /"row A": the sound of the mains arrives at .* expected from the drawing, and where "row T" is drawn it would fit; the labels are likely swapped/,
  );
});

it("one channel at two positions, and one microphone on two channels", () => {
  const { channels, sampleRate } = readWav(path.join(folder, "mains.wav"));
  const copied = channels.map((samples, i) => (i === 4 ? channels[3].map((x) => 0.7 * x) : samples));
  writeWav(path.join(folder, "mains.wav"), { sampleRate, channels: copied, encoding: "int16" });
  const { warnings } = withMicrophones((m) => {
    m["row D"] = m["row H"];
  });
  expect(warnings.join("\n")).toMatch(
    /one channel, 4, stands for two positions or more, "row D" and "row H"/,
  );
  expect(warnings.join("\n")).toMatch(/channels 4 and 5 hold the same sound/);
});
