import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { listen, listenSamples } from "../../../lib/lesson/sound/listen";
import { readWav } from "../../../lib/measurement/wav/read";
import type { Survey } from "../../../lib/survey/survey";

/** Two places: mains alike from 125 Hz up, subs below; at the second the subs are 12 dB softer and all is 20 dB softer. */
const frequency = logGrid(20, 4000, 200);
const step = (inside: (f: number) => boolean, level: number): Response => ({
  frequency,
  re: frequency.map((f) => (inside(f) ? 10 ** (level / 20) : 1e-6)),
  im: new Float64Array(frequency.length),
});
const position = (id: string, x: number) => ({ id, point: { x, y: 0, z: 1.2 }, area: "rows", people: 1 });
const survey: Survey = {
  name: "two places",
  quantity: "ratio",
  frequency,
  positions: [position("front", 3), position("back", 20)],
  mains: [step((f) => f >= 125, 0), step((f) => f >= 125, -20)],
  subs: [step((f) => f < 125, 6), step((f) => f < 125, -26)],
};

/** Power of samples between two frequencies, by a transform written out: slow, and independent of the library's. */
function bandPower(samples: Float64Array, from: number, to: number): number {
  const size = samples.length;
  let sum = 0;
  for (let k = Math.ceil((from * size) / 8000); k <= (to * size) / 8000; k += 2) {
    let re = 0;
    let im = 0;
    for (let n = 0; n < size; n += 1) {
      const angle = (2 * Math.PI * ((k * n) % size)) / size;
      re += samples[n] * Math.cos(angle);
      im -= samples[n] * Math.sin(angle);
    }
    sum += re * re + im * im;
  }
  return sum;
}
const level = (samples: Float64Array, from: number, to: number) =>
  10 * Math.log10(bandPower(samples, from, to));

describe("listen", () => {
  it("keeps the difference in bass between places and takes out the difference in the middle", () => {
    const [front, back] = listenSamples(survey, ["front", "back"], { sound: "noise" });
    expect(level(front, 700, 900) - level(back, 700, 900)).toBeCloseTo(0, 0.5);
    // 6 − (−26) dB of subs, less the 20 dB of the mains
    expect(Math.abs(level(front, 40, 80) - level(back, 40, 80) - 12)).toBeLessThan(0.3);
  });

  it("raises the bass by the offset of the subs against the middle", () => {
    const balanceAt = (offset: number) => {
      const [x] = listenSamples(survey, ["front"], { sound: "noise", offset });
      return level(x, 40, 80) - level(x, 700, 900);
    };
    expect(Math.abs(balanceAt(6) - balanceAt(0) - 6)).toBeLessThan(0.2);
  });

  it("plays a place with its own setting of the subs: mains and subs alike add to 6 dB, or to nothing", () => {
    // The mains play the low band as well, as loud as the subs; half a period at 60 Hz is 8.33 ms.
    const alike = { ...survey, mains: survey.mains.map(() => step(() => true, 6)) };
    const heard = listenSamples(
      alike,
      [
        "front",
        { position: "front", offset: -80 },
        { position: "front", polarity: -1 },
        { position: "front", delay: 1 / 120 },
      ],
      { sound: "noise" },
    );
    const [both, mains, turned, late] = heard.map((x) => level(x, 57, 63) - level(x, 700, 900));
    expect(Math.abs(both - mains - 6.02)).toBeLessThan(0.05);
    expect(both - turned).toBeGreaterThan(60);
    expect(both - late).toBeGreaterThan(15);
  });

  it("lifts the low band two octaves: nothing is left below it, and the difference between places stays", () => {
    const [front, back] = listenSamples(survey, ["front", "back"], { sound: "noise", liftLow: true });
    expect(level(front, 30, 100)).toBeLessThan(level(front, 160, 320) - 60);
    // From 125 to 500 Hz the lifted bass, 6 dB up in front and 6 dB down at the back, adds by power to what was there:
    // 10 lg ((4 + 1) / (1/4 + 1)) = 6.02 dB.
    expect(Math.abs(level(front, 160, 320) - level(back, 160, 320) - 6.02)).toBeLessThan(0.5);
  });

  it.each(["rhythm", "noise"] as const)("never exceeds a quarter of full scale with the %s", (sound) => {
    const all = listenSamples(survey, ["front", "back"], { sound, offset: 15 });
    const peak = Math.max(...all.map((x) => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0)));
    expect(peak).toBeCloseTo(0.25, 6);
  });

  it("plays a WAV file that a reader of such files takes, small enough for a notebook, with its caution", () => {
    const { html } = listen(survey, { "in <front>": "front" });
    const [, base64] = /data:audio\/wav;base64,([^"]+)"/.exec(html) ?? [];
    const file = path.join(mkdtempSync(path.join(tmpdir(), "listen-")), "a.wav");
    writeFileSync(file, Buffer.from(base64, "base64"));
    const { sampleRate, channels } = readWav(file);
    expect([sampleRate, channels.length, channels[0].length]).toEqual([8000, 1, 16384]);
    expect(html.length).toBeLessThan(50_000);
    expect(html).not.toContain("<front>");
    expect(html).toMatch(/Headphones/);
  });

  it("names the places there are where one is asked for that is not", () => {
    expect(() => listen(survey, { mixer: "mix position" })).toThrow(
      /no position "mix position", it has "front", "back"/,
    );
    expect(() => listen(survey, {})).toThrow(/no position to listen at/);
  });
});
