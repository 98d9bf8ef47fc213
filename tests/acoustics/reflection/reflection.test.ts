import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cross, distance, dot, norm, type Point, scale, subtract } from "../../../lib/acoustics/point";
import {
  combDepth,
  imagePoint,
  notchFrequencies,
  pathDifference,
  pathDifferenceOfNotch,
  wallDistanceOfNotch,
} from "../../../lib/acoustics/reflection/reflection";
import { evenly } from "../../evenly";

const coordinate = evenly(-50, 50);
const point = fc.record({ x: coordinate, y: coordinate, z: coordinate });
const plane = fc.record({ point, normal: point.filter((n) => norm(n) > 0.1) });
const floor = { point: { x: 0, y: 0, z: 0 }, normal: { x: 0, y: 0, z: 3 } };

describe("image in a plane", () => {
  it("lies as far behind the plane as the point stands before it, on its normal", () => {
    expect(imagePoint({ x: 2, y: -1, z: 1.5 }, floor)).toEqual({ x: 2, y: -1, z: -1.5 });
    fc.assert(
      fc.property(point, plane, (p, m) => {
        const image = imagePoint(p, m);
        expect(norm(cross(subtract(image, p), m.normal)) / norm(m.normal)).toBeLessThan(1e-9);
        const middle = scale({ x: p.x + image.x, y: p.y + image.y, z: p.z + image.z }, 0.5);
        expect(Math.abs(dot(subtract(middle, m.point), m.normal)) / norm(m.normal)).toBeLessThan(1e-9);
      }),
    );
  });

  it("the path over it is the shortest way that touches the plane", () => {
    fc.assert(
      fc.property(point, point, coordinate, coordinate, (a, b, x, y) => {
        const source: Point = { ...a, z: Math.abs(a.z) };
        const receiver: Point = { ...b, z: Math.abs(b.z) };
        const touch = { x, y, z: 0 };
        const over = pathDifference(source, receiver, floor) + distance(source, receiver);
        expect(over).toBeLessThanOrEqual(distance(source, touch) + distance(touch, receiver) + 1e-9);
        expect(over).toBeGreaterThanOrEqual(distance(source, receiver) - 1e-9);
      }),
    );
  });

  it("at the plane itself the path over it is no longer than the direct one", () => {
    fc.assert(
      fc.property(point, coordinate, coordinate, (p, x, y) => {
        const touch = { x, y, z: 0 };
        expect(pathDifference(p, touch, floor)).toBeCloseTo(0, 9);
        expect(pathDifference(touch, p, floor)).toBeCloseTo(0, 9);
      }),
    );
  });

  it("nothing is reflected between two sides of a plane", () => {
    expect(() => pathDifference({ x: 0, y: 0, z: 1 }, { x: 0, y: 0, z: -1 }, floor)).toThrow(
      "different sides",
    );
    expect(() => imagePoint({ x: 0, y: 0, z: 1 }, { ...floor, normal: { x: 0, y: 0, z: 0 } })).toThrow(
      "normal",
    );
  });
});

describe("comb of one reflection", () => {
  // Everest, Master Handbook of Acoustics, comb filters (from memory): a delay of 1 ms has nulls at 500, 1500, 2500 Hz.
  it("1 ms later has notches at 500, 1500, 2500 Hz", () => {
    expect(notchFrequencies(0.343, 343, 2600).map(Math.round)).toEqual([500, 1500, 2500]);
    expect(notchFrequencies(0.343, 343, 499)).toEqual([]);
  });

  it("direct and reflected sound summed as complex numbers cancel there", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 20, noNaN: true }),
        fc.double({ min: 320, max: 360, noNaN: true }),
        (d, c) => {
          const sum = (f: number) =>
            Math.hypot(1 + Math.cos((2 * Math.PI * f * d) / c), Math.sin((2 * Math.PI * f * d) / c));
          for (const f of notchFrequencies(d, c, 1000)) expect(sum(f)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  // Everest, Master Handbook of Acoustics (from memory): with the reflection at 0.9, 0.5, 0.1 of the direct amplitude
  // peaks reach 5.6, 3.5, 0.8 dB and dips −20, −6.0, −0.9 dB.
  it("notches are −20, −6.0, −0.9 dB deep and peaks 5.6, 3.5, 0.8 dB high at amplitudes of 0.9, 0.5, 0.1", () => {
    for (const [ratio, peak, notch] of [
      [0.9, 5.6, -20],
      [0.5, 3.5, -6.0],
      [0.1, 0.8, -0.9],
    ]) {
      const depth = combDepth(20 * Math.log10(ratio));
      expect(depth.peak).toBeCloseTo(peak, 1);
      expect(depth.notch).toBeCloseTo(notch, 1);
      expect(depth.ripple).toBeCloseTo(depth.peak - depth.notch, 12);
    }
    expect(combDepth(0).notch).toBe(-Infinity);
  });

  // Half space: a source on a hard floor and its image are one, in phase everywhere.
  it("a source on the floor is 6.02 dB louder than in free field, without a comb", () => {
    const onFloor = { x: 0, y: 0, z: 0 };
    for (const receiver of [
      { x: 3, y: 1, z: 0 },
      { x: 30, y: -7, z: 4 },
    ]) {
      expect(pathDifference(onFloor, receiver, floor)).toBeCloseTo(0, 12);
    }
    expect(combDepth(0).peak).toBeCloseTo(6.0206, 4);
  });
});

describe("from a notch back to its path", () => {
  // Common practice, no source: a sub 1.65 m before a wall has its notch at about 52 Hz.
  it("a wall 1.65 m behind a sub makes a notch at 52 Hz, and a notch at 52 Hz tells of a wall at 1.65 m", () => {
    const wall = { point: { x: -1.65, y: 0, z: 0 }, normal: { x: 1, y: 0, z: 0 } };
    const d = pathDifference({ x: 0, y: 0, z: 0 }, { x: 20, y: 0, z: 0 }, wall);
    expect(notchFrequencies(d, 343.2, 100)[0]).toBeCloseTo(52, 0);
    expect(wallDistanceOfNotch(52, 343.2)).toBeCloseTo(1.65, 2);
    expect(wallDistanceOfNotch(156, 343.2, 2)).toBeCloseTo(1.65, 2);
  });

  it("every notch of a series leads back to the path that made it", () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 20, noNaN: true }), (d) => {
        notchFrequencies(d, 340, 500).forEach((f, i) => {
          expect(pathDifferenceOfNotch(f, 340, i + 1)).toBeCloseTo(d, 9);
        });
      }),
    );
    expect(() => pathDifferenceOfNotch(0, 340)).toThrow("frequency is 0");
    expect(() => pathDifferenceOfNotch(50, 340, 0)).toThrow("order of the notch is 0");
    expect(() => notchFrequencies(1000, 340, 1e6)).toThrow("number of frequencies in the series");
    expect(() => notchFrequencies(-1, 340, 500)).toThrow("path difference is -1");
  });
});
