import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { prepareBalance } from "../../../lib/decision/balance/balance";
import { costOf } from "../../../lib/decision/offset/criterion";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { evenly } from "../../evenly";
import { banded, flat, position, ratios, silent, survey } from "../synthetic";

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
        fc.array(fc.tuple(evenly(-12, 12), fc.integer({ min: 1, max: 9 })), {
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
    expect(near.audience.within3dB_fraction).toBeCloseTo(10 / 12, 9);
    expect(found.audience.within6dB_fraction).toBeCloseTo(10 / 12, 9);
  });
});

describe("what each part of the audience would have asked for", () => {
  // Subs over mains by 8, 4, 2, 0, −4 dB from front to back, ten people each; the mixer behind the third row has 3 dB.
  const s = ratios([8, 4, 2, 0, -4], [10, 10, 10, 10, 10]);
  const withMixer = survey(
    [...s.positions, position("desk", { x: 4.5 }, 0, "front of house")],
    [...s.mains, s.mains[0]],
    [...s.subs, banded(flat(3), 0, 120)],
  );
  const decided = () => {
    const found = levelOffset(withMixer, { targetTilt: 0, criterion: "least mean" });
    return { found, by: Object.fromEntries(found.preferred.map((a) => [a.who, a])) };
  };

  it("is minus its own deviation", () => {
    const { found, by } = decided();
    expect(found.offset_db).toBeCloseTo(-2, 3);
    expect(by["front row"].offset_db).toBeCloseTo(-8, 3);
    expect(by.middle.offset_db).toBeCloseTo(-2, 3);
    expect(by["mix position"].offset_db).toBeCloseTo(-3, 3);
    expect(by["back row"].offset_db).toBeCloseTo(4, 3);
    expect(found.preferredAt.map((w) => Math.round(w.offset_db))).toEqual([-8, -4, -2, 0, 4, -3]);
  });
  it("costs the audience what the sizes of the deviations say", () => {
    const { found, by } = decided();
    // At the median, 2: (6 + 2 + 0 + 2 + 6)/5 = 3.2 dB. From the front row: (0 + 4 + 6 + 8 + 12)/5 = 6. From the back
    // row: (12 + 8 + 6 + 4 + 0)/5 = 6. From the desk: (5 + 1 + 1 + 3 + 7)/5 = 3.4.
    expect(found.cost_db).toBeCloseTo(3.2, 3);
    expect(by["front row"].loss_db).toBeCloseTo(2.8, 3);
    expect(by["back row"].loss_db).toBeCloseTo(2.8, 3);
    expect(by["mix position"].loss_db).toBeCloseTo(0.2, 3);
    expect(by.middle.loss_db).toBeCloseTo(0, 3);
  });
  it("and the curve shows the cost of any other choice", () => {
    const { offset_db, meanAbsolute_db, worst_db, rms_db } = decided().found.curve;
    const k = offset_db.findIndex((o) => Math.abs(o - 4) < 1e-9);
    expect(meanAbsolute_db[k]).toBeCloseTo(6, 3);
    expect(worst_db[k]).toBeCloseTo(12, 3);
    // (12² + 8² + 6² + 4² + 0)/5 = 52
    expect(rms_db[k]).toBeCloseTo(Math.sqrt(52), 3);
  });
  it("and half a decibel more is paid at the ends of the flat stretch", () => {
    const { found } = decided();
    // Least mean is flat between 0 and 2 and 4: one person of five on the other side for each decibel, 1/5 dB per dB,
    // until the next row at 2 dB; beyond that 3/5 dB per dB: 0.4 dB at 2 dB, 0.5 dB at 2 + 1/6 dB.
    expect(found.flat_db[0]).toBeCloseTo(-2 - 2 - 1 / 6, 1);
    expect(found.flat_db[1]).toBeCloseTo(-2 + 2 + 1 / 6, 1);
  });
});

describe("level offset where mains and subs interfere", () => {
  it("costs no more than any offset of a fine grid", () => {
    const level = evenly(-10, 10);
    const phase = evenly(-Math.PI, Math.PI);
    fc.assert(
      fc.property(fc.array(fc.tuple(level, level, phase), { minLength: 1, maxLength: 6 }), (seats) => {
        const s = survey(
          seats.map((_, i) => position(`p${i}`, { x: 2 + i })),
          seats.map(([m]) => flat(m)),
          seats.map(([, sub, angle]) => flat(sub, angle)),
        );
        const { choices } = levelOffset(s);
        const prepared = prepareBalance(s);
        const least = [0, 0, 0].fill(Number.POSITIVE_INFINITY);
        for (let offset = -30; offset <= 30; offset += 0.05) {
          const d = Array.from(prepared.deviations(offset), Math.abs);
          const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
          const costs = [mean(d), Math.sqrt(mean(d.map((v) => v * v))), Math.max(...d)];
          costs.forEach((cost, k) => {
            least[k] = Math.min(least[k], cost);
          });
        }
        choices.forEach(({ cost_db }, k) => {
          expect(cost_db).toBeLessThan(least[k] + 1e-4);
        });
      }),
      { numRuns: 40 },
    );
  });
});

describe("the curve of costs", () => {
  it("goes from end to end of the range, no farther apart than half a decibel", () => {
    const { offset_db } = levelOffset(ratios([0, 3]), { range: [-2.3, 4] }).curve;
    expect(offset_db[0]).toBe(-2.3);
    expect(offset_db[offset_db.length - 1]).toBeCloseTo(4, 12);
    for (let i = 1; i < offset_db.length; i++) {
      expect(offset_db[i] - offset_db[i - 1]).toBeGreaterThan(0);
      expect(offset_db[i] - offset_db[i - 1]).toBeLessThanOrEqual(0.5);
    }
  });
  it("counts who is within 3 and 6 dB, and nobody where nobody sits", () => {
    // Deviations at 0 dB: 1, −5 and 9 for 2, 1 and 1 of 4 people; a fourth seat is empty.
    const { curve } = levelOffset(ratios([1, -5, 9, 40], [2, 1, 1, 0]), { targetTilt: 0, range: [-1, 1] });
    const k = curve.offset_db.indexOf(0);
    expect(curve.within3dB_fraction[k]).toBeCloseTo(0.5, 6);
    expect(curve.within6dB_fraction[k]).toBeCloseTo(0.75, 6);
    expect(curve.worst_db[k]).toBeCloseTo(9, 4);
    expect(curve.meanAbsolute_db[k]).toBeCloseTo((1 + 1 + 5 + 9) / 4, 4);
  });
  it("is flat for half a decibel about one position's own offset, and ends at the range", () => {
    const { flat_db } = levelOffset(ratios([-4]), { targetTilt: 0 });
    expect(flat_db[0]).toBeCloseTo(3.5, 1);
    expect(flat_db[1]).toBeCloseTo(4.5, 1);
    const cut = levelOffset(ratios([-4]), { targetTilt: 0, range: [3.8, 4.2] }).flat_db;
    expect(cut[0]).toBeGreaterThanOrEqual(3.8);
    expect(cut[0]).toBeLessThan(3.85);
    expect(cut[1]).toBeLessThanOrEqual(4.2);
    expect(cut[1]).toBeGreaterThan(4.15);
  });
});

describe("the criteria", () => {
  // Deviations 3, −4 and 12 dB for 1, 3 and no people of 4, by hand.
  const deviation = Float64Array.of(3, -4, 12);
  const weights = Float64Array.of(0.25, 0.75, 0);
  it.each([
    ["least mean", 3.75],
    ["least mean square", Math.sqrt(14.25)],
    ["least worst", 4],
  ] as const)("%s", (criterion, cost) => {
    expect(costOf(deviation, weights, criterion)).toBeCloseTo(cost, 12);
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
  it("refuses a range that is none, and a criterion that it does not know", () => {
    for (const range of [
      [3, 3],
      [5, -5],
      [Number.NaN, 3],
      [-3, Number.POSITIVE_INFINITY],
      [Number.NEGATIVE_INFINITY, 3],
    ] as const)
      expect(() => levelOffset(ratios([0]), { range })).toThrow(/two numbers in order/);
    expect(() => levelOffset(ratios([0]), { criterion: "best" as "least mean" })).toThrow(
      /criterion is "best"/,
    );
  });
  it("refuses subs that are silent wherever someone sits", () => {
    const s = ratios([0, 3], [5, 0]);
    expect(() => levelOffset({ ...s, subs: [silent(), s.subs[1]] })).toThrow(/silent in the low band/);
    expect(levelOffset({ ...s, subs: [s.subs[0], silent()] }, { targetTilt: 0 }).offset_db).toBeCloseTo(0, 3);
  });
  it("says that the subs can't give the target where the best lies at an end of the range", () => {
    const ends = (level: number) => levelOffset(ratios([level]), { targetTilt: 0 }).atEndOfRange;
    expect([-35, -29, 0, 29, 35].map(ends)).toEqual([true, false, false, false, true]);
  });
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
