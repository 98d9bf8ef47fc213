import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { levelOffset } from "../../lib/decision";
import { banded, flat, position, ratios, silent, survey } from "./synthetic";

// Median, mean and mid-range minimise the mean absolute, mean square and largest deviation: any textbook of
// statistics (location estimates). The weighted values below were worked out by hand.
describe("level offset where subs and mains do not overlap", () => {
  // Deviations from a target of 0 dB are the numbers themselves, so the offset is minus the centre.
  const levels = [9, 4, 1, -2, -7];
  const people = [1, 2, 5, 3, 1];
  const byHand = [
    // Cumulative from the lowest: 1, 4, 9 of 12; half of 12 is 6, reached at the level 1.
    { criterion: "least mean", centre: 1 },
    // (9·1 + 4·2 + 1·5 − 2·3 − 7·1)/12 = 9/12
    { criterion: "least mean square", centre: 0.75 },
    // (9 − 7)/2
    { criterion: "least worst", centre: 1 },
  ] as const;

  for (const { criterion, centre } of byHand) {
    it(`finds minus the weighted ${criterion} centre, worked out by hand`, () => {
      const found = levelOffset(ratios(levels, people), { targetTilt: 0, criterion });
      expect(found.offset_db).toBeCloseTo(-centre, 4);
    });
  }

  it("gives the same offset moved by the target tilt", () => {
    const found = levelOffset(ratios(levels, people), { targetTilt: 8, criterion: "least mean square" });
    expect(found.offset_db).toBeCloseTo(7.25, 4);
  });

  it("is the exact median, mean and mid-range for any audience", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: -12, max: 12, noNaN: true }), fc.integer({ min: 1, max: 9 })), {
          minLength: 1,
          maxLength: 9,
        }),
        (seats) => {
          const each = seats.flatMap(([level, n]) => Array<number>(n).fill(level)).sort((a, b) => a - b);
          const found = levelOffset(
            ratios(
              seats.map((s) => s[0]),
              seats.map((s) => s[1]),
            ),
            { targetTilt: 0 },
          );
          const [median, mean, midrange] = found.choices.map((c) => -c.offset_db);
          // Everyone listed one by one: the middle one, or anything between the two middle ones.
          const low = each[Math.floor((each.length - 1) / 2)];
          const high = each[Math.floor(each.length / 2)];
          expect(median).toBeGreaterThan(low - 1e-4);
          expect(median).toBeLessThan(high + 1e-4);
          expect(mean).toBeCloseTo(each.reduce((s, x) => s + x, 0) / each.length, 4);
          expect(midrange).toBeCloseTo((each[0] + each[each.length - 1]) / 2, 4);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("counts the people within 3 and 6 dB", () => {
    const found = levelOffset(ratios(levels, people), { targetTilt: 0, criterion: "least mean" });
    // Deviations from 1: 8, 3, 0, −3, −8 for 1, 2, 5, 3, 1 of 12 people. The search is exact to 1e-6 dB, so a seat
    // at exactly 3 dB may fall on either side: ask a hair off it.
    const near = levelOffset(ratios([9, 3.9, 1, -1.9, -7], people), {
      targetTilt: 0,
      criterion: "least mean",
    });
    expect(near.audience.within3dB_share).toBeCloseTo(10 / 12, 9);
    expect(found.audience.within6dB_share).toBeCloseTo(10 / 12, 9);
  });
});

describe("level offset with limits", () => {
  it("stops at the subs' headroom and says so", () => {
    const found = levelOffset(ratios([-9, -8, -7]), { targetTilt: 0, limits: { headroom: 3 } });
    expect(found.offset_db).toBeCloseTo(3, 4);
    expect(found.limited).toBe(true);
    expect(found.reasons.join(" ")).toContain("headroom");
  });
});

describe("level offset with bad input", () => {
  it("refuses an audience of nobody", () => {
    expect(() => levelOffset(ratios([0, 1], [0, 0]))).toThrow(/people/);
  });
  it("works for one position", () => {
    const found = levelOffset(ratios([-4]), { targetTilt: 0 });
    for (const choice of found.choices) expect(choice.offset_db).toBeCloseTo(4, 4);
  });
  it("refuses silent subs", () => {
    const s = survey([position("a")], [flat(0)], [silent()]);
    expect(() => levelOffset(s)).toThrow(/silent/);
  });
  it("names a low band that the survey lacks", () => {
    const s = survey(
      [position("a")],
      [flat(0, 0, Float64Array.of(100, 500, 1000, 2000, 4000))],
      [flat(0, 0, Float64Array.of(100, 500, 1000, 2000, 4000))],
    );
    expect(() => levelOffset(s)).toThrow(/low band.*31.5 to 80 Hz.*100 to 4000 Hz/);
  });
  it("holds no number that is not finite where mains and subs cancel fully", () => {
    const s = survey(
      [position("a"), position("b")],
      [flat(0), flat(0)],
      [flat(0, Math.PI), banded(flat(0), 0, 120)],
    );
    const found = levelOffset(s);
    const numbers = JSON.stringify(found, (_, v) =>
      typeof v === "number" && !Number.isFinite(v) ? "BAD" : v,
    );
    expect(numbers).not.toContain("BAD");
  });
});
