import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  amplitudeToDecibel,
  decibelToAmplitude,
  fromDecibel,
  levelOfMeanSquare,
  levelOfPressure,
  meanLevel,
  sumLevels,
  sumLevelsCoherent,
  toDecibel,
} from "../../../lib/acoustics/level/decibel";
import { evenly } from "../../evenly";
import { expectAgreement } from "../deviation";

const level = evenly(-120, 160);

describe("ratio and decibel", () => {
  // Common handbook table of ratios and decibels (Everest, Master Handbook of Acoustics, appendix; from memory).
  it("a ratio of 2 is 3.01 dB for power and 6.02 dB for a field quantity", () => {
    expectAgreement(
      "ratio to dB",
      [
        [toDecibel(2), 3.01],
        [toDecibel(4), 6.02],
        [toDecibel(0.1), -10],
        [amplitudeToDecibel(2), 6.02],
        [amplitudeToDecibel(0.1), -20],
        [amplitudeToDecibel(-3), 9.54],
        [fromDecibel(3), 1.995],
        [fromDecibel(-7), 0.1995],
        [decibelToAmplitude(6), 1.995],
        [decibelToAmplitude(-40), 0.01],
      ],
      0.005,
    );
  });

  // Kuttruff and every textbook: 1 Pa is 94 dB, the pain threshold of 20 Pa is 120 dB.
  it("1 Pa is 93.98 dB and 20 Pa is 120 dB sound pressure level", () => {
    expect(levelOfPressure(1)).toBeCloseTo(93.979, 3);
    expect(levelOfPressure(20)).toBeCloseTo(120, 9);
    expect(levelOfMeanSquare(4)).toBeCloseTo(100, 1);
  });

  it("nothing at all is −∞ dB", () => {
    expect([toDecibel(0), amplitudeToDecibel(0), levelOfPressure(0)]).toEqual(Array(3).fill(-Infinity));
  });

  it("a negative power ratio or NaN is refused", () => {
    expect(() => toDecibel(-1)).toThrow(RangeError);
    expect(() => toDecibel(Number.NaN)).toThrow("expected 0 or more");
    expect(() => amplitudeToDecibel(Number.NaN)).toThrow(RangeError);
  });
});

describe("sums of levels", () => {
  // Common handbook rule: two levels that differ by d add up to the higher one plus 3.0, 2.1, 1.5, 1.0, 0.4 dB for
  // d = 0, 2, 4, 6, 10 (chart in Everest; from memory, read to 0.05 dB).
  it("two unrelated sounds add 3.0 dB when equal and 0.4 dB when 10 dB apart", () => {
    expectAgreement(
      "sum by power",
      [
        [sumLevels([80, 80]), 83.0],
        [sumLevels([80, 78]), 82.1],
        [sumLevels([80, 76]), 81.5],
        [sumLevels([80, 74]), 81.0],
        [sumLevels([80, 70]), 80.4],
        [sumLevels(new Array(10).fill(80)), 90],
      ],
      0.05,
    );
  });

  it("two copies of one signal add 6.02 dB in phase, 3.01 dB at 90°, 0 dB at 120°, nothing at 180°", () => {
    expect(sumLevelsCoherent([80, 80], [0, 0])).toBeCloseTo(86.0206, 4);
    expect(sumLevelsCoherent([80, 80], [0.4, 0.4 + Math.PI / 2])).toBeCloseTo(83.0103, 4);
    expect(sumLevelsCoherent([80, 80], [0, (2 * Math.PI) / 3])).toBeCloseTo(80, 9);
    expect(sumLevelsCoherent([80, 80], [0, Math.PI])).toBeLessThan(-200);
  });

  it("a sum by power is louder than its loudest part and at most 10 lg n above it", () => {
    fc.assert(
      fc.property(fc.array(level, { minLength: 1, maxLength: 30 }), (levels) => {
        const loudest = Math.max(...levels);
        const sum = sumLevels(levels);
        return sum >= loudest - 1e-9 && sum <= loudest + 10 * Math.log10(levels.length) + 1e-9;
      }),
    );
  });

  it("phases drawn at random give the sum by power on average", () => {
    const levels = [80, 76, 83];
    let mean = 0;
    const steps = 60;
    for (let i = 0; i < steps; i++) {
      for (let j = 0; j < steps; j++) {
        const phases = [0, (2 * Math.PI * i) / steps, (2 * Math.PI * j) / steps];
        mean += fromDecibel(sumLevelsCoherent(levels, phases)) / steps ** 2;
      }
    }
    expect(toDecibel(mean)).toBeCloseTo(sumLevels(levels), 9);
  });

  it("a mean level lies between the extremes, at the louder side of the arithmetic mean", () => {
    fc.assert(
      fc.property(fc.array(level, { minLength: 1, maxLength: 30 }), (levels) => {
        const mean = meanLevel(levels);
        const arithmetic = levels.reduce((a, b) => a + b) / levels.length;
        return mean <= Math.max(...levels) + 1e-9 && mean >= arithmetic - 1e-9;
      }),
    );
    expect(meanLevel([90, 80], [1, 3])).toBeCloseTo(85.119, 3); // (10^9 + 3·10^8)/4 = 3.25·10^8
  });

  it("no level at all is refused", () => {
    expect(() => sumLevels([])).toThrow(RangeError);
    expect(() => sumLevelsCoherent([80, 80], [0])).toThrow("levels holds 2 values and phases 1");
    expect(() => meanLevel([80], [0])).toThrow("sum of weights");
  });
});
