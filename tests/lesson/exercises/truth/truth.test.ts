import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { valueAt } from "../../../../lib/acoustics/bands/curve";
import type { Response } from "../../../../lib/acoustics/response";
import { entryOf } from "../../../../lib/lesson/exercises/catalogue";
import { exercise, roomOf } from "../../../../lib/lesson/exercises/exercise";
import { hash } from "../../../../lib/lesson/exercises/hash";
import { seededNoise } from "../../../../lib/lesson/exercises/microphones";
import { withFault } from "../../../../lib/lesson/exercises/truth/microphone-faults";
import { suspectsOf } from "../../../../lib/lesson/exercises/truth/suspects";
import { uniform } from "../../../../lib/numeric/random";
import type { Survey } from "../../../../lib/survey/survey";
import type { Boundary, Room, Venue } from "../../../../lib/venue/venue";

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
    const sounds = suspects.map((s) => JSON.stringify([s.venue.sources, s.venue.boundaries, s.venue.air]));
    expect(new Set([...sounds, JSON.stringify([venue.sources, venue.boundaries, venue.air])]).size).toBe(
      suspects.length + 1,
    );
    for (const one of suspects) {
      expect(one.venue.audience).toEqual(venue.audience);
      expect(one.what).toMatch(/^the subs of house (?:left|right) are (?:inverted|7 ms late|silent)/);
    }
  }
});

test("of wall, curtains and air each room has two as suspects, and all three are met among the exercises", () => {
  const met = (["cellar-place", "theatre-place", "wide-place"] as const).flatMap((id) =>
    [1, 2, 3, 4, 5].map((variant) => {
      const { suspects } = exercise(id, variant);
      return ["wall of", "curtains", "warmer"].filter((word) => suspects.some((s) => s.what.includes(word)));
    }),
  );
  for (const each of met) expect(each).toHaveLength(2);
  expect(new Set(met.flat()).size).toBe(3);
});

test("curtains take sound of the middle from a room and leave the lowest octave alone; warmer air is warmer", () => {
  const drawings = [1, 2, 3, 4, 5].map((variant) => exercise("wide-place", variant));
  const [curtained] = drawings.flatMap(({ venue, suspects }) =>
    suspects.flatMap((s) => (s.what.includes("curtains") ? [{ venue, there: s.venue }] : [])),
  );
  const time = (venue: Venue, f: number) => valueAt((venue.room as Room).reverberationTime, f);
  // Sabine: 0.161 s/m V/A. Two walls of 23 m by 7 m with velour, 0.72 at 1 kHz, in place of plasterboard, 0.06 in the venue file.
  const { venue, there } = curtained;
  const wall = venue.boundaries.find((b) => b.name === "left wall") as Boundary;
  const [front, back] = [wall.corners[0].x, wall.corners[1].x];
  const more = 2 * Math.abs(back - front) * 7 * (0.72 - 0.06);
  const volume = (venue.room as Room).volume;
  const before = (0.161 * volume) / time(venue, 1000);
  expect(time(there, 1000)).toBeCloseTo((0.161 * volume) / (before + more), 3);
  expect(time(there, 63)).toBeCloseTo(time(venue, 63), 6);
  const [warm] = drawings.flatMap(({ venue: drawn, suspects }) =>
    suspects.flatMap((s) =>
      s.what.includes("warmer") ? [s.venue.air.temperature - drawn.air.temperature] : [],
    ),
  );
  expect(warm).toBeCloseTo(12, 9);
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
