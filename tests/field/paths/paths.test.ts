// Which paths there are about one rectangle anywhere in space, and what stands in their way, worked out along its own axes.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { add, cross, norm, type Point, scale } from "../../../lib/acoustics/point";
import { type Detours, detours } from "../../../lib/field/paths/finite-size";
import { images } from "../../../lib/field/paths/images";
import { type PathOptions, pathFinder } from "../../../lib/field/paths/paths";
import { wallsOf } from "../../../lib/field/paths/walls";
import type { Boundary } from "../../../lib/venue/venue";
import { evenly } from "../../evenly";
import { HARD, source, wall } from "../venues";

const sharp = { finiteSize: false, obstruction: true };
const soft = { finiteSize: true, obstruction: true };

/** The paths of each image, those unheard left out, from a source to a place. */
function paths(boundaries: Boundary[], from: Point, to: Point, options: PathOptions, order = 1) {
  const walls = wallsOf({ boundaries, cavities: [] });
  const find = pathFinder(walls, options);
  const rectangles = walls.map((w) => w.rectangle);
  return images(source(from), rectangles, order).map((image) => find(image, to));
}

const unit = (a: Point) => scale(a, 1 / norm(a));
const metre = evenly(-8, 8);
const vector = fc.record({ x: metre, y: metre, z: metre });
/** A rectangle of 6 m by 4 m anywhere; places by metres along its sides from its middle, and above it. */
const panel = fc
  .tuple(vector, vector, vector)
  .filter(([, a, b]) => norm(a) > 1 && norm(b) > 1 && norm(cross(unit(a), unit(b))) > 0.2)
  .map(([middle, a, b]) => {
    const u = unit(a);
    const v = unit(cross(cross(a, b), a));
    const n = cross(u, v);
    const place = (s: number, t: number, h: number) =>
      add(middle, add(add(scale(u, s), scale(v, t)), scale(n, h)));
    const corners = [place(-3, -2, 0), place(3, -2, 0), place(3, 2, 0), place(-3, 2, 0)] as const;
    return { boundary: { name: "panel", corners, absorption: HARD } as Boundary, place };
  });
const height = fc.tuple(evenly(0.3, 6), fc.constantFrom(1, -1)).map(([h, sign]) => h * sign);
const spot = fc.record({ s: evenly(-9, 9), t: evenly(-7, 7), h: height });

/** Where the way between two spots, or between one and the other's mirror image, goes through the plane. */
const through = (a: { s: number; t: number; h: number }, b: { s: number; t: number; h: number }) => {
  const share = Math.abs(a.h) / (Math.abs(a.h) + Math.abs(b.h));
  const [ds, dt] = [b.s - a.s, b.t - a.t];
  const whole = Math.hypot(ds, dt, Math.abs(a.h) + Math.abs(b.h));
  return {
    u: a.s + share * ds + 3,
    v: a.t + share * dt + 2,
    before: share * whole,
    after: (1 - share) * whole,
    cosU: ds / whole,
    cosV: dt / whole,
  };
};
const isOn = ({ u, v }: { u: number; v: number }) => u > 0 && u < 6 && v > 0 && v < 4;
/** On an edge either may be taken. */
const nearEdge = ({ u, v }: { u: number; v: number }) =>
  Math.min(...[u, u - 6, v, v - 4].map(Math.abs)) < 1e-6;
const expectDetours = (found: Detours | undefined, expected: Detours) =>
  expected.forEach((x, i) => void expect(found?.[i]).toBeCloseTo(x, 6));

describe("one rectangle", () => {
  it("reflects to the source's side alone, where the mirrored way meets it", () => {
    fc.assert(
      fc.property(panel, spot, spot, ({ boundary, place }, a, b) => {
        const at = through(a, b);
        fc.pre(!nearEdge(at));
        const [, reflected] = paths([boundary], place(a.s, a.t, a.h), place(b.s, b.t, b.h), sharp);
        expect(reflected !== undefined).toBe(a.h * b.h > 0 && isOn(at));
        if (!reflected) return;
        expect(reflected.length).toBeCloseTo(at.before + at.after, 7);
        expect(reflected.hits[0].u).toBeCloseTo(at.u, 7);
        expect(reflected.hits[0].v).toBeCloseTo(at.v, 7);
        expect(reflected.edges).toEqual([undefined]);
      }),
      { numRuns: 300 },
    );
  });

  it("as a finite one reflects as well beside its edges, with the detours over each, and nowhere from behind", () => {
    fc.assert(
      fc.property(panel, spot, spot, ({ boundary, place }, a, b) => {
        const at = through(a, b);
        fc.pre(!nearEdge(at));
        const [, reflected] = paths([boundary], place(a.s, a.t, a.h), place(b.s, b.t, b.h), soft);
        if (a.h * b.h < 0) {
          expect(reflected).toBeUndefined();
          return;
        }
        if (isOn(at)) expect(reflected).toBeDefined();
        // At 8.6 m of wavelength less than a tenth is left beyond an edge by v = 2.25: by a detour of 10.9 m.
        const d = detours(at, { fromU: 0, toU: 6, fromV: 0, toV: 4 });
        if (Math.min(...d) < -11) expect(reflected).toBeUndefined();
        if (reflected?.edges[0]) expectDetours(reflected.edges[0], d);
      }),
      { numRuns: 300 },
    );
  });

  it("stands in the way where the way goes through it, with the detours over its edges", () => {
    fc.assert(
      fc.property(panel, spot, spot, ({ boundary, place }, a, b) => {
        const at = through(a, b);
        fc.pre(!nearEdge(at));
        const [start, end] = [place(a.s, a.t, a.h), place(b.s, b.t, b.h)];
        const [direct] = paths([boundary], start, end, soft);
        if (a.h * b.h > 0) {
          expect(direct?.obstructions).toEqual([]);
          return;
        }
        if (isOn(at)) expect(direct?.obstructions.length).toBe(1);
        const d = detours(at, { fromU: 0, toU: 6, fromV: 0, toV: 4 });
        if (direct?.obstructions.length) expectDetours(direct.obstructions[0].detours, d);
        else expect(Math.min(...d)).toBeLessThan(0);
        const [open] = paths([boundary], start, end, { ...soft, obstruction: false });
        expect(open?.obstructions).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});

describe("a screen across the way over the floor", () => {
  const high = fc.double({ min: 0.5, max: 5, noNaN: true });

  // The way over an endless floor is the straight one to the mirrored place: the screen stands in it before the floor or after.
  it("acts as on the straight way to or from the mirror image", () => {
    fc.assert(
      fc.property(high, high, evenly(2, 10), evenly(-3, 3), (from, to, x, y) => {
        const screen: Boundary = {
          name: "screen",
          corners: [
            { x, y: -2, z: 0.05 },
            { x, y: 2, z: 0.05 },
            { x, y: 2, z: 6 },
            { x, y: -2, z: 6 },
          ],
          absorption: HARD,
        };
        const [start, end] = [
          { x: 0, y: 0, z: from },
          { x: 12, y, z: to },
        ];
        const floor = wall("z", 0);
        const over = paths([floor, screen], start, end, soft)[1];
        const crossing = from - ((from + to) * x) / 12;
        fc.pre(Math.abs(crossing) > 0.1);
        const mirrored =
          crossing > 0
            ? paths([screen], start, { ...end, z: -to }, soft)[0]
            : paths([screen], { ...start, z: -from }, end, soft)[0];
        fc.pre(over !== undefined);
        // The floor closes the screen's lower edge; the other three are as they were.
        const [found, expected] = [over?.obstructions[0]?.detours, mirrored?.obstructions[0]?.detours];
        if (!found || !expected) return;
        for (const edge of [0, 1, 3]) expect(found[edge]).toBeCloseTo(expected[edge], 6);
      }),
    );
  });

  it("of endless size leaves the direct sound to fade in its shadow, and no reflection worth the while", () => {
    const [direct, , byFloor] = paths(
      [wall("x", 5), wall("z", 0)],
      { x: 0, y: 0, z: 1 },
      { x: 9, y: 0, z: 1 },
      soft,
    );
    expect(direct?.obstructions.length).toBe(1);
    expect(byFloor).toBeUndefined();
  });
});

describe("beside an edge", () => {
  const floor = (): Boundary => ({
    name: "floor",
    corners: [
      { x: 0, y: 0, z: 0 },
      { x: 10, y: 0, z: 0 },
      { x: 10, y: 10, z: 0 },
      { x: 0, y: 10, z: 0 },
    ],
    absorption: HARD,
  });
  /** A wall that stands on one of its edges, from a hand's breadth up. */
  const closing = (x: [number, number], y: [number, number]): Boundary => ({
    name: "wall",
    corners: [
      { x: x[0], y: y[0], z: 0.2 },
      { x: x[1], y: y[1], z: 0.2 },
      { x: x[1], y: y[1], z: 4 },
      { x: x[0], y: y[0], z: 4 },
    ],
    absorption: HARD,
  });
  it.each([
    ["at the first side's start", { x: -0.5, y: 5 }, closing([0, 0], [0, 10])],
    ["at the first side's end", { x: 10.5, y: 5 }, closing([10, 10], [0, 10])],
    ["at the second side's start", { x: 5, y: -0.5 }, closing([0, 10], [0, 0])],
    ["at the second side's end", { x: 5, y: 10.5 }, closing([0, 10], [10, 10])],
  ])("%s a floor reflects where that is free, and nothing where a wall closes it", (_, { x, y }, other) => {
    const [start, end] = [
      { x, y, z: 1 },
      { x, y, z: 1.5 },
    ];
    expect(paths([floor()], start, end, soft)[1]?.edges[0]?.some((d) => d < 0)).toBe(true);
    expect(paths([floor(), other], start, end, soft)[1]).toBeUndefined();
    // The wall at the opposite edge changes nothing here.
    const inside = { x: Math.min(9.5, Math.max(0.5, x)), y: Math.min(9.5, Math.max(0.5, y)), z: 1 };
    expect(paths([floor(), other], inside, inside, soft)[1]?.hits.length).toBe(1);
  });

  it("that a wall closes the floor goes on as its own mirror image: the detour is that over its far edge", () => {
    const [free, closed] = [[floor()], [floor(), closing([10, 10], [0, 10])]].map(
      (boundaries) => paths(boundaries, { x: 9, y: 3, z: 1 }, { x: 9, y: 7, z: 1 }, soft)[1]?.edges[0],
    );
    // From 1 m above and back by an edge a metres away, 4 m along it.
    const over = (a: number) => Math.hypot(2 * Math.hypot(1, a), 4) - Math.hypot(2, 4);
    expect(free?.[1]).toBeCloseTo(over(1), 9);
    expect(closed?.[1]).toBeCloseTo(over(11), 9);
  });
});
