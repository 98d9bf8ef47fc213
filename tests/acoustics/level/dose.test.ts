import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  allowedTime,
  equivalentLevel,
  highestEquivalentLevel,
  nioshCriterion,
  noiseDose,
  whoVenueLimit,
} from "../../../lib/acoustics/level/dose";
import { expectAgreement, type Pair } from "../deviation";

// NIOSH publication 98-126 (1998), table 1-1: level and the time that uses up the dose, hours, minutes, seconds. Rows
// at multiples of 3 dB from NIOSH's page on noise exposure; the others from memory of the table.
const table: readonly (readonly [number, number, number, number])[] = [
  [80, 25, 24, 0],
  [83, 12, 42, 0],
  [85, 8, 0, 0],
  [88, 4, 0, 0],
  [90, 2, 31, 0],
  [91, 2, 0, 0],
  [94, 1, 0, 0],
  [95, 0, 47, 37],
  [97, 0, 30, 0],
  [100, 0, 15, 0],
  [106, 0, 3, 45],
  [110, 0, 1, 29],
  [115, 0, 0, 28],
];

describe("noise dose", () => {
  it("the allowed time agrees with the table of NIOSH", () => {
    // The table gives whole minutes or seconds, cut or rounded: 2 % at most at 28 s.
    expectAgreement(
      "NIOSH times (relative)",
      table.map(([level, h, m, s]): Pair => [allowedTime(level), 3600 * h + 60 * m + s, `${level} dB`]),
      0.011,
      true,
    );
  });

  it("two hours at 91 dB(A) use up the dose, and at 100 dB(A) eight times of it", () => {
    expect(noiseDose(91, 2 * 3600)).toBeCloseTo(100, 9);
    expect(noiseDose(100, 2 * 3600)).toBeCloseTo(800, 9);
    expect(noiseDose(82, 8 * 3600)).toBeCloseTo(50, 9);
    expect(() => noiseDose(91, 0)).toThrow("duration is 0");
  });

  it("is the same by parts as by the equivalent level of the whole, within the rounding of 3 dB to a doubling", () => {
    const levels = fc.array(fc.double({ min: 70, max: 110, noNaN: true }), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(levels, (parts) => {
        const byParts = parts.reduce((sum, level) => sum + noiseDose(level, 900), 0);
        const whole = noiseDose(equivalentLevel(parts), 900 * parts.length);
        // 2^(1/3) per dB against 10^(1/10): 0.06 % per dB, up to 25 dB from the criterion.
        expect(byParts / whole).toBeGreaterThan(0.95);
        expect(byParts / whole).toBeLessThan(1.05);
      }),
    );
  });

  it("names the recommendations it stands for", () => {
    expect(nioshCriterion).toMatchObject({ level: 85, duration: 28800, exchangeRate: 3 });
    expect(whoVenueLimit).toMatchObject({ level: 100, window: 900 });
  });
});

describe("equivalent level", () => {
  // Worked by hand: 10^9.5 for 1 h and silence of 50 dB for 7 h: 95 − 10 lg 8 = 85.97.
  it("one hour at 95 dB and seven at 50 dB are 86.0 dB over eight", () => {
    expect(equivalentLevel([95, 50], [3600, 7 * 3600])).toBeCloseTo(85.97, 2);
    expect(equivalentLevel([80, 90])).toBeCloseTo(87.404, 3);
  });

  it("the highest one over a window finds the loud stretch", () => {
    const levels = [90, 92, 104, 104, 104, 88, 90];
    expect(highestEquivalentLevel(levels, 3)).toBeCloseTo(104, 9);
    expect(highestEquivalentLevel(levels, 7)).toBeCloseTo(equivalentLevel(levels), 9);
    expect(() => highestEquivalentLevel(levels, 8)).toThrow(
      "window is 8, expected a whole number from 1 to 7",
    );
  });
});
