import { describe, expect, it } from "vitest";
import { rankReferences } from "../../../lib/decision/reference/rank";
import type { Survey } from "../../../lib/survey/survey";
import { banded, flat, frequency, position, survey } from "../synthetic";

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

  it("are refused when there are none, or on other frequencies", () => {
    const none: Survey = { ...audience, positions: [], mains: [], subs: [] };
    expect(() => rankReferences(audience, none)).toThrow(/no position to rank/);
    const other = { ...grid(plane), frequency: frequency.map((f) => f * 1.01) };
    expect(() => rankReferences(audience, other)).toThrow(/other frequencies/);
  });
});
