// What holds of detours over edges, and of what edges leave, whatever the rectangle.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  applyFiniteSize,
  type Detours,
  detours,
  type FiniteSizeAct,
  isWhole,
  mostPassed,
  mostReflected,
} from "../../../lib/field/paths/finite-size";
import { addEdge } from "../../../lib/field/paths/fresnel";
import { evenly } from "../../evenly";

const C = 343.2;
const frequency = Float64Array.of(25, 40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000);
const root = frequency.map((f) => Math.sqrt(f / C));
/** Metres. */
const metres = evenly;

/** A detour: small or large, on either side of the edge, or no edge at all. */
const detour = fc.oneof(
  metres(1e-4, 0.5),
  metres(0.5, 30),
  metres(-30, -0.5),
  metres(-0.5, -1e-4),
  fc.constant(Infinity),
);
/** Of opposite edges a path can be beyond one only, and then the other is farther. */
const direction = fc.tuple(detour, detour).filter(([a, b]) => Math.max(a, b) >= Math.abs(Math.min(a, b)));
const anyDetours = fc.tuple(direction, direction).map(([[a, b], [c, d]]): Detours => [a, b, c, d]);

/** What is left of a wave of 1 at each frequency. */
function left(d: Detours, act: FiniteSizeAct = "reflected") {
  const re = new Float64Array(frequency.length).fill(1);
  const im = new Float64Array(frequency.length);
  applyFiniteSize(re, im, 0, d, root, act);
  return { re, im };
}

function expectSame(a: ReturnType<typeof left>, b: ReturnType<typeof left>, digits = 9): void {
  a.re.forEach((x, f) => {
    expect(x).toBeCloseTo(b.re[f], digits);
    expect(a.im[f]).toBeCloseTo(b.im[f], digits);
  });
}

describe("the detour over an edge", () => {
  it("is the shortest way by a point of the edge less the way itself, negative where the path passes outside", () => {
    const height = metres(0.2, 10);
    const place = metres(-6, 6);
    fc.assert(
      fc.property(
        height,
        height,
        place,
        place,
        place,
        place,
        metres(1, 8),
        metres(1, 8),
        (h1, h2, x1, y1, x2, y2, w, h) => {
          // The path goes through the plane z = 0 from a point above to one below; the rectangle lies from 0 to w and 0 to h.
          const share = h1 / (h1 + h2);
          const [dx, dy, dz] = [x2 - x1, y2 - y1, -h2 - h1];
          const whole = Math.hypot(dx, dy, dz);
          const [u, v] = [x1 + share * dx, y1 + share * dy];
          const before = whole * share;
          // On an edge itself either side may be taken.
          fc.pre(Math.min(Math.abs(u), Math.abs(u - w), Math.abs(v - h)) > 1e-6);
          const found = detours(
            { u, v, before, after: whole - before, cosU: dx / whole, cosV: dy / whole },
            { fromU: 0, toU: w, fromV: -Infinity, toV: h },
          );
          const over = (by: (s: number) => [x: number, y: number]) => {
            const way = (s: number) => {
              const [x, y] = by(s);
              return Math.hypot(x - x1, y - y1, h1) + Math.hypot(x - x2, y - y2, h2);
            };
            // The way is convex along the edge: by thirds to its least.
            let [low, high] = [-40, 40];
            for (let i = 0; i < 90; i++) {
              const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
              if (way(a) < way(b)) high = b;
              else low = a;
            }
            return way((low + high) / 2) - whole;
          };
          const expected = [over((s) => [0, s]), over((s) => [w, s]), over((s) => [s, h])];
          [found[0], found[1], found[3]].forEach(
            (x, i) => void expect(Math.abs(x)).toBeCloseTo(expected[i], 6),
          );
          expect(found[2]).toBe(Infinity);
          expect([found[0] < 0, found[1] < 0, found[3] < 0]).toEqual([u < 0, u > w, v > h]);
        },
      ),
    );
  });
});

describe("a finite rectangle", () => {
  it("leaves in reflection and lets pass together all there is (Babinet)", () => {
    fc.assert(
      fc.property(anyDetours, (d) => {
        const [reflected, passed] = [left(d), left(d, "passed")];
        expectSame(
          {
            re: reflected.re.map((x, f) => x + passed.re[f]),
            im: reflected.im.map((x, f) => x + passed.im[f]),
          },
          { re: new Float64Array(frequency.length).fill(1), im: new Float64Array(frequency.length) },
        );
      }),
    );
  });

  it("of a single edge and the rest of its plane make a whole: F(−d) = 1 − F(d)", () => {
    fc.assert(
      fc.property(metres(1e-4, 30), (d) => {
        const no = Infinity;
        expectSame(left([-d, no, no, no]), left([d, no, no, no], "passed"));
        expectSame(left([no, no, no, -d]), left([no, no, no, d], "passed"));
      }),
    );
  });

  it("is the same whichever way round its sides are counted", () => {
    fc.assert(
      fc.property(
        anyDetours,
        fc.constantFrom<FiniteSizeAct>("reflected", "passed", "in shadow"),
        (d, act) => {
          const [a, b, c, e] = d;
          const one = left(d, act);
          for (const turned of [
            [b, a, c, e],
            [a, b, e, c],
            [c, e, a, b],
          ] as const)
            expectSame(left(turned, act), one);
        },
      ),
    );
  });

  it("has the product of its two directions, each as if the other had no edge", () => {
    fc.assert(
      fc.property(anyDetours, ([a, b, c, e]) => {
        const [across, along] = [left([a, b, Infinity, Infinity]), left([Infinity, Infinity, c, e])];
        expectSame(left([a, b, c, e]), {
          re: across.re.map((x, f) => x * along.re[f] - across.im[f] * along.im[f]),
          im: across.re.map((x, f) => x * along.im[f] + across.im[f] * along.re[f]),
        });
      }),
    );
  });

  it("acts on any wave as on one of 1, from where it is told", () => {
    fc.assert(
      fc.property(
        anyDetours,
        fc.constantFrom<FiniteSizeAct>("reflected", "passed", "in shadow"),
        (d, act) => {
          const n = frequency.length;
          const [re, im] = [new Float64Array(n + 8).fill(3), new Float64Array(n + 8).fill(-2)];
          applyFiniteSize(re, im, 4, d, root, act);
          const one = left(d, act);
          expectSame(
            { re: re.slice(4, 4 + n), im: im.slice(4, 4 + n) },
            {
              re: one.re.map((x, f) => 3 * x + 2 * one.im[f]),
              im: one.re.map((x, f) => 3 * one.im[f] - 2 * x),
            },
          );
          expect([...re.slice(0, 4), ...re.slice(4 + n)]).toEqual(Array(8).fill(3));
          expect([...im.slice(0, 4), ...im.slice(4 + n)]).toEqual(Array(8).fill(-2));
        },
      ),
    );
  });

  it("shadows as it lets pass while its nearest edge is within v = 4, and keeps ever less beyond", () => {
    fc.assert(
      fc.property(anyDetours, (d) => {
        const [shadow, passed] = [left(d, "in shadow"), left(d, "passed")];
        const nearest = Math.min(...d.map(Math.abs));
        const outside = d.some((x) => x < 0);
        frequency.forEach((_, f) => {
          const v = 2 * Math.sqrt(nearest) * root[f];
          if (v < 4 || outside) {
            expect(shadow.re[f]).toBeCloseTo(passed.re[f], 9);
            expect(shadow.im[f]).toBeCloseTo(passed.im[f], 9);
          } else if (v > 6) {
            // Four edges, each with at most 1/(√2 π v) of it: Fresnel integral, asymptote (Abramowitz and Stegun, 7.3.27).
            expect(Math.hypot(shadow.re[f], shadow.im[f])).toBeLessThan(
              4 / (Math.SQRT2 * Math.PI * v) + 1e-9,
            );
          }
        });
      }),
    );
  });

  it("deep in the shadow of one edge leaves e^{-j(kΔ + π/4)}/(√2 π v), the asymptote of the Fresnel integral", () => {
    for (const d of [20, 75]) {
      const { re, im } = left([Infinity, d, Infinity, Infinity], "in shadow");
      frequency.forEach((f, i) => {
        const v = 2 * Math.sqrt((d * f) / C);
        if (v < 10) return;
        const angle = -(2 * Math.PI * f * d) / C - Math.PI / 4;
        expect(re[i]).toBeCloseTo(Math.cos(angle) / (Math.SQRT2 * Math.PI * v), 9);
        expect(im[i]).toBeCloseTo(Math.sin(angle) / (Math.SQRT2 * Math.PI * v), 9);
      });
    }
  });

  it("never exceeds what is said to be the most it reflects or lets pass, but for the ripple of its edges", () => {
    fc.assert(
      fc.property(anyDetours, (d) => {
        const [reflected, passed] = [left(d), left(d, "passed")];
        frequency.forEach((f, i) => {
          const size = (x: ReturnType<typeof left>) => Math.hypot(x.re[i], x.im[i]);
          // On the lit side the ripple adds up to 17 % for an edge (Cornu's spiral, from memory), and there are four.
          // Beyond one edge the farther one of the two gives at most as much again.
          const both = 2 ** (Number(d[0] < 0 || d[1] < 0) + Number(d[2] < 0 || d[3] < 0));
          expect(size(reflected)).toBeLessThan(1.17 ** 4 * both * mostReflected(d, C / f) + 0.02);
          expect(size(passed)).toBeLessThan(1.17 ** 4 * mostPassed(d, C / f) + 0.02);
        });
      }),
    );
  });

  it("reflects at most 1/(2√2 π √(Δ/λ)) where the path passes outside one edge, and passes that behind one", () => {
    const no = Infinity;
    // Δ/λ = 2: 1/(8.886 · 1.4142) = 0.0796.
    expect(mostReflected([-2, 5, 3, no], 1)).toBeCloseTo(0.0796, 4);
    expect(mostReflected([5, -4, -4, no], 2)).toBeCloseTo(0.0796 ** 2, 4);
    expect(mostReflected([5, 0, 3, no], 2)).toBe(1);
    expect(mostPassed([2, no, no, no], 1)).toBeCloseTo(0.0796, 4);
    expect(mostPassed([4, 4, 4, 4], 2)).toBeCloseTo(4 * 0.0796, 3);
    expect(mostPassed([1e-9, no, no, no], 1)).toBe(1);
    expect(mostPassed([-1, no, no, no], 1)).toBe(1);
  });

  it("is whole only where it has no edge at all", () => {
    const no = Infinity;
    expect(isWhole([no, no, no, no])).toBe(true);
    for (let i = 0; i < 4; i++)
      expect(isWhole([0, 1, 2, 3].map((k) => (k === i ? 1 : no)) as unknown as Detours)).toBe(false);
  });
});

describe("what an edge takes", () => {
  const take = (v: number, sign: 1 | -1 = 1, roots = Float64Array.of(1)) => {
    const [re, im] = [new Float64Array(roots.length), new Float64Array(roots.length)];
    const count = addEdge(v, sign, roots, roots.length, re, im);
    return { re, im, count };
  };

  it("is half at the edge, never more than 1/(√2 π v) beside it, and nothing from v = 6 on", () => {
    expect(take(0).re[0]).toBeCloseTo(0.5, 12);
    expect(take(0).im[0]).toBeCloseTo(0, 12);
    for (let v = 0.5; v < 6; v += 0.01) {
      const { re, im, count } = take(v);
      expect(count).toBe(1);
      expect(Math.hypot(re[0], im[0])).toBeLessThan(1 / (Math.SQRT2 * Math.PI * v) + 1e-5);
    }
    expect(take(6)).toEqual({ re: Float64Array.of(0), im: Float64Array.of(0), count: 0 });
    expect(take(Infinity).count).toBe(0);
  });

  it("fades out from v = 4 on: half of the ripple is left at 5", () => {
    const size = (v: number) => {
      const { re, im } = take(v);
      return Math.hypot(re[0], im[0]) * Math.SQRT2 * Math.PI * v;
    };
    expect(size(4)).toBeCloseTo(1, 2);
    expect(size(4.5)).toBeCloseTo((1 + Math.SQRT1_2) / 2, 2);
    expect(size(5)).toBeCloseTo(0.5, 2);
    expect(size(5.99)).toBeLessThan(1e-3);
  });

  it("is added or taken away at each frequency in turn, until it is felt no more", () => {
    const roots = Float64Array.of(1, 2, 3, 4);
    const { re, count } = take(2, 1, roots);
    expect(count).toBe(2);
    expect([...re.slice(2)]).toEqual([0, 0]);
    expect(re[1]).toBe(take(4).re[0]);
    take(2, -1, roots).re.forEach((x, f) => void expect(x).toBeCloseTo(-re[f], 12));
  });
});
