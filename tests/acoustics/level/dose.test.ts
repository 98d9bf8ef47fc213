import { describe, expect, it } from "vitest";
import { allowedTime, equivalentLevel, nioshCriterion } from "../../../lib/acoustics/level/dose";
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

describe("allowed time", () => {
  it("agrees with the table of NIOSH", () => {
    // The table gives whole minutes or seconds, cut or rounded: 2 % at most at 28 s.
    expectAgreement(
      "NIOSH times (relative)",
      table.map(([level, h, m, s]): Pair => [allowedTime(level), 3600 * h + 60 * m + s, `${level} dB`]),
      0.011,
      true,
    );
  });

  it("names the recommendation it stands for", () => {
    expect(nioshCriterion).toMatchObject({ level: 85, duration: 28800, exchangeRate: 3 });
  });
});

describe("equivalent level", () => {
  // Worked by hand: 10^9.5 for 1 h and silence of 50 dB for 7 h: 95 − 10 lg 8 = 85.97.
  it("one hour at 95 dB and seven at 50 dB are 86.0 dB over eight", () => {
    expect(equivalentLevel([95, 50], [3600, 7 * 3600])).toBeCloseTo(85.97, 2);
    expect(equivalentLevel([80, 90])).toBeCloseTo(87.404, 3);
  });
});
