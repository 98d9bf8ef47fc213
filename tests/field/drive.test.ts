import { describe, expect, it } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { filterResponse } from "../../lib/acoustics/filters/response";
import { referencePressure } from "../../lib/acoustics/level/decibel";
import { drive } from "../../lib/field/drive";
import type { Source } from "../../lib/venue/venue";
import { decibels, source } from "./venues";

const at = (frequency: number, more: Partial<Source>) => {
  const { re, im } = drive(source({ x: 0, y: 0, z: 0 }, more), Float64Array.of(frequency));
  return {
    level: decibels(re[0], im[0]) - 20 * Math.log10(referencePressure),
    degrees: (Math.atan2(im[0], re[0]) * 180) / Math.PI,
  };
};

describe("what a source sends out", () => {
  it("has level and gain in sum, straight over log frequency between the levels that are told", () => {
    const level = { frequency: [50, 200], level: [90, 102] };
    expect(at(100, { level }).level).toBeCloseTo(96, 9);
    expect(at(100, { level, gain: -4 }).level).toBeCloseTo(92, 9);
  });

  it("turns back by its delay, a quarter turn in a quarter period, also after whole turns; polarity turns it over", () => {
    expect(at(50, {}).degrees).toBeCloseTo(0, 9);
    expect(at(50, { delay: 0.005 }).degrees).toBeCloseTo(-90, 9);
    expect(at(50, { delay: 0.125 }).degrees).toBeCloseTo(-90, 9);
    expect(Math.abs(at(50, { polarity: -1 }).degrees)).toBeCloseTo(180, 9);
    expect(at(50, { polarity: -1, delay: 0.005 }).degrees).toBeCloseTo(90, 9);
  });

  it("is on its axis as late as from its front, wherever its acoustic centre lies: 1 ms for 0.343 m", () => {
    expect(at(50, { centre: 0.3432 }).degrees).toBeCloseTo(-18, 9);
  });

  it("goes through its filters: 6.02 dB down and half a turn at a Linkwitz-Riley corner of order 4, and so on with the next", () => {
    const corner = { kind: "linkwitz-riley", order: 4, type: "lowpass", frequency: 80 } as const;
    const turn = { kind: "all-pass", order: 1, frequency: 80 } as const;
    const one = at(80, { filters: [corner] });
    expect(one.level).toBeCloseTo(94 - 6.0206, 4);
    expect(Math.abs(one.degrees)).toBeCloseTo(180, 6);
    // An all-pass of order 1 turns back by a quarter at its frequency and leaves the level.
    expect(at(80, { filters: [turn], delay: 1 / 640 }).degrees).toBeCloseTo(-90 - 45, 6);
    const both = at(80, { filters: [corner, turn], delay: 1 / 640 });
    expect(both.level).toBeCloseTo(94 - 6.0206, 4);
    expect(both.degrees).toBeCloseTo(-180 - 90 - 45 + 360, 6);
  });

  it("is the bare source's times the response of the whole chain, at every frequency", () => {
    const frequency = logGrid(20, 2000, 40);
    const filters = [
      { kind: "butterworth", order: 3, type: "highpass", frequency: 35 },
      { kind: "peak", frequency: 60, gain: 4, q: 2 },
    ] as const;
    const bare = drive(source({ x: 0, y: 0, z: 0 }, { delay: 0.003 }), frequency);
    const through = drive(source({ x: 0, y: 0, z: 0 }, { delay: 0.003, filters }), frequency);
    const chain = filterResponse(filters, frequency);
    frequency.forEach((_, i) => {
      expect(through.re[i]).toBeCloseTo(bare.re[i] * chain.re[i] - bare.im[i] * chain.im[i], 9);
      expect(through.im[i]).toBeCloseTo(bare.re[i] * chain.im[i] + bare.im[i] * chain.re[i], 9);
    });
  });
});
