import { describe, expect, it } from "vitest";
import { frontRowLevel } from "../../../lib/decision/offset/limits";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { banded, flat, position, survey } from "../synthetic";

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
});

describe("limits of the level offset", () => {
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
