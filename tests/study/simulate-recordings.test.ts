import { describe, expect, it } from "vitest";
import { bandLevel, thirdOctaves } from "../../lib/acoustics/bands/bands";
import { levelOfPressure, sumLevels } from "../../lib/acoustics/level/decibel";
import { power } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { venueOfFile } from "../../lib/lesson/examples/venue-of-file";
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { calibrationFrom } from "../../lib/measurement/health/calibrator";
import { checkNoiseFloor } from "../../lib/measurement/health/noise-floor";
import { harmonicLevel, sweepTransferFunction } from "../../lib/measurement/signals/distortion";
import { deconvolveSweep } from "../../lib/measurement/signals/sweep";
import { transferFunction } from "../../lib/measurement/transfer/transfer-function";
import { simulateRecordings } from "../../lib/study/simulate-recordings";
import { simulateSweep } from "../../lib/study/simulate-sweep";
import type { Venue } from "../../lib/venue/venue";

/** One side of a system on a meadow: no walls, one hang. */
const whole = venueOfFile("ulverow-meadow");
const venue: Venue = { ...whole, sources: whole.sources.filter((s) => !s.id.includes("right")) };
const places = venue.positions.filter((p) => p.id === "meadow 2" || p.id === "mix position");
const common = { seconds: 8, noise: 60, seed: 9 };
const coherence = (from: number, to: number, level: number) => {
  const { reference, mains, sampleRate } = simulateRecordings(venue, places, {
    ...common,
    disturbances: [{ position: "mix position", from: 300, to: 450, level }],
  });
  const { chosen } = estimateDelay(reference, mains[1], sampleRate);
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
    const { reference, mains, sampleRate } = simulateRecordings(venue, places, {
      ...common,
      echoes: [{ position: "meadow 2", delay: -0.009, level: 3 }],
    });
    const { candidates } = estimateDelay(reference, mains[0], sampleRate);
    const [fill, hang] = candidates.slice(0, 2).map((c) => c.time);
    expect(Math.abs(hang - fill - 0.009)).toBeLessThan(1 / sampleRate);
    expect(Math.abs(candidates[1].strength + 3)).toBeLessThan(1);
  });

  it("refuse a disturbance that holds no frequency", () => {
    const disturbances = [{ position: "meadow 2", from: 9000, to: 9500, level: 0 }];
    expect(() => simulateRecordings(venue, places, { ...common, seconds: 1, disturbances })).toThrow(
      /from 9000 to 9500 Hz holds no frequency/,
    );
  });

  it("refuse what is to happen where no microphone stands", () => {
    for (const [what, at] of [
      ["echoes", { position: "nowhere", delay: 0.01, level_db: -6 }],
      ["moved", { position: "nowhere", to: { x: 1, y: 1, z: 1 } }],
    ] as const)
      expect(() => simulateRecordings(venue, places, { ...common, [what]: [at] })).toThrow(
        /no microphone stands at "nowhere", expected one of/,
      );
  });

  it("carry a calibrator's tone on the scale of the takes: in pascals a place is as loud as its model", () => {
    const microphones = [{}, { gain: -3, polarity: -1 as const }];
    const { mains, calibrator, sampleRate } = simulateRecordings(venue, places, { ...common, microphones });
    // The drive reaches from 20 Hz to 7.2 kHz: the thirds from 25 Hz to 6.3 kHz (22 Hz to 7.1 kHz) hold all but little.
    const bands = thirdOctaves(25, 6300);
    const positions = places.map((p) => ({ id: p.id, point: p.point, area: "meadow", people: 0 }));
    const model = modelSurvey(venue, positions);
    mains.forEach((take, i) => {
      const { pascalsPerUnit, faults } = calibrationFrom(calibrator[i], sampleRate);
      expect(faults).toEqual([]);
      const rms = Math.sqrt(take.reduce((sum, x) => sum + x * x, 0) / take.length);
      const square = power(model.mains[i]);
      const thirds = bands.map((b) => bandLevel(model.frequency, square, b.lower, b.upper));
      const loud = sumLevels(thirds);
      expect(Math.abs(levelOfPressure(rms * pascalsPerUnit) - loud)).toBeLessThan(0.5);
    });
  });

  it("keep a disturbance while nothing plays: a noise check names its bands and no others near by", () => {
    const { mains, noise, sampleRate } = simulateRecordings(venue, places, {
      ...common,
      disturbances: [{ position: "mix position", from: 190, to: 345, level: 0 }],
    });
    const check = checkNoiseFloor(noise[1], mains[1], sampleRate, { from: 100, to: 800 });
    expect(check.bands.filter((b) => !b.pass).map((b) => b.frequency)).toEqual([200, 250, 315]);
    expect(checkNoiseFloor(noise[0], mains[0], sampleRate, { from: 100, to: 800 }).pass).toBe(true);
  });

  it("stand elsewhere in the last take where a stand was kicked: both is as late as the way is longer", () => {
    const to = { ...places[0].point, x: places[0].point.x + 3.41 };
    const { reference, mains, both, sampleRate } = simulateRecordings(venue, places, {
      ...common,
      moved: [{ position: "meadow 2", to }],
    });
    const when = (x: Float64Array) => estimateDelay(reference, x, sampleRate).chosen.time;
    // 3.41 m at 341 m/s are 10 ms; the hang is above, which makes the way longer by somewhat less.
    const later = when(both[0]) - when(mains[0]);
    expect(later).toBeGreaterThan(0.005);
    expect(later).toBeLessThan(0.01);
    expect(Math.abs(when(both[1]) - when(mains[1]))).toBeLessThan(1 / sampleRate);
  });
});

describe("an invented recording of a sweep", () => {
  const sweep = { from: 30, to: 7000, seconds: 3, sampleRate: 16000 };
  const recording = simulateSweep(venue, places[0], sweep, { harmonics: [-30, -42], noise: 70 });
  const response = deconvolveSweep(recording, sweep);
  const positions = [{ id: "p", point: places[0].point, area: "meadow", people: 0 }];

  it("gives back the model's response, up to one factor", () => {
    const frequency = Float64Array.from([200, 400, 600, 1000, 1600, 2500, 4000]);
    const square = power(sweepTransferFunction(response, frequency, { seconds: 0.3 }));
    const truth = power(modelSurvey(venue, positions, { frequency }).mains[0]);
    const offsets = square.map((p, i) => 10 * Math.log10(p / truth[i]));
    const mean = offsets.reduce((a, b) => a + b) / offsets.length;
    for (const o of offsets) expect(Math.abs(o - mean)).toBeLessThan(0.5);
  });

  it("has the harmonics that were asked for, coloured by the way at their own frequency", () => {
    const played = Float64Array.from([300, 500, 800, 1200]);
    const { mains } = modelSurvey(venue, positions, {
      frequency: Float64Array.from([300, 500, 600, 800, 900, 1000, 1200, 1500, 1600, 2400, 3600]),
    });
    const level = (f: number) => 10 * Math.log10(power(mains[0])[mains[0].frequency.indexOf(f)]);
    for (const [order, asked] of [
      [2, -30],
      [3, -42],
    ]) {
      const found = harmonicLevel(response, played, order);
      played
        .filter((f) => f * order <= 3600 && mains[0].frequency.includes(f * order))
        .forEach((f) => {
          const expected = asked + level(order * f) - level(f);
          expect(Math.abs(found[played.indexOf(f)] - expected)).toBeLessThan(1);
        });
    }
  });
});
