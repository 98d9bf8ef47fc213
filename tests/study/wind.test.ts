/** Air that moves: what comes sooner or later from moment to moment is measured as if it stood still. Recordings are closed forms. */
import { describe, expect, it } from "vitest";
import { levelInBand } from "../../lib/acoustics/response";
import { sampleAt } from "../../lib/measurement/signals/interpolate-samples";
import type { ShowMeasurement } from "../../lib/study/measure";
import type { OpenTake } from "../../lib/study/open-take";
import { calmed } from "../../lib/study/wind";
import { measured, pathsOf, positions, RATE, type SyntheticTake, trueLevel } from "./synthetic-show";
import { inRoom, white } from "./synthetic-take";

/** Seconds: a slow swing and noise below some 2 Hz, together 0.3 ms RMS. */
function wobble(length: number, seed: number): Float64Array {
  const noise = white(seed, length, 1);
  const pole = Math.exp((-2 * Math.PI * 1) / RATE);
  let [a, b] = [0, 0];
  const slow = noise.map((x) => {
    a = pole * a + (1 - pole) * x;
    b = pole * b + (1 - pole) * a;
    return b;
  });
  const rms = (x: Float64Array) => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
  const scale = 1 / rms(slow);
  const both = slow.map((x, n) => scale * x + Math.SQRT2 * Math.sin((2 * Math.PI * 0.4 * n) / RATE + seed));
  const size = 3e-4 / rms(both);
  return both.map((x) => size * x);
}
/** As heard where the way is longer and shorter by the moment; between samples by Lanczos' kernel. */
function blown(samples: Float64Array, seed: number): Float64Array {
  const late = wobble(samples.length, seed);
  const reach = 16;
  return samples.map((_, n) => {
    const at = n - late[n] * RATE;
    const whole = Math.floor(at);
    let sum = 0;
    for (let k = whole - reach + 1; k <= whole + reach; k++) {
      const d = Math.PI * (at - k);
      const weight = d === 0 ? 1 : (Math.sin(d) / d) * (Math.sin(d / reach) / (d / reach));
      sum += weight * (samples[(k + samples.length) % samples.length] ?? 0);
    }
    return sum;
  });
}
const still: SyntheticTake = {
  playing: "mains",
  recording: "mains.wav",
  paths: pathsOf("mains"),
  noise: 0.02,
};
const subs: SyntheticTake = { playing: "subs", recording: "subs.wav", paths: pathsOf("subs"), seed: 2 };
const windy: SyntheticTake = {
  ...still,
  change: (samples, id) => blown(samples, 10 + positions.indexOf(id)),
};
const levels = ({ survey }: ShowMeasurement) =>
  survey!.mains.map(
    (r, i) => levelInBand(r, 447, 2239, 1) - trueLevel([pathsOf("mains")[positions[i]]], 447, 2239),
  );
const coherence = ({ survey }: ShowMeasurement) =>
  survey!.mains.map(({ frequency, coherence }) => coherence![frequency.findIndex((f) => f >= 1600)]);

describe("a delay that wobbles by 0.3 ms RMS", () => {
  it("costs no level where it cost eight decibels, nor coherence, and is said with its figure", () => {
    const [moved, calm] = [measured([windy, subs]), measured([still, subs])];
    for (const level of levels(moved)) expect(Math.abs(level)).toBeLessThan(0.2);
    coherence(moved).forEach((c, i) => {
      expect(c).toBeGreaterThan(coherence(calm)[i] - 0.15);
    });
    expect(moved.warnings.join("\n")).toMatch(
      /"mains.wav": at "near", .* and "far" the sound comes sooner or later from moment to moment, by up to 0\.(29|3\d) ms RMS, as in wind/,
    );
  });

  it("of one microphone of four is told of that one, and the others are as they were", () => {
    const one = {
      ...windy,
      change: (samples: Float64Array, id: string) => (id === "far" ? blown(samples, 13) : samples),
    };
    const [moved, calm] = [measured([one, subs]), measured([still, subs])];
    // What is noise is told for all microphones of a take together.
    levels(moved).forEach((level, i) => {
      expect(Math.abs(level - levels(calm)[i])).toBeLessThan(i < 3 ? 0.02 : 0.2);
    });
    expect(moved.warnings.join("\n")).toMatch(/at "far" the sound comes sooner or later/);
  });
});

describe("nothing is aligned", () => {
  const [near] = positions;
  const open = (samples: Float64Array, sent: Float64Array): OpenTake => ({
    reference: sent,
    channels: new Map([[2, samples]]),
    sampleRate: 8000,
    oneClock: true,
    start: 0,
    faulty: new Map(),
    damaged: new Set(),
  });
  const tried = (samples: Float64Array, sent: Float64Array, playing: "mains" | "subs" = "mains") => {
    const take = { playing, recording: "mains.wav", reference: 1, microphones: { [near]: 2 } };
    const opened = open(samples, sent);
    const warnings: string[] = [];
    const placed = [{ position: near, bulk: 0.05, inTime: true }];
    return [calmed(take, opened, opened, placed, warnings) === opened, warnings];
  };
  const sent = white(5, 8000 * 20, 0.1);

  it.each([0.8, 2, 5])("in a room of %s s, where most of the sound is late", (decay) => {
    expect(tried(inRoom(sent, 400, decay, 8000, 3), sent)).toEqual([true, []]);
  });

  it("in noise that drowns the sound, of a clock that drifts, or of subs", () => {
    const noise = white(9, sent.length, 0.5);
    expect(
      tried(
        inRoom(sent, 400, 1, 8000, 3).map((x, n) => x + noise[n]),
        sent,
      ),
    ).toEqual([true, []]);
    const drifting = sent.map((_, n) => sampleAt(sent, (n - 400) * (1 + 20e-6)));
    expect(tried(drifting, sent)).toEqual([true, []]);
    expect(tried(inRoom(sent, 400, 1, 8000, 3), sent, "subs")).toEqual([true, []]);
  });
});
