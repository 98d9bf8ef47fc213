import { describe, expect, test } from "vitest";
import { recordingHealth } from "../../../lib/measurement/health/recording";

const sampleRate = 1000;
/** A tone of effective value `rms` on an offset. */
const tone = (rms: number, offset = 0, length = 1000) =>
  Float64Array.from(
    { length },
    (_, n) => offset + rms * Math.SQRT2 * Math.sin((2 * Math.PI * 50 * n) / sampleRate),
  );
const health = (channels: Float64Array[], options = {}) =>
  recordingHealth({ name: "a.wav", sampleRate, channels, warnings: [] }, options);
const kinds = (channels: Float64Array[], options = {}) =>
  health(channels, options).faults.map(({ kind }) => kind);

describe("what counts as a fault", () => {
  test("is less than a second, or than what is said", () => {
    expect(kinds([tone(0.1)])).toEqual([]);
    expect(kinds([tone(0.1, 0, 999)])).toEqual(["too-short"]);
    expect(kinds([tone(0.1, 0, 999)], { minimumDuration: 0.999 })).toEqual([]);
    expect(health([tone(0.1, 0, 500)]).duration).toBe(0.5);
    expect(health([tone(0.1, 0, 500)]).faults[0].channel).toBeUndefined();
  });

  test("is silence at −80 dB and below, or as is said", () => {
    expect(kinds([tone(1.01e-4)])).toEqual([]);
    expect(kinds([tone(0.99e-4)])).toEqual(["silence"]);
    expect(kinds([tone(0.99e-4)], { silence_db: -81 })).toEqual([]);
    // 0.005 is −46 dB.
    expect(health([tone(0.005)], { silence_db: -40 }).faults[0].message).toBe(
      'recording "a.wav": channel 1 is silent (-46 dB, expected above -40 dB re full scale); check cable, phantom power and routing, and record anew',
    );
    expect(health([tone(0)]).faults[0].message).toMatch(/nothing but zeros/);
  });

  test("is an offset of more than a hundredth of full scale and a tenth of the effective value, up or down", () => {
    for (const sign of [1, -1]) {
      expect(kinds([tone(0.01, sign * 0.0099)])).toEqual([]);
      expect(kinds([tone(0.01, sign * 0.0101)])).toEqual(["offset"]);
      expect(kinds([tone(0.3, sign * 0.029)])).toEqual([]);
      expect(kinds([tone(0.3, sign * 0.031)])).toEqual(["offset"]);
    }
    expect(health([tone(0.1, -0.05)]).faults[0]).toMatchObject({
      channel: 0,
      fatal: false,
      message: expect.stringMatching(/channel 1 has a constant offset of -5\.0 % of full scale/),
    });
  });

  test("is a gap of ten milliseconds, or as is said, at its time", () => {
    const broken = (zeros: number) => tone(0.1, 0.001).fill(0, 303, 303 + zeros);
    expect(kinds([broken(9)])).toEqual([]);
    expect(health([tone(0.1), broken(10)]).faults).toEqual([
      {
        kind: "gap",
        channel: 1,
        time: 0.303,
        fatal: false,
        message:
          'recording "a.wav": channel 2 at 0.303 s and in 1 place in all drops to exact zeros; check the connection and record anew',
      },
    ]);
    expect(kinds([broken(9)], { gap: 0.009 })).toEqual(["gap"]);
  });

  test("is one sample that is no number, which leaves the rest untold; and clipping, at its time", () => {
    const bad = tone(0);
    bad[20] = NaN;
    const { faults } = health([bad]);
    expect(faults).toMatchObject([{ kind: "not-a-number", time: 0.02, fatal: true }]);
    expect(faults[0].message).toMatch(/at 0.020 s and in 1 sample in all/);
    const hot = tone(0.1);
    hot.fill(1, 40, 43);
    expect(health([hot]).faults).toMatchObject([{ kind: "clipping", time: 0.04, fatal: false }]);
    hot.fill(1, 60, 63);
    expect(health([hot]).faults[0].message).toMatch(/in 2 places in all is clipped/);
  });
});
