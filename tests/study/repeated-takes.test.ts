/** Several takes of one part: averaged, and a bad one left out. Recordings are closed forms. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { levelInBand, power, type Response } from "../../lib/acoustics/response";
import type { ShowMeasurement } from "../../lib/study/measure";
import { readShow } from "../../lib/study/read-show";
import { ofRepeats, sentencesOf } from "../../lib/study/repeated-takes";
import {
  closedForm,
  inShow,
  measured,
  pathsOf,
  positions,
  type SyntheticTake,
  trueLevel,
} from "./synthetic-show";

const mains: SyntheticTake = { playing: "mains", recording: "mains.wav", paths: pathsOf("mains"), seed: 1 };
const again: SyntheticTake = { ...mains, recording: "mains-2.wav", seed: 2 };
const subs: SyntheticTake = { playing: "subs", recording: "subs.wav", paths: pathsOf("subs"), seed: 3 };
const repeats = (m: ShowMeasurement) => m.warnings.filter((w) => /average of|left out/.test(w));
const midBand = (m: ShowMeasurement) => m.survey!.mains.map((r) => levelInBand(r, 447, 2239, 1));
/** Power of what the coherent part of the mains is off the closed form from 0.5 to 2 kHz, over the closed form's. */
function errorAt(id: string, { survey, delays }: ShowMeasurement): number {
  const { frequency, re, im } = survey!.mains[positions.indexOf(id)];
  const bulk = delays.find((d) => d.position === id && d.playing === "mains")!.result.chosen.time;
  const early = mains.paths[id].map((p) => ({ ...p, delay: p.delay - bulk }));
  let [off, all] = [0, 0];
  frequency.forEach((f, i) => {
    if (f < 500 || f > 2000) return;
    const h = closedForm(early, f);
    off += (re[i] - h.re) ** 2 + (im[i] - h.im) ** 2;
    all += h.re ** 2 + h.im ** 2;
  });
  return off / all;
}
const truth = positions.map((id) => trueLevel([mains.paths[id]], 447, 2239));

describe("two takes of the mains", () => {
  it("that agree are averaged and said once, and less of the noise is left", () => {
    const noise = 1; // as of a crowd: louder than the sound at the back
    const one = measured([{ ...mains, noise }, subs]);
    const both = measured([{ ...mains, noise }, { ...again, noise }, subs]);
    expect(repeats(both)).toEqual([
      'mains at "near", "middle", "mix position" and "far" are the average of 2 takes, "mains.wav" and "mains-2.wav"',
    ]);
    expect(both.problems).toEqual([]);
    // Of noise alone it would be a half; reflections within a window are missed alike by both.
    expect(errorAt("far", both)).toBeLessThan(0.75 * errorAt("far", one));
  });

  it("keep the subs' phase: polarity and delay are those of a show without the second take", () => {
    const one = measured([mains, subs]).survey!;
    const both = measured([mains, again, subs]).survey!;
    both.mains.forEach((response, i) => {
      const k = response.frequency.findIndex((f) => f >= 150);
      const angle = (r: Response) => Math.atan2(r.im[k], r.re[k]);
      expect(Math.abs(angle(response) - angle(one.mains[i]))).toBeLessThan(0.02);
      expect(both.subs[i].im).toEqual(one.subs[i].im);
    });
  });

  it("that differ by more than their errors are not averaged: the one with the smaller error is used, and that nobody knows is said", () => {
    const loud = {
      ...again,
      paths: pathsOf("mains"),
      noise: 0.5,
      change: (x: Float64Array) => x.map((v) => 1.5 * v),
    };
    const found = measured([mains, loud, subs]);
    expect(repeats(found).join("\n")).toMatch(
      /"mains-2.wav" is left out of mains at "near", .*: their level differs by up to [34]\.\d dB, more than their errors allow, compared with "mains.wav"; which of them is wrong can't be told, and the one with the smaller error is used/,
    );
    midBand(found).forEach((level, i) => {
      expect(Math.abs(level - truth[i])).toBeLessThan(0.15);
    });
  });

  it("of which one is inverted don't cancel", () => {
    const inverted = { ...again, change: (x: Float64Array) => x.map((v) => -v) };
    const found = measured([mains, inverted, subs]);
    expect(repeats(found).join("\n")).toMatch(
      /their polarity differs, which is more than their errors allow/,
    );
    midBand(found).forEach((level, i) => {
      expect(Math.abs(level - truth[i])).toBeLessThan(0.15);
    });
  });

  it("of which one is clipped leave it out with its reason, and lack nothing", () => {
    const clipped = {
      ...again,
      change: (x: Float64Array, id: string) =>
        id === "near" ? x.map((v) => Math.max(-1, Math.min(1, 20 * v))) : x,
    };
    const found = measured([mains, clipped, subs]);
    expect(found.problems).toEqual([]);
    expect(found.warnings.join("\n")).toMatch(
      /recording "mains-2.wav" is left out of mains at "near": it is clipped or has gaps there/,
    );
    expect(found.survey!.positions.length).toBe(4);
  });

  it("of which one drowns in noise use the other", () => {
    const found = measured([mains, { ...again, noise: 30 }, subs]);
    expect(found.warnings.join("\n")).toMatch(/"mains-2.wav".*(left out|no arrival)/);
    midBand(found).forEach((level, i) => {
      expect(Math.abs(level - truth[i])).toBeLessThan(0.15);
    });
  });
});

it("of three takes the one that fits neither of the others is left out", () => {
  const loud = { ...again, recording: "mains-3.wav", change: (x: Float64Array) => x.map((v) => 2 * v) };
  const found = measured([loud, mains, again, subs]);
  expect(repeats(found).join("\n")).toMatch(/"mains-3.wav" is left out.*differs by up to 6\.\d dB/);
  expect(repeats(found).join("\n")).not.toMatch(/can't be told/);
  expect(repeats(found).join("\n")).toMatch(/average of 2 takes, "mains.wav" and "mains-2.wav"/);
  midBand(found).forEach((level, i) => {
    expect(Math.abs(level - truth[i])).toBeLessThan(0.15);
  });
});

it("one recording that is named twice is refused", () => {
  expect(() => inShow([mains, subs, mains], readShow)).toThrow(/gives mains again, as takes\[0\]/);
});

describe("the average of any responses", () => {
  const frequency = Float64Array.from({ length: 40 }, (_, i) => 500 * 1.04 ** i);
  const response = fc
    .record({ error: fc.double({ min: 0.05, max: 0.2, noNaN: true }), seed: fc.integer({ min: 1, max: 99 }) })
    .map(({ error, seed }): Response => {
      const wave = (k: number) => Math.sin(seed * (k + 1));
      return {
        frequency,
        re: frequency.map((_, i) => 1 + 0.05 * wave(i)),
        im: frequency.map((_, i) => 0.05 * wave(3 * i)),
        diffuse: frequency.map((_, i) => 0.1 + 0.02 * wave(7 * i)),
        powerError: frequency.map(() => error),
      };
    });

  it("lies between them in power, frequency by frequency, is as sure as they are, and comes out the same in any order", () => {
    fc.assert(
      fc.property(fc.array(response, { minLength: 2, maxLength: 4 }), (all) => {
        const takes = all.map((r, i) => ({
          recording: `${i}.wav`,
          response: r,
          inTime: true as const,
          damaged: false,
        }));
        const told = new Map();
        const { response: average } = ofRepeats("row A", "mains", takes, told);
        if (!sentencesOf(told).join().includes(`average of ${all.length} takes`)) return;
        const powers = all.map(power);
        power(average).forEach((p, i) => {
          expect(p).toBeGreaterThan(Math.min(...powers.map((x) => x[i])) - 1e-9);
          expect(p).toBeLessThan(Math.max(...powers.map((x) => x[i])) + 1e-9);
        });
        const errors = all.map((r) => r.powerError![0]);
        expect(average.powerError![0]).toBeGreaterThanOrEqual(Math.min(...errors) - 1e-12);
        expect(average.powerError![0]).toBeLessThanOrEqual(Math.max(...errors) + 1e-12);
        const other = ofRepeats("row A", "mains", [...takes].reverse(), new Map()).response;
        const levels = [average, other].map((r) => levelInBand(r, 600, 2000, 1));
        expect(levels[0]).toBeCloseTo(levels[1], 9);
      }),
    );
  });
});
