import { cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { readWav } from "../../lib/measurement/wav/read";
import { writeWav } from "../../lib/measurement/wav/write";
import { normal } from "../../lib/numeric/random";
import { noiseFloorOf, noiseIsOther, otherNoiseWarnings } from "../../lib/study/noise-floor";
import { readShow } from "../../lib/study/read-show";

const frequency = logGrid(20, 4000, 240);
const flat = (density: number) => new Float64Array(240).fill(density);
// A sound of 1 in 62 Hz.
const bands = [{ band: [28, 90] as const, sound: 1 }];

test("noise recorded in quiet that is the take's own, or too soft to matter, is not called another", () => {
  const noise = 0.1 / 62;
  for (const factor of [1 / 1.5, 1, 1.5])
    expect(noiseIsOther(frequency, flat(factor * noise), { density: flat(noise), bands })).toBe(undefined);
  expect(noiseIsOther(frequency, flat(0.02 / 62), { density: flat(0.0001 / 62), bands })).toBe(undefined);
  expect(noiseIsOther(frequency, flat(0.001 / 62), { density: flat(0.05 / 62), bands })).toBe(undefined);
});

test("noise that is louder or softer than the take's own is told, with by how much", () => {
  const louder = noiseIsOther(frequency, flat(0.5 / 62), { density: flat(0.05 / 62), bands });
  expect(louder!.louder_db).toBeCloseTo(10, 6);
  const softer = noiseIsOther(frequency, flat(0.005 / 62), { density: flat(0.5 / 62), bands });
  expect(softer!.louder_db).toBeCloseTo(-20, 6);
  const said = otherNoiseWarnings([
    { position: "row 1", recording: "mains.wav", ...louder! },
    { position: "row 2", recording: "mains.wav", ...louder! },
    { position: "row 1", recording: "subs.wav", ...softer! },
  ]);
  expect(said).toEqual([
    expect.stringMatching(
      /"mains.wav": the noise floor .* up to 10 dB louder than .* at "row 1" and "row 2", as where a fan stopped/,
    ),
    expect.stringMatching(/"subs.wav": .* up to 20 dB softer than .* at "row 1", as where a fan started/),
  ]);
});

test("a noise floor recorded at another sample rate says the same of each hertz", () => {
  const folder = path.join(mkdtempSync(path.join(tmpdir(), "noise-floor-")), "show");
  cpSync(path.resolve(__dirname, "../../data/shows/harbour-theatre"), folder, { recursive: true });
  try {
    const file = path.join(folder, "noise.wav");
    const count = readWav(file).channels.length;
    const told = [8000, 44100].map((sampleRate) => {
      const next = normal(sampleRate);
      // White up to half the rate: the louder, the more hertz.
      const level = 0.01 * Math.sqrt(sampleRate / 8000);
      const noise = Float64Array.from({ length: 20 * sampleRate }, () => level * next());
      writeWav(file, { sampleRate, channels: Array(count).fill(noise), encoding: "float32" });
      return noiseFloorOf(readShow(folder), [])!;
    });
    const at = JSON.parse(readFileSync(path.join(folder, "show.json"), "utf8")).takes[0].microphones["row A"];
    for (const floor of told) {
      const low = floor.get(at)!.slice(60, 160);
      const mean = low.reduce((a, b) => a + b, 0) / low.length;
      expect(Math.abs(10 * Math.log10(mean / (0.0001 / 4000)))).toBeLessThan(0.5);
    }
  } finally {
    rmSync(path.dirname(folder), { recursive: true, force: true });
  }
});
