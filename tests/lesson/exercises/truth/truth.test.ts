import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import type { Response } from "../../../../lib/acoustics/response";
import { entryOf } from "../../../../lib/lesson/exercises/catalogue";
import { exercise, roomOf } from "../../../../lib/lesson/exercises/exercise";
import { hash, seededNoise } from "../../../../lib/lesson/exercises/microphones";
import { withFault } from "../../../../lib/lesson/exercises/truth/microphone-faults";
import { suspectsOf } from "../../../../lib/lesson/exercises/truth/suspects";
import { uniform } from "../../../../lib/numeric/random";
import type { Survey } from "../../../../lib/survey/survey";

const response = (size: number): Response => ({
  frequency: Float64Array.of(20, 40, 80, 160),
  re: Float64Array.of(size, size, size, size),
  im: new Float64Array(4),
});
const position = (id: string) => ({ id, point: { x: 1, y: 0, z: 1 }, area: "floor", people: 1 });
const heard: Survey = {
  name: "heard",
  quantity: "pressure",
  frequency: response(1).frequency,
  positions: ["a", "b", "c"].map(position),
  mains: [1, 2, 3].map(response),
  subs: [10, 20, 30].map(response),
};
const at = (channel: number) => ({ mains: heard.mains[channel], subs: heard.subs[channel] });
const fault = { channel: 1, corner: 80, seed: 3 };

describe("a microphone", () => {
  test("with a low cut of second order is 3.01 dB down at its corner, and the others hear what they heard", () => {
    const found = withFault(heard, [0, 1, 2], { ...fault, kind: "low cut" }, 3, at);
    const level = (r: Response, k: number) => 20 * Math.log10(Math.hypot(r.re[k], r.im[k]));
    // Butterworth: half the power at the corner; two octaves below 12 dB an octave, 24.1 dB.
    expect(level(found.subs[1], 2) - level(heard.subs[1], 2)).toBeCloseTo(-3.01, 2);
    expect(level(found.subs[1], 0) - level(heard.subs[1], 0)).toBeCloseTo(-10 * Math.log10(1 + 4 ** 4), 2);
    expect(found.subs[0]).toBe(heard.subs[0]);
    expect(found.mains[2]).toBe(heard.mains[2]);
  });

  test("that is mislabelled gives its trace under the other's name, and gets the other's", () => {
    const found = withFault(heard, [0, 1, 2], { ...fault, kind: "mislabelled" }, 3, at);
    expect(found.subs.map((r) => r.re[0])).toEqual([10, 30, 20]);
    // Where the other does not stand, nothing is exchanged.
    const alone = withFault(heard, [0, 1, 2], { ...fault, kind: "mislabelled" }, 3, () => undefined);
    expect(alone.subs.map((r) => r.re[0])).toEqual([10, 20, 30]);
  });

  test("in a noisy take says so by its coherence, S/(S + N), of the subs alone", () => {
    const { subs, mains } = withFault(heard, [0, 1, 2], { ...fault, kind: "noisy" }, 3, at);
    const expected = 1 / (1 + 10 ** (4 / 10));
    expect(subs[1].coherence?.[1]).toBeCloseTo(expected, 6);
    expect(subs[1].coherence?.[0]).toBe(1);
    expect(mains[1].coherence?.[1]).toBeCloseTo(1, 4);
  });
});

test("of a venue's suspects each is another venue, with the drawing's seats and positions", () => {
  for (const id of ["cellar-place", "theatre-place", "wide-place"] as const) {
    const { venue, suspects } = exercise(id, 4);
    expect(suspects.length).toBeGreaterThanOrEqual(4);
    const sounds = suspects.map((s) => JSON.stringify([s.venue.sources, s.venue.boundaries]));
    expect(new Set([...sounds, JSON.stringify([venue.sources, venue.boundaries])]).size).toBe(
      suspects.length + 1,
    );
    for (const one of suspects) {
      expect(one.venue.audience).toEqual(venue.audience);
      expect(one.what).toMatch(/^the subs of house (?:left|right) are (?:inverted|silent)/);
    }
  }
});

test("half of the cabinets is half of them, on one side where they have sides", () => {
  const { venue } = exercise("wide-place", 4);
  const subs = venue.sources.filter((s) => s.group === "subs");
  const [inverted] = suspectsOf(venue);
  const changed = inverted.venue.sources.filter((s, i) => s.polarity !== venue.sources[i].polarity);
  expect(changed.every((s) => s.point.y > 0)).toBe(true);
  expect(2 * changed.length).toBe(subs.length);
});

test("the suspects that a plan for the class tells slow pairs are those of these seats", () => {
  const plan = readFileSync(path.resolve("notebooks/mentors/ninety-minutes.md"), "utf8");
  const [, told] = /for seats 1 to 8 it is suspect ([\d, ]+)\./.exec(plan) ?? [];
  const entry = entryOf("cellar-place");
  const found = told.split(", ").map((_, i) => {
    const [own, building] = [`${i + 1}`, `room ${(i + 1) % (entry.rooms as number)}`].map((key) =>
      hash(`cellar-place ${key}`),
    );
    const { task } = roomOf(entry, i + 1, uniform(own), seededNoise(own), uniform(building));
    return (task.suspects ?? []).findIndex(({ venue }) => venue === task.truth) + 1;
  });
  expect(found).toHaveLength(8);
  expect(found.join(", ")).toBe(told);
});
