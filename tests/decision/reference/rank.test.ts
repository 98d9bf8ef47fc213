import { describe, expect, it } from "vitest";
import type { Criterion } from "../../../lib/decision/offset/criterion";
import { rankReferences } from "../../../lib/decision/reference/rank";
import { referenceReason } from "../../../lib/decision/reference/reasons";
import type { RankedPosition } from "../../../lib/decision/reference/result";
import type { Survey } from "../../../lib/survey/survey";
import { banded, flat, frequency, position, ratios, survey } from "../synthetic";

/** Places on a grid, one metre apart, where the subs' level is a plane over the floor; mains at 0 dB. */
function grid(level: (x: number, y: number) => number, area = "front of house", people = 0): Survey {
  const positions = [18, 19, 20, 21, 22].flatMap((x) =>
    [-2, -1, 0, 1, 2].map((y) => position(`${area} ${x} ${y}`, { x, y }, people, area)),
  );
  return survey(
    positions,
    positions.map(() => banded(flat(0), 120, 20000)),
    positions.map(({ point }) => banded(flat(level(point.x, point.y)), 0, 120)),
  );
}

describe("places to mix from", () => {
  // A plane of −0.5 dB per metre to the back and +0.2 dB per metre to house left around x = 20 m: every figure below can
  // be read off it.
  const plane = (x: number, y: number) => 6 - 0.5 * (x - 20) + 0.2 * y;
  const audience = grid(plane, "stalls", 10);

  it("show the change per metre of the plane they stand on", () => {
    const found = rankReferences(audience, grid(plane), { offset: 0 });
    for (const place of found.positions) {
      expect(place.towardBack_db_per_m).toBeCloseTo(-0.5, 3);
      expect(place.towardLeft_db_per_m).toBeCloseTo(0.2, 3);
    }
  });

  it("are biased by how much more bass they hear than the mean of the people, and ranked by it", () => {
    const found = rankReferences(audience, grid(plane), { offset: 0 });
    expect(found.audience_db).toBeCloseTo(0, 3);
    expect(found.positions[0].id).toBe("front of house 20 0");
    expect(found.positions[0].bias_db).toBeCloseTo(0, 3);
    const front = found.positions.find((p) => p.id === "front of house 18 1");
    expect(front?.bias_db).toBeCloseTo(1.2, 3);
    expect(front?.correction.low_db).toBeCloseTo(1.2, 3);
    expect(front?.reason).toContain("let the bass sound 1.2 dB more than the target");
    expect(found.positions.map((p) => p.rank)).toEqual(Array.from({ length: 25 }, (_, i) => i + 1));
    expect(found.positions[24].score_db).toBeGreaterThan(found.positions[0].score_db);
  });

  it("show a notch of their own by its third octave and depth, and carry it as a correction", () => {
    const positions = grid(plane);
    const k = positions.positions.findIndex((p) => p.id === "front of house 20 0");
    // 12 dB less over the whole third octave around 63 Hz.
    const dip = (x: Float64Array) => x.map((v, i) => (frequency[i] > 55 && frequency[i] < 72 ? v / 4 : v));
    const subs = positions.subs.map((r, i) => (i === k ? { ...r, re: dip(r.re), im: dip(r.im) } : r));
    const found = rankReferences(audience, { ...positions, subs }, { offset: 0 });
    const place = found.positions.find((p) => p.id === "front of house 20 0");
    expect(place?.notches.map((n) => n.frequency_hz)).toEqual([63]);
    expect(place?.notches[0].depth_db).toBeGreaterThan(10);
    expect(place?.notches[0].depth_db).toBeLessThan(12.5);
    expect(place?.correction.bands.map((b) => b.frequency_hz)).toContain(63);
    expect(place?.reason).toContain("63 Hz");
    expect(place?.rank).toBeGreaterThan(1);
  });

  it("are held against the people's median, mean or middle between extremes, by the criterion", () => {
    // 0, 0 and 6 dB for 2, 2 and 1 of 5 people, and 40 dB where nobody sits.
    const people = ratios([0, 0, 6, 40], [2, 2, 1, 0]);
    const here = ratios([2]);
    const bias = (criterion: Criterion) => {
      const found = rankReferences(people, here, { offset: 0, targetTilt: 0, criterion });
      expect(found.positions[0].bias_db + found.audience_db).toBeCloseTo(2, 6);
      return found.audience_db;
    };
    expect(bias("least mean")).toBeCloseTo(0, 6);
    expect(bias("least mean square")).toBeCloseTo(1.2, 6);
    expect(bias("least worst")).toBeCloseTo(3, 6);
  });

  it("are scored by bias, slope and spectrum together, as sides of a right angle", () => {
    // Alone, 3 dB over the people in the eight bands from 20 to 100 Hz of the 27 up to 8 kHz.
    const found = rankReferences(ratios([0]), ratios([3]), { offset: 0, targetTilt: 0, radius: 0.1 });
    const [place] = found.positions;
    const { difference_db } = place;
    expect(found.thirdOctaves_hz).toHaveLength(27);
    expect(found.thirdOctaves_hz[26]).toBe(8000);
    expect(difference_db.slice(0, 7).every((d) => Math.abs(d - 3) < 1e-6)).toBe(true);
    expect(difference_db.slice(9).every((d) => Math.abs(d) < 1e-6)).toBe(true);
    expect(place.bias_db).toBeCloseTo(3, 6);
    // The bands at 100 and 125 Hz, which the crossover of 120 Hz cuts, are between.
    const mean = difference_db.reduce((sum, d) => sum + d, 0) / 27;
    expect(mean).toBeGreaterThan((3 * 8) / 27 - 0.01);
    expect(mean).toBeLessThan((3 * 9) / 27);
    const squares = difference_db.reduce((sum, d) => sum + d * d, 0) / 27;
    expect(place.spectrum_rms_db).toBeCloseTo(Math.sqrt(squares - mean * mean), 9);
    expect(place.score_db).toBeCloseTo(Math.hypot(3, place.spectrum_rms_db), 9);
  });

  it("have a slope from audience and candidates within the radius alone", () => {
    const slope = (radius?: number) =>
      rankReferences(grid(plane, "stalls", 10), ratios([6]), { offset: 0, radius }).positions[0]
        .towardBack_db_per_m;
    // The place is at x = 2 m, the people from 18 m on.
    expect(slope()).toBeNull();
    expect(slope(30)).not.toBeNull();
  });

  it("carry the four bands that mislead most, from 3 dB on, in the order of frequency", () => {
    const off = (levels: Record<number, number>) => {
      const r = banded(flat(0), 0, 120);
      const gain = frequency.map((f) => {
        const hit = Object.entries(levels).find(
          ([centre]) => Math.abs(Math.log2(f / Number(centre))) < 1 / 5.5,
        );
        return hit ? 10 ** (hit[1] / 20) : 1;
      });
      return { ...r, re: r.re.map((x, i) => x * gain[i]), im: r.im.map((x, i) => x * gain[i]) };
    };
    const here = { ...ratios([0]), subs: [off({ 20: 4, 31.5: 6, 40: -2, 50: -9, 80: 8, 63: 7 })] };
    const [place] = rankReferences(ratios([0]), here, { offset: 0, targetTilt: 0 }).positions;
    expect(place.correction.bands.map((b) => b.frequency_hz)).toEqual([31.5, 50, 63, 80]);
    // The grid is not fine enough to give a third octave sharp edges.
    for (const [i, heard] of [6, -9, 7, 8].entries())
      expect(Math.abs(place.correction.bands[i].heard_db - heard)).toBeLessThan(1.5);
    expect(place.notches.map((n) => n.frequency_hz)).toEqual([50]);
    expect(rankReferences(ratios([0]), ratios([0]), { offset: 0 }).positions[0].correction.bands).toEqual([]);
  });

  it("are judged at the offset that suits the audience where none is given, with weights that are the audience's", () => {
    const found = rankReferences(ratios([3, 9], [1, 1]), ratios([3]), { targetTilt: 0, weights: [1, 0] });
    expect(found.offset_db).toBeCloseTo(-3, 4);
    expect(found.positions[0].bias_db).toBeCloseTo(0, 4);
    expect(found.reasons[0]).toContain("−3.0 dB");
  });

  it("say so where no neighbour tells how a step changes things", () => {
    const one = grid(plane);
    const alone: Survey = {
      ...one,
      positions: [position("balcony", { x: 60 }, 0)],
      mains: [one.mains[0]],
      subs: [one.subs[0]],
    };
    const [place] = rankReferences(audience, alone, { offset: 0 }).positions;
    expect(place.towardBack_db_per_m).toBeNull();
    expect(place.reason).toContain("not known");
  });

  const reason = (more: Partial<RankedPosition>, of = 2) =>
    referenceReason(
      {
        rank: 1,
        id: "desk",
        area: "",
        point: { x: 0, y: 0, z: 0 },
        score_db: 0,
        bias_db: 0,
        towardBack_db_per_m: 0,
        towardLeft_db_per_m: 0,
        notches: [],
        spectrum_rms_db: 1.5,
        difference_db: [],
        correction: { low_db: 0, bands: [] },
        ...more,
      },
      of,
    );

  it.each([
    [{ bias_db: 0.4 }, "within half a decibel"],
    [{ bias_db: -0.4 }, "within half a decibel"],
    [{ bias_db: 1.2 }, "1.2 dB more bass"],
    [{ bias_db: -1.2 }, "1.2 dB less bass"],
    [{ towardBack_db_per_m: null, towardLeft_db_per_m: null }, "not known"],
    [{ towardBack_db_per_m: null, towardLeft_db_per_m: 0.1 }, "a step in any direction changes little"],
    [{ towardBack_db_per_m: 0.2, towardLeft_db_per_m: -0.2 }, "changes little"],
    [
      { towardBack_db_per_m: -0.4, towardLeft_db_per_m: 0.3 },
      "toward the back or front changes it by 0.5 dB",
    ],
    [{ towardBack_db_per_m: 0.3, towardLeft_db_per_m: -0.4 }, "sideways changes it by 0.5 dB"],
    [{ towardBack_db_per_m: null, towardLeft_db_per_m: 0.6 }, "sideways changes it by 0.6 dB"],
    [{}, "no notch of its own"],
    [
      { notches: [40, 50, 63, 80].map((frequency_hz) => ({ frequency_hz, depth_db: 5 })) },
      "you miss 40 Hz (5 dB), 50 Hz (5 dB), 63 Hz (5 dB), which",
    ],
    [{ correction: { low_db: 0.7, bands: [] } }, "0.7 dB more than the target"],
    [{ correction: { low_db: -0.7, bands: [] } }, "0.7 dB less than the target"],
  ] as const)("say in words what %j means", (more, words) => {
    expect(reason(more)).toContain(words);
    expect(reason(more)).toContain("Rank 1 of 2");
  });

  it("have no rank in words where there is but one, and no correction where half a decibel is all", () => {
    expect(reason({}, 1)).toMatch(/^"desk": /);
    expect(reason({ correction: { low_db: -0.4, bands: [] } })).not.toContain("Whoever");
  });

  it("are refused when there are none, or on other frequencies", () => {
    const none: Survey = { ...audience, positions: [], mains: [], subs: [] };
    expect(() => rankReferences(audience, none)).toThrow(/no position to rank/);
    const fewer = { ...grid(plane), frequency: frequency.slice(1) };
    expect(() => rankReferences(audience, fewer)).toThrow(/other frequencies/);
    const other = { ...grid(plane), frequency: frequency.map((f) => f * 1.01) };
    expect(() => rankReferences(audience, other)).toThrow(/other frequencies/);
  });
});
