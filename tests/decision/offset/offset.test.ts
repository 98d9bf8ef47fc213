import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { prepareBalance } from "../../../lib/decision/balance/balance";
import { levelOffset } from "../../../lib/decision/offset/offset";
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
  const found = levelOffset(withMixer, { targetTilt: 0, criterion: "least mean" });
  const by = Object.fromEntries(found.preferred.map((a) => [a.who, a]));

  it("is minus its own deviation", () => {
    expect(found.offset_db).toBeCloseTo(-2, 3);
    expect(by["front row"].offset_db).toBeCloseTo(-8, 3);
    expect(by.middle.offset_db).toBeCloseTo(-2, 3);
    expect(by["mix position"].offset_db).toBeCloseTo(-3, 3);
    expect(by["back row"].offset_db).toBeCloseTo(4, 3);
    expect(found.preferredAt.map((w) => Math.round(w.offset_db))).toEqual([-8, -4, -2, 0, 4, -3]);
  });
  it("costs the audience what the sizes of the deviations say", () => {
    // At the median, 2: (6 + 2 + 0 + 2 + 6)/5 = 3.2 dB. From the front row: (0 + 4 + 6 + 8 + 12)/5 = 6. From the back
    // row: (12 + 8 + 6 + 4 + 0)/5 = 6. From the desk: (5 + 1 + 1 + 3 + 7)/5 = 3.4.
    expect(found.cost_db).toBeCloseTo(3.2, 3);
    expect(by["front row"].loss_db).toBeCloseTo(2.8, 3);
    expect(by["back row"].loss_db).toBeCloseTo(2.8, 3);
    expect(by["mix position"].loss_db).toBeCloseTo(0.2, 3);
    expect(by.middle.loss_db).toBeCloseTo(0, 3);
  });
  it("and the curve shows the cost of any other choice", () => {
    const { offset_db, meanAbsolute_db, worst_db, rms_db } = found.curve;
    const k = offset_db.findIndex((o) => Math.abs(o - 4) < 1e-9);
    expect(meanAbsolute_db[k]).toBeCloseTo(6, 3);
    expect(worst_db[k]).toBeCloseTo(12, 3);
    // (12² + 8² + 6² + 4² + 0)/5 = 52
    expect(rms_db[k]).toBeCloseTo(Math.sqrt(52), 3);
  });
  it("and half a decibel more is paid at the ends of the flat stretch", () => {
    // Least mean is flat between 0 and 2 and 4: one person of five on the other side for each decibel, 1/5 dB per dB,
    // until the next row at 2 dB; beyond that 3/5 dB per dB: 0.4 dB at 2 dB, 0.5 dB at 2 + 1/6 dB.
    expect(found.flat_db[0]).toBeCloseTo(-2 - 2 - 1 / 6, 1);
    expect(found.flat_db[1]).toBeCloseTo(-2 + 2 + 1 / 6, 1);
  });
});

describe("level offset where mains and subs interfere", () => {
  it("costs no more than any offset of a fine grid", () => {
    const level = fc.double({ min: -10, max: 10, noNaN: true });
    const phase = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(level, level, phase), { minLength: 1, maxLength: 6 }), (seats) => {
        const s = survey(
          seats.map((_, i) => position(`p${i}`, { x: 2 + i })),
          seats.map(([m]) => flat(m)),
          seats.map(([, sub, angle]) => flat(sub, angle)),
        );
        const { choices } = levelOffset(s);
        const prepared = prepareBalance(s);
        for (let offset = -30; offset <= 30; offset += 0.05) {
          const d = Array.from(prepared.deviations(offset), Math.abs);
          expect(choices[0].cost_db).toBeLessThan(d.reduce((a, x) => a + x, 0) / d.length + 1e-4);
          expect(choices[1].cost_db).toBeLessThan(
            Math.sqrt(d.reduce((a, x) => a + x * x, 0) / d.length) + 1e-4,
          );
          expect(choices[2].cost_db).toBeLessThan(Math.max(...d) + 1e-4);
        }
      }),
      { numRuns: 40 },
    );
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
