import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { balance } from "../../../lib/decision/balance/balance";
import { spread } from "../../../lib/decision/balance/spread";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { flat, frequency, pointSource, position, survey } from "../synthetic";

/** A hall with nothing but distance: mains in the air, subs on the floor. */
function hall(depths: readonly number[], across: readonly number[] = [0], height = 8) {
  const positions = depths.flatMap((x) => across.map((y) => position(`x${x} y${y}`, { x, y, z: 1.2 })));
  const origins = { mains: [{ x: 0, y: 0, z: height }], subs: [{ x: 0, y: 0, z: 0 }] };
  return {
    origins,
    survey: survey(
      positions,
      positions.map((p) => pointSource(origins.mains[0], p.point, 20)),
      positions.map((p) => pointSource(origins.subs[0], p.point, 20)),
    ),
  };
}

describe("spread where distance is all there is", () => {
  // A distance ratio of 9 is 19.08 dB and one of 9.5 is 19.55 dB (20 lg by table); common practice, no source: a drop
  // of 18 to 19.5 dB from front to back was measured where the ratio was about 9.5.
  it("is 19.1 dB for a distance ratio of 9 and 19.6 dB for 9.5, all of it explained", () => {
    for (const [ratio, drop] of [
      [9, 19.085],
      [9.5, 19.554],
    ]) {
      const positions = [position("front", { x: 3, z: 0 }), position("back", { x: 3 * ratio, z: 0 })];
      const s = survey(
        positions,
        positions.map(() => flat(0)),
        positions.map((p) => pointSource({ x: 0, y: 0, z: 0 }, p.point)),
      );
      const found = spread(s).subs.low;
      expect(found.frontToBack_db).toBeCloseTo(drop, 2);
      expect(found.restFrontToBack_db).toBeCloseTo(0, 6);
      expect(found.distance_fraction).toBeCloseTo(1, 9);
      expect(found.perDoubling_db).toBeCloseTo(-6.02, 2);
    }
  });
  it("keeps apart what distance does not explain", () => {
    const { survey: s, origins } = hall([3, 6, 12, 24]);
    // The back row 4 dB louder than distance says.
    const subs = s.subs.map((r, i) =>
      i === 3 ? { ...r, re: r.re.map((x) => x * 10 ** 0.2), im: r.im.map((x) => x * 10 ** 0.2) } : r,
    );
    const found = spread({ ...s, subs }, { origins });
    expect(found.subs.low.restFrontToBack_db).toBeCloseTo(-4, 6);
    expect(found.mains.mid.restFrontToBack_db).toBeCloseTo(0, 6);
    expect(found.subs.low.distance_fraction).toBeLessThan(1);
  });
  it("tells sides and depth apart", () => {
    const { survey: s, origins } = hall([5, 10], [-4, 0, 4]);
    // House left 2 dB louder everywhere: distance alone makes both sides alike.
    const louder = s.subs.map((r, i) => {
      const g = s.positions[i].point.y > 0 ? 10 ** 0.1 : 1;
      return { ...r, re: r.re.map((x) => x * g), im: r.im.map((x) => x * g) };
    });
    expect(spread(s, { origins }).subs.low.leftToRight_db).toBeCloseTo(0, 6);
    expect(spread({ ...s, subs: louder }, { origins }).subs.low.leftToRight_db).toBeCloseTo(2, 6);
  });
  it("has no sides and no doubling where there is but one position, and no number that is not finite", () => {
    const { survey: s } = hall([5]);
    const found = spread(s);
    expect(found.subs.low.sideToSide_db).toBeNull();
    expect(found.subs.low.perDoubling_db).toBeNull();
    expect(
      JSON.stringify(found, (_, v) => (typeof v === "number" && !Number.isFinite(v) ? "BAD" : v)),
    ).not.toContain("BAD");
  });
});

// Common practice, no source.
describe("what system technicians say about front and back", () => {
  const shapes = fc.record({
    height: fc.double({ min: 5, max: 14, noNaN: true }),
    front: fc.double({ min: 2, max: 5, noNaN: true }),
    rows: fc.integer({ min: 8, max: 25 }),
  });
  it("deciding in the middle costs the audience less than deciding from the front row or the back row", () => {
    fc.assert(
      fc.property(shapes, ({ height, front, rows }) => {
        // Subs only below the crossover, so that distance alone decides.
        const { survey: s } = hall(
          Array.from({ length: rows }, (_, i) => front + i),
          [0],
          height,
        );
        const keep = (x: Float64Array, low: boolean) => x.map((v, i) => (frequency[i] < 120 === low ? v : 0));
        const split = {
          ...s,
          mains: s.mains.map((r) => ({ ...r, re: keep(r.re, false), im: keep(r.im, false) })),
          subs: s.subs.map((r) => ({ ...r, re: keep(r.re, true), im: keep(r.im, true) })),
        };
        const found = levelOffset(split);
        const loss = Object.fromEntries(found.preferred.map((a) => [a.who, a.loss_db]));
        expect(loss.middle).toBeLessThan(loss["front row"]);
        expect(loss.middle).toBeLessThan(loss["back row"] + 1e-9);
        const front_ = balance(split).positions[0].deviation_db;
        const back_ = balance(split).positions[rows - 1].deviation_db;
        expect(front_).toBeGreaterThan(back_);
      }),
      { numRuns: 25 },
    );
  });
});
