/** What one position alone asks for: the power of amplitudes a and g·s is a quadratic in g, whose roots one can take by hand. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { deviationsAt } from "../../../lib/decision/balance/balance";
import { levelOffset, preferredOffset } from "../../../lib/decision/offset/offset";
import { evenly } from "../../evenly";
import { banded, flat, position, ratios, survey } from "../synthetic";

const forms = (a: number, b: number, c: number) => ({
  a: Float64Array.of(a),
  b: Float64Array.of(b),
  c: Float64Array.of(c),
  mid: Float64Array.of(1),
});
const wide = [-30, 30] as const;

describe("the offset of one position", () => {
  it.each([
    // g² · 4 = 1
    ["no mains in the low band", 0, 0, 4, -6.0206, true],
    // (½ + g)² = 1
    ["in phase with mains of half the target's amplitude", 0.25, 0.5, 1, -6.0206, true],
    // (2 − g)² = 1 at g = 1 and at g = 3: the louder
    ["against mains of twice the target's amplitude", 4, -2, 1, 9.5424, true],
    // 4 + g² > 1 always, least without subs
    ["mains alone too loud, at right angles", 4, 0, 1, -30, false],
    // 4 − 2g + g² is least at g = 1, where it is 3
    ["mains too loud to be brought down whole", 4, -1, 1, 0, false],
    // (2 + g)² = 1 for no g above 0
    ["mains alone too loud, in phase", 4, 2, 1, -30, false],
    ["no subs", 0.25, 0, 0, 0, false],
  ])("with %s", (_, a, b, c, offset, reaches) => {
    const found = preferredOffset(forms(a, b, c), 0, wide);
    expect(found.offset_db).toBeCloseTo(offset, 3);
    expect(found.reachesTarget).toBe(reaches);
  });

  it("ends at the range, where it does not reach the target", () => {
    expect(preferredOffset(forms(0, 0, 4), 0, [-3, 3])).toEqual({ offset_db: -3, reachesTarget: false });
    expect(preferredOffset(forms(0, 0, 0.1), 0, [-3, 3])).toEqual({ offset_db: 3, reachesTarget: false });
    expect(preferredOffset(forms(1, 0, 0), 0, [2, 5])).toEqual({ offset_db: 2, reachesTarget: false });
    expect(preferredOffset(forms(1, 0, 0), 0, [-5, -2])).toEqual({ offset_db: -2, reachesTarget: false });
  });

  it("where it reaches the target leaves no deviation, and every louder one leaves too much bass", () => {
    const amplitude = evenly(0.05, 5);
    const cosine = evenly(-1, 1);
    fc.assert(
      fc.property(amplitude, amplitude, cosine, (mains, subs, cos) => {
        const f = forms(mains ** 2, mains * subs * cos, subs ** 2);
        const { offset_db, reachesTarget } = preferredOffset(f, 0, wide);
        if (!reachesTarget) return;
        const at = (x: number) => deviationsAt(f, x, new Float64Array(1))[0];
        expect(Math.abs(at(offset_db))).toBeLessThan(1e-6);
        for (const more of [0.1, 1, 10]) expect(at(offset_db + more)).toBeGreaterThan(0);
      }),
    );
  });
});

describe("what parts of the audience ask for", () => {
  it("counts places alike where nobody sits: desks with 3 and 5 dB ask for −4", () => {
    const s = ratios([8, 4, 0, 3, 5], [10, 10, 10, 0, 0]);
    const found = levelOffset(s, { targetTilt: 0, mixPositions: ["p3", "p4"] });
    const desk = found.preferred.find(({ who }) => who === "mix position");
    expect(desk?.positions).toEqual(["p3", "p4"]);
    expect(desk?.offset_db).toBeCloseTo(-4, 3);
    // Then the audience has 4, 0 and −4 dB: 10.67 dB² rms; its own best is −4 as well.
    expect(desk?.loss_db).toBeCloseTo(0, 3);
    expect(desk?.audience.rms_db).toBeCloseTo(Math.sqrt(32 / 3), 3);
  });

  it("is by people within a row: 1 of 4 with 8 dB and 3 with 4 dB ask for −5", () => {
    const s = survey(
      [position("a", { x: 2 }, 1), position("b", { x: 2.1, y: 3 }, 3), position("c", { x: 30 }, 30)],
      [0, 0, 0].map(() => banded(flat(0), 120, 20000)),
      [8, 4, 0].map((level) => banded(flat(level), 0, 120)),
    );
    const found = levelOffset(s, { targetTilt: 0 });
    const front = found.preferred.find(({ who }) => who === "front row");
    expect(front?.positions).toEqual(["a", "b"]);
    expect(front?.offset_db).toBeCloseTo(-5, 3);
  });

  it("knows the mix position by its area, however that is written, and has none where there is none", () => {
    const s = ratios([8, 4, 0]);
    const named = {
      ...s,
      positions: s.positions.map((p, i) => (i === 1 ? { ...p, area: "Front of House" } : p)),
    };
    const who = (x: typeof s) => levelOffset(x, { targetTilt: 0 }).preferred.map((p) => p.who);
    expect(who(named)).toContain("mix position");
    expect(who(s)).not.toContain("mix position");
  });

  it("refuses a mix position that the survey lacks", () => {
    expect(() => levelOffset(ratios([1]), { mixPositions: ["p0", "desk"] })).toThrow(/names "desk"/);
  });

  it("is listed for every position in the order of the survey", () => {
    const found = levelOffset(ratios([8, -40, 2]), { targetTilt: 0 });
    expect(found.preferredAt.map((p) => p.id)).toEqual(["p0", "p1", "p2"]);
    expect(found.preferredAt.map((p) => p.reachesTarget)).toEqual([true, false, true]);
    [-8, 30, -2].forEach((offset, i) => {
      expect(found.preferredAt[i].offset_db).toBeCloseTo(offset, 4);
    });
  });
});
