import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { frontRowAt, frontRowLevel, highestOffset } from "../../../lib/decision/offset/limits";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { evenly } from "../../evenly";
import { banded, flat, position, silent, survey } from "../synthetic";

/** Pressure whose level per third octave is constant: mains above 120 Hz, subs below, one front row and one back row. */
function show(mains: number, subsFront: number, subsBack: number) {
  const pascals = (level: number) => flat(level + 20 * Math.log10(20e-6));
  return survey(
    [position("front", { x: 2 }), position("back", { x: 20 })],
    [banded(pascals(mains), 120, 20000), banded(pascals(mains), 120, 20000)],
    [banded(pascals(subsFront), 0, 120), banded(pascals(subsBack), 0, 120)],
    "pressure",
  );
}

describe("level at the front row", () => {
  it("adds the third octaves by power", () => {
    // 60 dB in each of the 30 third octaves from 20 to 16000 Hz: 10 lg 30 = 14.77 dB more.
    const s = { ...show(-100, 0, 0), subs: [flat(60 + 20 * Math.log10(20e-6)), flat(0)] };
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), 0, "Z")).toBeCloseTo(74.77, 2);
  });
  it("is the power mean over the people of the front row alone", () => {
    // 60 dB for one and 70 dB for three of them: 10 lg (10⁶ + 3 · 10⁷)/4 = 68.89 dB, and 14.77 dB for thirty bands.
    const pascals = (level: number) => flat(level + 20 * Math.log10(20e-6));
    const s = survey(
      [position("a", { x: 2 }, 1), position("b", { x: 2, y: 4 }, 3), position("c", { x: 20 }, 20)],
      [60, 70, 100].map(pascals),
      [60, 70, 100].map(() => pascals(-100)),
      "pressure",
    );
    expect(frontRowLevel(s, Float64Array.of(1 / 24, 3 / 24, 20 / 24), 0, "Z")).toBeCloseTo(83.66, 2);
  });
  it.each<["A" | "C", number[]]>([
    // IEC 61672-1:2013, table 3, 20 Hz to 16 kHz.
    [
      "A",
      [
        -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6, -6.6, -4.8, -3.2,
        -1.9, -0.8, 0, 0.6, 1, 1.2, 1.3, 1.2, 1, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6,
      ],
    ],
    [
      "C",
      [
        -6.2, -4.4, -3, -2, -1.3, -0.8, -0.5, -0.3, -0.2, -0.1, 0, 0, 0, 0, 0, 0, 0, 0, 0, -0.1, -0.2, -0.3,
        -0.5, -0.8, -1.3, -2, -3, -4.4, -6.2, -8.5,
      ],
    ],
  ])("weights each third octave by %s", (weighting, table) => {
    const s = { ...show(-100, 0, 0), subs: [flat(60 + 20 * Math.log10(20e-6)), flat(0)] };
    const sum = table.reduce((power, x) => power + 10 ** ((60 + x) / 10), 0);
    expect(
      Math.abs(frontRowLevel(s, Float64Array.of(0.5, 0.5), 0, weighting) - 10 * Math.log10(sum)),
    ).toBeLessThan(0.05);
  });
});

describe("limits of the level offset", () => {
  it("are met by the sum of mains and subs, whatever the phase between them", () => {
    const phase = evenly(-Math.PI, Math.PI);
    fc.assert(
      fc.property(phase, evenly(-10, 10), (angle, sub) => {
        const at = (level: number, turn = 0) => flat(level + 20 * Math.log10(20e-6), turn);
        const s = survey([position("front")], [at(70)], [at(70 + sub, angle)], "pressure");
        const limits = { frontLevel: { level: 100, weighting: "Z" } } as const;
        const { highest_db } = highestOffset(s, Float64Array.of(1), limits);
        expect(frontRowLevel(s, Float64Array.of(1), highest_db as number, "Z")).toBeCloseTo(100, 6);
      }),
      { numRuns: 30 },
    );
  });
  it("know polarity and delay of the subs: opposed to the mains they may be turned up further", () => {
    const at = (level: number) => flat(level + 20 * Math.log10(20e-6));
    const s = survey([position("front")], [at(70)], [at(70)], "pressure");
    const limits = { frontLevel: { level: 100, weighting: "Z" } } as const;
    const seat = Float64Array.of(1);
    // Thirty bands of 70 dB make 84.77 dB, 15.23 dB below: amplitudes 1 ± g = 5.774, so g = 4.774 and 6.774.
    expect(highestOffset(s, seat, limits).highest_db).toBeCloseTo(13.58, 2);
    expect(highestOffset(s, seat, limits, { polarity: -1 }).highest_db).toBeCloseTo(16.62, 2);
    expect(frontRowLevel(s, seat, 0, "Z", { polarity: -1 })).toBeLessThan(-100);
    expect(frontRowAt(s, seat, 0, {}, { polarity: -1 })?.levelC_db).toBeLessThan(-100);
  });
  it("bind by the lowest of them", () => {
    const s = show(70, 90, 90);
    const seats = Float64Array.of(0.5, 0.5);
    const loud = { level: 110, weighting: "C" } as const;
    const one = highestOffset(s, seats, { frontLevel: loud });
    expect(one.highest_db).toBeGreaterThan(5);
    expect(highestOffset(s, seats, { frontLevel: loud, headroom: 5 })).toMatchObject({
      highest_db: 5,
      binding: "the subs' headroom",
    });
    expect(highestOffset(s, seats, { frontLevel: loud, headroom: 50 })).toEqual(one);
    expect(one.binding).toContain("110 dB(C)");
    expect(highestOffset(s, seats, {})).toEqual({ highest_db: null, binding: null, beyond: [] });
  });
  it("leave subs alone that the front row does not hear", () => {
    const s = { ...show(70, 90, 90), subs: [silent(), flat(0)] };
    const { highest_db } = highestOffset(s, Float64Array.of(0.5, 0.5), {
      frontLevel: { level: 110, weighting: "C" },
    });
    expect(highest_db).toBe(Number.POSITIVE_INFINITY);
  });
  it("go below the range where they must", () => {
    const found = levelOffset(show(70, 70, 70), { range: [-5, 30], limits: { headroom: -12 } });
    expect(found.offset_db).toBeCloseTo(-12, 6);
  });
  it("hold a dose by another recommendation: 29 CFR 1910.95, table G-16, allows 100 dB(A) for 2 hours", () => {
    const criterion = { name: "OSHA", level: 90, duration: 8 * 3600, exchangeRate: 5 };
    const frontDose = { percent: 100, duration: 2 * 3600, criterion };
    const s = show(70, 90, 90);
    const found = levelOffset(s, { targetTilt: 60, limits: { frontDose } });
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), found.offset_db, "A")).toBeCloseTo(100, 2);
    expect(found.frontRow?.allowed_h).toBeCloseTo(2, 2);
    expect(found.frontRow?.criterion).toBe("OSHA");
    expect(found.limits.binding).toContain("OSHA");
  });
  it("allow half the dose at 3 dB less by NIOSH", () => {
    const s = show(70, 90, 90);
    const found = levelOffset(s, { targetTilt: 60, limits: { frontDose: { percent: 50, duration: 3600 } } });
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), found.offset_db, "A")).toBeCloseTo(91, 2);
  });
  it("count the show's drive in the front row's level", () => {
    const s = show(70, 90, 90);
    const seats = Float64Array.of(0.5, 0.5);
    const plain = frontRowAt(s, seats, 0, {});
    const driven = frontRowAt(s, seats, 0, { drive: 7 });
    expect((driven?.levelA_db as number) - (plain?.levelA_db as number)).toBeCloseTo(7, 9);
    expect((driven?.levelC_db as number) - (plain?.levelC_db as number)).toBeCloseTo(7, 9);
  });
  it("of no number are refused", () => {
    const s = show(70, 90, 90);
    expect(() => levelOffset(s, { limits: { headroom: Number.NaN } })).toThrow(/headroom is NaN/);
    for (const [percent, duration] of [
      [0, 3600],
      [100, 0],
    ])
      expect(() => levelOffset(s, { limits: { frontDose: { percent, duration } } })).toThrow(/above 0/);
  });
  it("hold the front row at a C-weighted level, found from the level itself", () => {
    const s = show(90, 90, 90);
    const limits = { frontLevel: { level: 110, weighting: "C" } } as const;
    // Target 30 dB: the audience would ask for far more.
    const found = levelOffset(s, { targetTilt: 30, limits });
    expect(found.limited).toBe(true);
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), found.offset_db, "C")).toBeCloseTo(110, 3);
    expect(found.reasons.join(" ")).toContain("110 dB(C)");
  });
  it("leave alone an offset that keeps them", () => {
    const found = levelOffset(show(90, 84, 84), {
      targetTilt: 0,
      limits: { frontLevel: { level: 130, weighting: "C" } },
    });
    expect(found.limited).toBe(false);
    expect(found.offset_db).toBeCloseTo(6, 3);
  });
  it("hold the dose: 94 dB(A) for one hour is 100 % by NIOSH", () => {
    // NIOSH 98-126, table 1-1: 94 dB(A) is allowed for 1 hour.
    const s = show(70, 90, 90);
    const found = levelOffset(s, { targetTilt: 60, limits: { frontDose: { percent: 100, duration: 3600 } } });
    expect(found.limited).toBe(true);
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), found.offset_db, "A")).toBeCloseTo(94, 2);
  });
  it("come with the time that the front row's level is allowed for", () => {
    // NIOSH 98-126, table 1-1: 94 dB(A) 1 hour, 91 dB(A) 2 hours, 100 dB(A) 15 minutes.
    const s = show(70, 90, 90);
    for (const [level, hours] of [
      [94, 1],
      [91, 2],
      [100, 0.25],
    ]) {
      const frontLevel = { level, weighting: "A" } as const;
      const { frontRow, reasons } = levelOffset(s, { targetTilt: 60, limits: { frontLevel } });
      expect(frontRow?.levelA_db).toBeCloseTo(level, 2);
      expect(frontRow?.allowed_h).toBeCloseTo(hours, 2);
      expect(reasons.join(" ")).toContain("local law rules");
    }
    expect(levelOffset({ ...s, quantity: "ratio" }).frontRow).toBeNull();
  });
  it("take the show's drive into account", () => {
    const s = show(70, 90, 90);
    const limits = { frontLevel: { level: 110, weighting: "C" }, drive: 10 } as const;
    const found = levelOffset(s, { targetTilt: 30, limits });
    expect(frontRowLevel(s, Float64Array.of(0.5, 0.5), found.offset_db, "C")).toBeCloseTo(100, 2);
  });
  it("say when the mains alone exceed them", () => {
    const found = levelOffset(show(120, 100, 100), {
      limits: { frontLevel: { level: 100, weighting: "A" } },
    });
    expect(found.limits.beyond).toEqual(["100 dB(A) at the front row"]);
    expect(found.reasons.join(" ")).toContain("mains alone exceed");
  });
  it("need pascals", () => {
    const s = { ...show(90, 90, 90), quantity: "ratio" as const };
    expect(() => levelOffset(s, { limits: { frontLevel: { level: 100, weighting: "A" } } })).toThrow(
      /pascals/,
    );
  });
});
