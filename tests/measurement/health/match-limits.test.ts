import { describe, expect, test } from "vitest";
import { matchMicrophones } from "../../../lib/measurement/health/microphones";
import { checkNoiseFloor } from "../../../lib/measurement/health/noise-floor";
import { whiteNoise } from "../noise";
import { shifted } from "../recordings";

const rate = 8000;
const x = whiteNoise(6000, 1);
const times = (gain: number, samples = 0) => shifted(x, samples).map((v) => gain * v);

describe("microphones that hear the same", () => {
  test("differ in level from the median, which is told as low or high with what makes up for it", () => {
    const match = matchMicrophones([times(1), times(0.5), times(2)], rate);
    // Half is −6.02 dB, twice 6.02 dB.
    [0, -6.02, 6.02].forEach((level, i) => {
      expect(match[i].level).toBeCloseTo(level, 2);
      expect(match[i].correction.gain).toBeCloseTo(-level, 2);
    });
    expect(match.map(({ faults }) => faults)).toEqual([
      [],
      ["level is 6.0 dB low"],
      ["level is 6.0 dB high"],
    ]);
    expect(match.map(({ pass }) => pass)).toEqual([true, false, false]);
    expect(match.map(({ channel }) => channel)).toEqual([0, 1, 2]);
    expect(
      matchMicrophones([times(1), times(0.5), times(2)], rate, { level: 6.1 }).every(({ pass }) => pass),
    ).toBe(true);
    // Of two the median lies between them.
    const [a, b] = matchMicrophones([times(1), times(0.5)], rate);
    expect([a.level, b.level].map((v) => v.toFixed(2))).toEqual(["3.01", "-3.01"]);
  });

  test("differ in time from the median, early or late", () => {
    const match = matchMicrophones([times(1), times(1, 4), times(1, -4)], rate);
    [0, 0.5, -0.5].forEach((ms, i) => {
      expect(match[i].delay * 1000).toBeCloseTo(ms, 2);
      expect(match[i].correction.delay * 1000).toBeCloseTo(-ms, 2);
    });
    expect(match.map(({ faults }) => faults)).toEqual([[], ["0.50 ms late"], ["0.50 ms early"]]);
  });

  test("have the polarity of the majority, and of two that of the first", () => {
    const polarity = (...gains: number[]) =>
      matchMicrophones(
        gains.map((g) => times(g)),
        rate,
      ).map((m) => m.polarity);
    expect(polarity(1, -1, 1)).toEqual([1, -1, 1]);
    expect(polarity(1, -1, -1)).toEqual([-1, 1, 1]);
    expect(polarity(1, -1)).toEqual([1, -1]);
    const [, inverted] = matchMicrophones([times(1), times(-1), times(1)], rate);
    expect(inverted.faults).toEqual(["polarity is inverted"]);
    expect(inverted.correction.polarity).toBe(-1);
    expect(Math.abs(inverted.phase)).toBeLessThan(0.5);
  });

  test("are heard over the band alone", () => {
    // One sample less of itself: |1 − e^{-jω}| is 20 lg (2 sin (π f / fs)): −8.2 dB at 500 Hz and 3 dB at 2 kHz.
    const thin = x.map((v, n) => v - (x[n - 1] ?? 0));
    const level = (from: number, to: number) => {
      const [a, b] = matchMicrophones([x, thin], rate, { band: { from, to }, level: 99, phase: 181 });
      return b.level - a.level;
    };
    expect(level(450, 550)).toBeCloseTo(20 * Math.log10(2 * Math.sin((Math.PI * 500) / rate)), 0);
    expect(level(1950, 2050)).toBeCloseTo(3.01, 0);
  });
});

describe("a signal above the noise", () => {
  const noise = x;
  const check = (gain: number, options = {}) =>
    checkNoiseFloor(
      noise,
      x.map((v) => gain * v),
      rate,
      { from: 500, to: 800, ...options },
    );
  test("has as much room as its own power says: of four times the power three quarters are its own, 4.8 dB", () => {
    const { bands, pass, message } = check(2);
    expect(bands.map((b) => b.frequency)).toEqual([500, 630, 800]);
    for (const b of bands) {
      expect(b.room).toBeCloseTo(4.771, 3);
      expect(b.coherence).toBeCloseTo(0.75, 9);
      expect(b.signal - b.noise).toBeCloseTo(6.021, 3);
    }
    expect([pass, message]).toEqual([
      false,
      "the signal is less than 10 dB above the noise at 500, 630, 800 Hz: measure longer, with less noise, or, once the room is empty and whoever stays wears hearing protection, louder, or leave these bands out",
    ]);
    expect(check(2, { enough: 4.7 })).toMatchObject({ pass: true, message: "" });
    // 10 dB are eleven times the power.
    expect([check(Math.sqrt(10.99)).pass, check(Math.sqrt(11.01)).pass]).toEqual([false, true]);
  });

  test("has none where it is softer, and all of it where there is no noise", () => {
    for (const b of check(0.5).bands) expect([b.room, b.coherence]).toEqual([-Infinity, 0]);
    const { bands } = checkNoiseFloor(new Float64Array(6000), x, rate, { from: 500, to: 630 });
    expect([bands[0].noise, bands[0].room, bands[0].coherence, bands[0].pass]).toEqual([
      -Infinity,
      Infinity,
      1,
      true,
    ]);
    expect(() => checkNoiseFloor(x.subarray(0, 99), x, rate)).toThrow(/recording without signal has 99/);
    expect(() => checkNoiseFloor(x, x.subarray(0, 99), rate)).toThrow(/recording with signal has 99/);
  });
});
