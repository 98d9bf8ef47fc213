import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { add, cross, distance, dot, norm, type Point, scale } from "../../../lib/acoustics/point";
import {
  heightAbove,
  localPoint,
  mirrorDirection,
  mirrorPoint,
  rectangle,
} from "../../../lib/field/paths/rectangle";
import { evenly } from "../../evenly";

const number = evenly(-20, 20);
const point = fc.record({ x: number, y: number, z: number });
const side = fc.double({ min: 0.1, max: 30, noNaN: true });
const unit = (a: Point) => scale(a, 1 / norm(a));

/** A rectangle anywhere: its first corner, its sides' directions and lengths. */
const made = fc
  .record({ origin: point, a: point, b: point, width: side, height: side })
  .filter(({ a, b }) => norm(a) > 0.1 && norm(b) > 0.1 && norm(cross(unit(a), unit(b))) > 0.1)
  .map(({ origin, a, b, width, height }) => {
    const u = unit(a);
    const v = unit(cross(cross(a, b), a));
    const [right, up] = [scale(u, width), scale(v, height)];
    const corners = [origin, add(origin, right), add(add(origin, right), up), add(origin, up)] as const;
    return { r: rectangle([...corners]), origin, u, v, width, height };
  });

describe("a rectangle", () => {
  it("finds a point by its place along the sides and its height above", () => {
    fc.assert(
      fc.property(made, number, number, number, ({ r, origin, u, v, width, height }, s, t, h) => {
        expect(r.width).toBeCloseTo(width, 9);
        expect(r.height).toBeCloseTo(height, 9);
        const n = cross(u, v);
        const p = add(origin, add(add(scale(u, s), scale(v, t)), scale(n, h)));
        const local = localPoint(r, p);
        expect(local.u).toBeCloseTo(s, 9);
        expect(local.v).toBeCloseTo(t, 9);
        expect(heightAbove(r, p)).toBeCloseTo(h, 9);
      }),
    );
  });

  it("mirrors a point straight to its other side, and back", () => {
    fc.assert(
      fc.property(made, point, ({ r }, p) => {
        const image = mirrorPoint(r, p);
        expect(heightAbove(r, image)).toBeCloseTo(-heightAbove(r, p), 9);
        const [a, b] = [localPoint(r, p), localPoint(r, image)];
        expect(a.u).toBeCloseTo(b.u, 9);
        expect(a.v).toBeCloseTo(b.v, 9);
        expect(distance(mirrorPoint(r, image), p)).toBeCloseTo(0, 9);
      }),
    );
  });

  it("mirrors a direction as it mirrors the way between two points", () => {
    fc.assert(
      fc.property(made, point, point, ({ r }, p, d) => {
        const mirrored = mirrorDirection(r, d);
        expect(distance(mirrorPoint(r, add(p, d)), add(mirrorPoint(r, p), mirrored))).toBeCloseTo(0, 9);
        expect(dot(mirrored, mirrored)).toBeCloseTo(dot(d, d), 7);
      }),
    );
  });

  it("of a side without length is refused by name", () => {
    const [o, x, y] = [
      { x: 0, y: 0, z: 0 },
      { x: 1, y: 0, z: 0 },
      { x: 0, y: 1, z: 0 },
    ];
    expect(() => rectangle([o, o, y, y], "boundary A")).toThrow("boundary A has a side of no length");
    expect(() => rectangle([o, x, x, o])).toThrow("rectangle has a side of no length");
  });
});
