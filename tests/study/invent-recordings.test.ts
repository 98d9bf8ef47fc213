import { describe, expect, it } from "vitest";
import { exampleVenue } from "../../lib/lesson/exampleVenue";
import { findDelay } from "../../lib/measurement/delay";
import { transferFunction } from "../../lib/measurement/transfer-function";
import { inventRecordings } from "../../lib/study/invent-recordings";
import type { Venue } from "../../lib/venue/venue";

/** One side of a system on a meadow: no walls, one hang. */
const whole = exampleVenue("ulverow-meadow");
const venue: Venue = { ...whole, sources: whole.sources.filter((s) => !s.id.includes("right")) };
const places = venue.places.filter((p) => p.id === "meadow 2" || p.id === "mix position");
const common = { seconds: 8, noise: 60, seed: 9 };
const coherence = (from: number, to: number, level: number) => {
  const { reference, mains, sampleRate } = inventRecordings(venue, places, {
    ...common,
    disturbances: [{ place: "mix position", from: 300, to: 450, level }],
  });
  const { chosen } = findDelay(reference, mains[1], sampleRate);
  const h = transferFunction(reference, mains[1], sampleRate, { delay: chosen.time, windowLength: 4096 });
  const inside = [...h.frequency.keys()].filter((k) => h.frequency[k] >= from && h.frequency[k] <= to);
  return inside.reduce((sum, k) => sum + (h.coherence as Float64Array)[k], 0) / inside.length;
};

describe("invented recordings", () => {
  it("have a coherence of R/(1 + R) in a disturbed band (Bendat and Piersol) and a whole one beside it", () => {
    // 1/2 at equal power; the signal's own ripple over the band and the window's leaks move it a little.
    expect(Math.abs(coherence(310, 440, 0) - 0.5)).toBeLessThan(0.12);
    expect(coherence(310, 440, -20)).toBeGreaterThan(0.93);
    expect(coherence(600, 900, 0)).toBeGreaterThan(0.85);
  });

  it("let a fill arrive before the mains by as much as was asked", () => {
    const { reference, mains, sampleRate } = inventRecordings(venue, places, {
      ...common,
      echoes: [{ place: "meadow 2", delay: -0.009, level: 3 }],
    });
    const { candidates } = findDelay(reference, mains[0], sampleRate);
    const [fill, hang] = candidates.slice(0, 2).map((c) => c.time);
    expect(Math.abs(hang - fill - 0.009)).toBeLessThan(1 / sampleRate);
    expect(Math.abs(candidates[1].strength + 3)).toBeLessThan(1);
  });

  it("refuse a disturbance that holds no frequency", () => {
    const disturbances = [{ place: "meadow 2", from: 9000, to: 9500, level: 0 }];
    expect(() => inventRecordings(venue, places, { ...common, seconds: 1, disturbances })).toThrow(
      /from 9000 to 9500 Hz holds no frequency/,
    );
  });
});
