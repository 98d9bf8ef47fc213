/** The finder of dips by its laws: level, pitch and direction of time do not matter to it; widths and depths of drawn dips are found. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { depthCurve, dipFinder, findDips, responseOf } from "../../../lib/decision/dips/dips";
import { flat, frequency, position, silent, survey } from "../synthetic";

const grid = logGrid(10, 1000, 481);
/** Level in dB over octaves from 63 Hz, as mean squares. */
const drawn = (level: (octaves: number) => number, f = grid) =>
  f.map((x) => 10 ** (level(Math.log2(x / 63)) / 10));
/** A bell upside down: half of its depth is left half of its width away. */
const bell =
  (depth: number, width: number, at = 0) =>
  (x: number) =>
    -depth * 0.5 ** (((2 * (x - at)) / width) ** 2);
const range = [25, 200] as const;

describe("the finder", () => {
  test("finds a drawn dip where it is, about as deep and as wide as it is", () => {
    for (const [depth, width] of [
      [12, 0.3],
      [8, 0.4],
      [20, 0.25],
    ]) {
      const [dip, ...others] = dipFinder(grid)(drawn(bell(depth, width)), range, 4);
      expect(others).toEqual([]);
      expect(Math.abs(Math.log2(dip.frequency_hz / 63))).toBeLessThan(0.003);
      // A window of a twelfth of an octave fills a dip a little; its neighbourhood of one and a half reaches into it.
      expect(dip.depth_db).toBeLessThan(depth);
      expect(dip.depth_db).toBeGreaterThan(0.8 * depth);
      expect(dip.width_octaves / width).toBeGreaterThan(0.85);
      expect(dip.width_octaves / width).toBeLessThan(1.15);
    }
  });

  test("finds it between the grid's frequencies, as deep as on one of them", () => {
    const coarse = logGrid(10, 1000, 161);
    const step = Math.log2(100) / 160;
    const find = (at: number) => dipFinder(coarse)(drawn(bell(12, 0.4, at), coarse), range, 4)[0];
    const depth = find(0).depth_db;
    for (let part = 0; part < 1; part += 0.1) {
      const dip = find(part * step);
      expect(Math.abs(Math.log2(dip.frequency_hz / 63) / step - part)).toBeLessThan(0.1);
      expect(Math.abs(dip.depth_db - depth)).toBeLessThan(0.15);
    }
  });

  test("asks for a depth: one just below it is left, one above found", () => {
    const depth = dipFinder(grid)(drawn(bell(9, 0.3)), range, 2)[0].depth_db;
    expect(dipFinder(grid)(drawn(bell(9, 0.3)), range, depth + 0.1)).toEqual([]);
    expect(dipFinder(grid)(drawn(bell(9, 0.3)), range, depth - 0.1)).toHaveLength(1);
  });

  test("finds the same at any level, and an octave up what is an octave up", () => {
    const two = (x: number) => bell(9, 0.3)(x) + bell(12, 0.25, 0.8)(x);
    const find = dipFinder(grid);
    const found = find(drawn(two), range, 4);
    expect(found).toHaveLength(2);
    const compare = (others: typeof found, octaves: number) => {
      expect(others).toHaveLength(2);
      others.forEach((dip, i) => {
        expect(Math.log2(dip.frequency_hz / found[i].frequency_hz)).toBeCloseTo(octaves, 6);
        expect(dip.depth_db).toBeCloseTo(found[i].depth_db, 6);
        expect(dip.width_octaves).toBeCloseTo(found[i].width_octaves, 6);
      });
    };
    fc.assert(
      fc.property(fc.double({ min: 1e-8, max: 1e8, noNaN: true }), (factor) => {
        compare(
          find(
            drawn(two).map((x) => factor * x),
            range,
            4,
          ),
          0,
        );
      }),
      { numRuns: 10 },
    );
    const up = grid.map((f) => 2 * f);
    compare(dipFinder(up)(drawn(two, grid), [50, 400], 4), 1);
  });

  test("finds the mirror image of a curve's dips in its mirror image", () => {
    const lopsided = (x: number) => bell(10, 0.3)(x) + bell(5, 0.5, 0.35)(x);
    const middle = Math.log2(100 / 63);
    const find = dipFinder(grid);
    const [a] = find(drawn(lopsided), [20, 500], 4);
    const [b] = find(
      drawn((x) => lopsided(2 * middle - x)),
      [20, 500],
      4,
    );
    expect(Math.log2(b.frequency_hz / 63)).toBeCloseTo(2 * middle - Math.log2(a.frequency_hz / 63), 3);
    expect(b.width_octaves).toBeCloseTo(a.width_octaves, 2);
    expect(b.depth_db).toBeCloseTo(a.depth_db, 2);
  });

  test("looks no further than its range, nor where 18 dB less is played", () => {
    const find = dipFinder(grid);
    expect(find(drawn(bell(12, 0.3)), [70, 200], 4)).toEqual([]);
    expect(find(drawn(bell(12, 0.3)), [25, 56], 4)).toEqual([]);
    expect(find(drawn(bell(12, 0.3)), [62, 64], 4)).toHaveLength(1);
    // A step of so many dB two octaves wide about the dip.
    const stepped = (step: number) => (x: number) =>
      bell(12, 0.3, -1)(x) - step / (1 + Math.exp(12 * (x + 0.2)));
    expect(find(drawn(stepped(14)), [20, 200], 4).some((d) => d.frequency_hz < 40)).toBe(true);
    expect(find(drawn(stepped(24)), [20, 200], 4).some((d) => d.frequency_hz < 40)).toBe(false);
  });

  test("does not take a ripple on a dip's flank for a dip of its own", () => {
    const rippled = (x: number) => bell(14, 0.8)(x) + bell(1, 0.1, 0.25)(x);
    expect(dipFinder(grid)(drawn(rippled), range, 4)).toHaveLength(1);
  });

  test("with a wider neighbourhood finds a wide dip that a narrow one follows", () => {
    const wide = drawn(bell(8, 1.2));
    expect(dipFinder(grid, { neighbourhood: 0.5 })(wide, range, 3)).toEqual([]);
    expect(dipFinder(grid, { neighbourhood: 3 })(wide, range, 3)).toHaveLength(1);
    expect(() => dipFinder(grid, { neighbourhood: 0 })).toThrow(/neighbourhood/);
  });

  test("draws depth above 0 in a dip, below on a peak, and none on a plain", () => {
    const depth = depthCurve(grid)(drawn((x) => bell(10, 0.3)(x) - bell(6, 0.3, 1.5)(x)));
    const at = (octaves: number) => {
      const f = 63 * 2 ** octaves;
      return depth[grid.reduce((best, x, i) => (Math.abs(x - f) < Math.abs(grid[best] - f) ? i : best), 0)];
    };
    expect(at(0)).toBeGreaterThan(7);
    expect(at(1.5)).toBeLessThan(-3);
    for (const x of depthCurve(grid)(drawn(() => 7))) expect(Math.abs(x)).toBeLessThan(1e-9);
  });
});

describe("a search", () => {
  const rows = [4, 8, 12, 16].map((x) => position(`row ${x}`, { x, y: 0, z: 0 }));
  const notched = (at: number, depth = 12, coherence?: (f: number) => number): Response => {
    const level = frequency.map((f) => 10 ** (bell(depth, 0.3, Math.log2(at / 63))(Math.log2(f / 63)) / 20));
    return {
      frequency,
      re: level,
      im: new Float64Array(level.length),
      ...(coherence && { coherence: frequency.map(coherence) }),
    };
  };
  const all = <T>(x: T) => rows.map(() => x);
  const quiet = all({ ...flat(-80) });

  test("tells what is in both parts once for each, and not again for their sum", () => {
    const search = findDips(survey(rows, all(notched(100)), all({ ...notched(50) })));
    expect(
      search.groups
        .map((g) => g.part)
        .filter((p) => p !== "sum")
        .sort(),
    ).toEqual(["mains", "subs"]);
    const alike = findDips(survey(rows, all(notched(100)), all(notched(100))));
    expect(alike.groups.map((g) => g.part).sort()).toEqual(["mains", "subs"]);
    expect(
      findDips(survey(rows, all(notched(100)), all(notched(100))), { parts: ["sum"] }).groups,
    ).toHaveLength(1);
  });

  test("has the coherence at the dip, the lower one of two alike, the louder one's where the other is 10 dB below", () => {
    const near = (good: number, bad: number) => (f: number) =>
      Math.abs(Math.log2(f / 70)) < 0.1 ? bad : good;
    const of = (mains: Response, subs: Response) =>
      findDips(survey(rows, all(mains), all(subs)), { parts: ["sum"] }).groups[0].dips[0].coherence;
    const a = notched(70, 12, near(0.9, 0.7));
    const b = notched(70, 12, near(0.9, 0.6));
    expect(of(a, b)).toBe(0.6);
    expect(of(b, a)).toBe(0.6);
    const softer = (r: Response, by: number) => ({ ...r, re: r.re.map((x) => x / by) });
    expect(of(a, softer(b, 3.3))).toBe(0.7);
    expect(of(softer(b, 3.3), a)).toBe(0.7);
    expect(of(a, softer(b, 3))).toBe(0.6);
    const { coherence: _, ...bare } = b;
    expect(of(a, bare)).toBe(0.7);
    expect(of(bare, a)).toBe(0.7);
    expect(of(bare, bare)).toBeNull();
  });

  test("calls doubtful what is less coherent than asked for, counts it half, and says how many there are", () => {
    const near = (f: number) => (Math.abs(Math.log2(f / 50)) < 0.15 ? 0.4 : 0.9);
    const both = all(notched(50, 14, near)).map((r, i) => ({
      ...r,
      re: r.re.map((x, k) => x * notched(110, 9).re[k] * (i < 9 ? 1 : 1)),
    }));
    const look = (coherenceLimit?: number) =>
      findDips(survey(rows, quiet, both), { parts: ["subs"], ...(coherenceLimit ? { coherenceLimit } : {}) });
    const { groups, reasons } = look();
    expect(groups.map((g) => Math.round(g.frequency_hz / 10))).toEqual([11, 5]);
    expect(groups[1].dips.every((d) => d.doubtful)).toBe(true);
    expect(groups[0].dips.every((d) => !d.doubtful)).toBe(true);
    expect(reasons.join(" ")).toContain("4 dips have a coherence below 0.5");
    const sure = look(0.3);
    expect(sure.groups.map((g) => Math.round(g.frequency_hz / 10))).toEqual([5, 11]);
    expect(sure.reasons).toEqual([]);
    const one = both.map((r, i) => (i === 0 ? r : notched(110, 9)));
    expect(findDips(survey(rows, quiet, one), { parts: ["subs"] }).reasons.join(" ")).toContain("1 dip has");
  });

  test("knows no sum without phase, and says at how many positions, unless both were measured together", () => {
    const blind = (r: Response) => ({ ...r, magnitudeOnly: true });
    const mains = all(flat(0)).map((r, i) => (i === 1 ? blind(r) : r));
    const subs = all(flat(0)).map((r, i) => (i === 2 ? blind(r) : r));
    const s = survey(rows, mains, subs);
    expect(findDips(s).reasons.join(" ")).toContain("2 of 4 positions have no phase");
    expect(findDips(s, { parts: ["subs"] }).reasons.join(" ")).not.toContain("no phase");
    expect(responseOf(s, "sum", 1)).toBeUndefined();
    expect(responseOf(s, "sum", 2)).toBeUndefined();
    expect(responseOf(s, "sum", 0)?.response.re[7]).toBeCloseTo(2, 9);
    const both = all(notched(70));
    const together = findDips({ ...s, both }, { parts: ["sum"] });
    expect(together.groups[0].dips).toHaveLength(4);
    expect(together.reasons).toEqual([]);
  });

  test("takes fills with the mains, and says what it looked for", () => {
    const s = { ...survey(rows, all(silent()), all(silent())), fills: all(notched(100)) };
    const found = findDips(s, { parts: ["mains"], leastDepth: 5, range: { mains: [80, 120] } });
    expect(found.groups[0].dips).toHaveLength(4);
    expect(found).toMatchObject({
      survey: "invented",
      leastDepth_db: 5,
      range_hz: { subs: [25, 160], mains: [80, 120], sum: [25, 315] },
    });
    expect(found.groups[0].dips[2]).toMatchObject({
      part: "mains",
      position: "row 12",
      row: 2,
      coherence: null,
    });
  });
});
