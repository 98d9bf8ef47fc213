import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Pattern, patternFactor, patternFactors } from "../../../lib/acoustics/directivity/pattern";
import { add, cross, norm, type Point, scale } from "../../../lib/acoustics/point";
import { evenly } from "../../evenly";

const coordinate = evenly(-1, 1);
const vector = fc.record({ x: coordinate, y: coordinate, z: coordinate }).filter((v) => norm(v) > 0.1);
const unit = (v: Point) => scale(v, 1 / norm(v));
const orientation = fc
  .tuple(vector, vector)
  .filter(([a, b]) => norm(cross(a, b)) > 0.05)
  .map(([a, b]) => ({ axis: unit(a), up: unit(cross(cross(a, b), a)) }));
const pattern = fc.oneof<fc.Arbitrary<Pattern>[]>(
  fc.constant({ kind: "omni" as const }),
  fc.record({ kind: fc.constant("first-order" as const), a: evenly(0, 1) }),
  fc.record({ kind: fc.constant("sphere" as const), radius: evenly(0.1, 1.5) }),
  fc.record({
    kind: fc.constant("piston" as const),
    width: fc.double({ min: 0.1, max: 2, noNaN: true }),
    height: fc.double({ min: 0.1, max: 2, noNaN: true }),
    rear: evenly(0, 30),
  }),
);
const k = fc.double({ min: 0.2, max: 300, noNaN: true });
const forward = { axis: { x: 1, y: 0, z: 0 }, up: { x: 0, y: 0, z: 1 } };
const piston = { kind: "piston", width: 1, height: 0.3, rear: 20 } as const;

describe("pattern of an aimed loudspeaker", () => {
  it("is 1 on axis, however far and wherever it is aimed", () => {
    fc.assert(
      fc.property(pattern, orientation, k, fc.double({ min: 0.1, max: 100, noNaN: true }), (p, o, kk, r) => {
        expect(patternFactor(p, o, scale(o.axis, r), kk)).toBeCloseTo(1, 6);
      }),
    );
  });

  it("is the same left and right, above and below", () => {
    fc.assert(
      fc.property(pattern, orientation, k, coordinate, coordinate, coordinate, (p, o, kk, a, b, c) => {
        const right = cross(o.axis, o.up);
        const toward = (x: number, y: number, z: number) =>
          add(add(scale(o.axis, x), scale(right, y)), scale(o.up, z));
        fc.pre(Math.hypot(a, b, c) > 0.1);
        const factor = patternFactor(p, o, toward(a, b, c), kk);
        expect(patternFactor(p, o, toward(a, -b, c), kk)).toBeCloseTo(factor, 9);
        expect(patternFactor(p, o, toward(a, b, -c), kk)).toBeCloseTo(factor, 9);
      }),
    );
  });

  it("is the same at any distance in one direction", () => {
    const far = fc.double({ min: 0.01, max: 300, noNaN: true });
    fc.assert(
      fc.property(pattern, orientation, k, vector, far, (p, o, kk, direction, r) => {
        const [near, away] = [direction, scale(direction, r)].map((d) => patternFactor(p, o, d, kk));
        expect(away).toBeCloseTo(near, 9);
      }),
    );
  });

  it("a cardioid is 6 dB down at the side and silent behind", () => {
    const cardioid = { kind: "first-order", a: 0.5 } as const;
    expect(patternFactor(cardioid, forward, { x: 0, y: 7, z: 0 }, 3)).toBeCloseTo(0.5, 12);
    expect(patternFactor(cardioid, forward, { x: -7, y: 0, z: 0 }, 3)).toBeCloseTo(0, 12);
    expect(patternFactor({ kind: "first-order", a: 1 }, forward, { x: -2, y: 0, z: 0 }, 3)).toBeCloseTo(
      -1,
      12,
    );
  });

  it("a piston has its first null where its wide side is one wavelength across, turned with the cabinet", () => {
    // λ = 0.5 m: sine 0.5 across the 1 m side; the 0.3 m side has none.
    const kk = (2 * Math.PI) / 0.5;
    const aside = Math.sqrt(0.75);
    expect(patternFactor(piston, forward, { x: aside, y: 0.5, z: 0 }, kk)).toBeCloseTo(0, 12);
    expect(patternFactor(piston, forward, { x: aside, y: 0, z: 0.5 }, kk)).toBeGreaterThan(0.5);
    const turned = { axis: forward.axis, up: { x: 0, y: 1, z: 0 } };
    expect(patternFactor(piston, turned, { x: aside, y: 0, z: 0.5 }, kk)).toBeCloseTo(0, 12);
  });

  it("behind, a piston large against the wavelength is down by its rear figure, a small one is not", () => {
    const behind = { x: -3, y: 0, z: 0 };
    expect(20 * Math.log10(patternFactor(piston, forward, behind, 200))).toBeCloseTo(-20, 1);
    expect(20 * Math.log10(patternFactor(piston, forward, behind, 0.1))).toBeGreaterThan(-0.1);
  });

  it("passes from front to rear without a step", () => {
    for (const kk of [1, 10, 100]) {
      const before = patternFactor(piston, forward, { x: 1e-6, y: 1, z: 0.2 }, kk);
      const after = patternFactor(piston, forward, { x: -1e-6, y: 1, z: 0.2 }, kk);
      expect(Math.abs(before - after)).toBeLessThan(1e-4);
    }
  });

  it("fills an array it is given, and refuses a direction without length", () => {
    const into = new Float64Array(2);
    expect(patternFactors(piston, forward, { x: 1, y: 0, z: 0 }, Float64Array.of(1, 2), into)).toBe(into);
    expect(into).toEqual(Float64Array.of(1, 1));
    expect(() => patternFactor(piston, forward, { x: 0, y: 0, z: 0 }, 1)).toThrow(
      "length of the direction is 0",
    );
  });
});
