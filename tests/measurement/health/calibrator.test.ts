import { describe, expect, test } from "vitest";
import { calibrationFrom } from "../../../lib/measurement/health/calibrator";

const rate = 1000;
const sine = (amplitude: number, frequency: number, length = rate) =>
  Float64Array.from({ length }, (_, n) => amplitude * Math.sin((2 * Math.PI * frequency * n) / rate + 0.3));
const at100 = (samples: Float64Array, options = {}) =>
  calibrationFrom(samples, rate, { frequency: 100, ...options });

describe("a calibrator's tone", () => {
  test("of 94 dB is 1.0024 Pa, of 114 dB ten times that, whatever its amplitude", () => {
    // An amplitude of 0.2 is 0.14142 in effect.
    expect(at100(sine(0.2, 100)).pascalsPerUnit).toBeCloseTo(1.0024 / 0.14142, 2);
    expect(at100(sine(0.2, 100), { level: 114 }).pascalsPerUnit).toBeCloseTo(10.024 / 0.14142, 1);
    expect(at100(sine(0.2, 100)).faults).toEqual([]);
    // A silent end that fills no quarter of a second is left out.
    expect(at100(sine(0.2, 100, 1249)).pascalsPerUnit).toBeCloseTo(1.0024 / 0.14142, 2);
  });

  test("of 1 kHz is found as far off as a calibrator may be, at its own level, and told beyond that", () => {
    const kilohertz = (f: number) =>
      calibrationFrom(
        Float64Array.from({ length: 16_000 }, (_, n) => 0.2 * Math.sin((2 * Math.PI * f * n) / 8000 + 1)),
        8000,
      );
    for (const f of [981, 994.4, 1002.5, 1005, 1019]) {
      const found = kilohertz(f);
      expect(found.frequency).toBeCloseTo(f, 2);
      expect(found.pascalsPerUnit).toBeCloseTo(1.0024 / 0.14142, 2);
      expect(found.faults).toEqual([]);
    }
    for (const f of [978, 1023])
      expect(kilohertz(f).faults).toEqual([`the tone is at ${f} Hz, expected 1000 Hz`]);
  });

  test("is found up to 2 Hz beside its frequency, and told when it is 2 % off", () => {
    for (const f of [98.5, 99.7, 100.4, 101.9]) {
      const found = at100(sine(0.2, f));
      expect(found.frequency).toBeCloseTo(f, 2);
      expect(found.pascalsPerUnit).toBeCloseTo(1.0024 / 0.14142, 1);
      expect(found.faults).toEqual([]);
    }
    const off = (f: number) => calibrationFrom(sine(0.2, f, 2 * rate), rate, { frequency: 50 }).faults;
    expect(off(51.4)).toEqual(["the tone is at 51 Hz, expected 50 Hz"]);
    expect(off(48.6)).toEqual(["the tone is at 49 Hz, expected 50 Hz"]);
    expect([off(50.9), off(49.1)]).toEqual([[], []]);
  });

  test("wanders by the deviation of its quarters of a second: of 1 and 1.1 by 0.41 dB", () => {
    const steps = sine(0.2, 100).map((x, n) => (n < 500 ? x : 1.1 * x));
    // About 1.05: 20 lg (1 / 1.05) = −0.424 dB and 20 lg (1.1 / 1.05) = 0.404 dB.
    const found = at100(steps);
    expect(found.wander).toBeCloseTo(Math.sqrt((0.4238 ** 2 + 0.4041 ** 2) / 2), 3);
    expect(found.faults).toEqual(["the level wanders by 0.4 dB: leave out its start and end, hold it still"]);
    expect(at100(sine(0.2, 100).map((x, n) => (n < 500 ? x : 1.04 * x))).faults).toEqual([]);
    expect(at100(sine(0.2, 100)).wander).toBeLessThan(1e-6);
  });

  test("stands above another tone by what their amplitudes say, which should be 20 dB", () => {
    const beside = (amplitude: number) => {
      const other = sine(amplitude, 300);
      return at100(sine(0.2, 100).map((x, n) => x + other[n]));
    };
    expect(beside(0.02).toneToRest).toBeCloseTo(20, 3);
    expect(beside(0.019).faults).toEqual([]);
    expect(beside(0.04).faults).toEqual([
      "the tone stands only 14 dB above the rest: is the calibrator seated, and on at 100 Hz?",
    ]);
    expect(at100(sine(0.2, 100)).toneToRest).toBeGreaterThan(100);
  });

  test("is 1000 Hz at 94 dB where nothing is said, needs a second, and must not reach full scale", () => {
    const kilohertz = Float64Array.from({ length: 8000 }, (_, n) => 0.2 * Math.sin((2 * Math.PI * n) / 8));
    const found = calibrationFrom(kilohertz, 8000);
    expect(found.frequency).toBeCloseTo(1000, 3);
    expect(found.pascalsPerUnit).toBeCloseTo(1.0024 / 0.14142, 2);
    expect(() => at100(sine(0.2, 100, 999))).toThrow(/lasts 1.00 s, expected 1 s or more/);
    expect(() => calibrationFrom(kilohertz, 999)).toThrow(/sample rate is 999/);
    expect(() => at100(new Float64Array(rate))).toThrow(/silent/);
    for (const sign of [1, -1]) {
      const high = sine(0.9, 100);
      high[333] = sign * 0.999;
      expect(at100(high).faults).toContain(
        "the recording reaches full scale: lower the gain and record anew",
      );
      high[333] = sign * 0.998;
      expect(at100(high).faults.join()).not.toMatch(/full scale/);
    }
  });
});
