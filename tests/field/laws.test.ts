// Laws that hold whatever the venue: checked on random ones.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Point } from "../../lib/acoustics/point";
import { power } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import type { Boundary, Cavity, Source, Venue } from "../../lib/venue/venue";
import { source, venue } from "./venues";

/** By paths, whose laws hold to the last digit; those of waves are in waves/. */
const byPaths = { lowBand: "paths" } as const;
const frequency = Float64Array.of(25, 40, 63, 100, 160, 400, 1000, 4000);
/** Steps off any round number: where points, planes and edges coincide exactly, either side may be taken. */
const number = (min: number, max: number) =>
  fc
    .integer({ min: 0, max: 99990 })
    .map((i) => min + ((max - min) * (i + Math.sqrt(0.5) + ((i * 0.618034) % 0.3))) / 1e5);
const point = fc.record({ x: number(0.5, 20), y: number(-8, 8), z: number(0.2, 6) });
const angle = number(0, 2 * Math.PI);

const absorption = fc
  .array(number(0, 0.9), { minLength: 2, maxLength: 2 })
  .map((value) => ({ frequency: [125, 1000], value }));

/** A rectangle anywhere, turned any way. */
const panel = fc
  .record({
    centre: point,
    a: angle,
    b: number(-1.2, 1.2),
    width: number(0.5, 12),
    height: number(0.5, 6),
    absorption,
  })
  .map(({ centre, a, b, width, height, absorption }): Boundary => {
    const u = { x: Math.cos(a), y: Math.sin(a), z: 0 };
    const v = { x: -Math.sin(a) * Math.sin(b), y: Math.cos(a) * Math.sin(b), z: Math.cos(b) };
    const corner = (s: number, t: number): Point => ({
      x: centre.x + s * width * u.x + t * height * v.x,
      y: centre.y + s * width * u.y + t * height * v.y,
      z: centre.z + s * width * u.z + t * height * v.z,
    });
    return {
      name: "panel",
      corners: [corner(-0.5, -0.5), corner(0.5, -0.5), corner(0.5, 0.5), corner(-0.5, 0.5)],
      absorption,
    };
  });

const floor = absorption.map(
  (a): Boundary => ({
    name: "floor",
    corners: [
      { x: -5, y: -15, z: 0 },
      { x: 30, y: -15, z: 0 },
      { x: 30, y: 15, z: 0 },
      { x: -5, y: 15, z: 0 },
    ],
    absorption: a,
  }),
);

const cavity = fc.record({ y: number(-6, 0), width: number(2, 8), depth: number(1, 6), absorption }).map(
  ({ y, width, depth, absorption }): Cavity => ({
    name: "cavity",
    opening: [
      { x: 0, y: y + width, z: 0 },
      { x: 0, y, z: 0 },
      { x: 0, y, z: 1.1 },
      { x: 0, y: y + width, z: 1.1 },
    ],
    depth,
    absorption,
  }),
);

const cabinet = fc
  .record({
    point,
    a: angle,
    tilt: number(-0.5, 0.5),
    gain: number(-10, 10),
    delay: number(0, 0.02),
    flip: fc.boolean(),
    kind: fc.nat(2),
  })
  .map(({ point, a, tilt, gain, delay, flip, kind }) =>
    source(point, {
      axis: { x: Math.cos(a) * Math.cos(tilt), y: Math.sin(a) * Math.cos(tilt), z: -Math.sin(tilt) },
      up: { x: Math.cos(a) * Math.sin(tilt), y: Math.sin(a) * Math.sin(tilt), z: Math.cos(tilt) },
      gain,
      delay,
      polarity: flip ? -1 : 1,
      pattern: (
        [
          { kind: "omni" },
          { kind: "first-order", a: 0.5 },
          { kind: "piston", width: 0.5, height: 0.3, rear: 12 },
        ] as const
      )[kind],
    }),
  );

const hall = fc
  .record({
    sources: fc.array(cabinet, { minLength: 1, maxLength: 3 }),
    floor,
    panels: fc.array(panel, { maxLength: 3 }),
    cavities: fc.array(cavity, { maxLength: 1 }),
  })
  .map(({ sources, floor, panels, cavities }) =>
    venue({ sources, boundaries: [floor, ...panels], cavities }),
  );

const pressures = (v: Venue, position: Point, options = {}) => {
  const [r] = modelSurvey(v, [{ id: "p", point: position, area: "", people: 1 }], {
    frequency,
    ...byPaths,
    ...options,
  }).subs;
  return r;
};

/** Expects two responses to agree to a part of the largest value. */
function expectSame(a: ReturnType<typeof pressures>, b: ReturnType<typeof pressures>, part = 1e-7): void {
  const largest = Math.max(...a.re.map(Math.abs), ...a.im.map(Math.abs), 1e-9);
  a.re.forEach((x, i) => {
    expect(Math.abs(x - b.re[i]) / largest).toBeLessThan(part);
    expect(Math.abs(a.im[i] - b.im[i]) / largest).toBeLessThan(part);
  });
}

/** Shrinking would end where points and planes coincide, and show no more than that. */
const runs = { numRuns: 100, endOnFailure: true };

describe("the field of any venue", () => {
  it("stays the same when source and receiver change places", () => {
    fc.assert(
      fc.property(hall, point, point, (v, a, b) => {
        fc.pre(Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z) > 0.3);
        expectSame(
          pressures({ ...v, sources: [source(a)] }, b),
          pressures({ ...v, sources: [source(b)] }, a),
        );
      }),
      runs,
    );
  });

  it("turns with the venue", () => {
    fc.assert(
      fc.property(hall, point, angle, (v, p, a) => {
        const turn = ({ x, y, z }: Point): Point => ({
          x: x * Math.cos(a) - y * Math.sin(a),
          y: x * Math.sin(a) + y * Math.cos(a),
          z,
        });
        expectSame(pressures(v, p), pressures(moved(v, turn), turn(p)));
      }),
      runs,
    );
  });

  it("is mirrored with the venue", () => {
    fc.assert(
      fc.property(hall, point, (v, p) => {
        const mirror = ({ x, y, z }: Point): Point => ({ x, y: -y, z });
        expectSame(pressures(v, p), pressures(moved(v, mirror), mirror(p)));
      }),
      runs,
    );
  });

  it("of several sources is the sum of each one's", () => {
    fc.assert(
      fc.property(hall, point, (v, p) => {
        const all = pressures(v, p);
        const re = new Float64Array(frequency.length);
        const im = new Float64Array(frequency.length);
        for (const s of v.sources) {
          const one = pressures({ ...v, sources: [s] }, p);
          one.re.forEach((x, i) => {
            re[i] += x;
            im[i] += one.im[i];
          });
        }
        expectSame({ frequency, re, im }, all);
      }),
      runs,
    );
  });

  it("grows tenfold with 20 dB of gain and turns over with polarity", () => {
    fc.assert(
      fc.property(hall, point, (v, p) => {
        const louder = v.sources.map(
          (s): Source => ({ ...s, gain: s.gain + 20, polarity: s.polarity === 1 ? -1 : 1 }),
        );
        const { re, im } = pressures(v, p);
        expectSame(
          { frequency, re: re.map((x) => -10 * x), im: im.map((x) => -10 * x) },
          pressures({ ...v, sources: louder }, p),
        );
      }),
      runs,
    );
  });

  it("without boundaries only falls with distance", () => {
    fc.assert(
      fc.property(cabinet, angle, number(0.2, 50), number(1.01, 4), (s, a, near, factor) => {
        const v = venue({ sources: [s] });
        const position = (r: number): Point => ({
          x: s.point.x + r * Math.cos(a),
          y: s.point.y + r * Math.sin(a),
          z: s.point.z,
        });
        const [one, other] = [
          power(pressures(v, position(near))),
          power(pressures(v, position(near * factor))),
        ];
        one.forEach((x, i) => {
          expect(other[i]).toBeLessThanOrEqual((x / factor ** 2) * (1 + 1e-9));
        });
      }),
      runs,
    );
  });

  it("holds no NaN anywhere, also with a source in a wall or an ear on a source", () => {
    fc.assert(
      fc.property(hall, fc.nat(2), (v, where) => {
        const wall = v.boundaries[v.boundaries.length - 1].corners;
        const middle = {
          x: (wall[0].x + wall[2].x) / 2,
          y: (wall[0].y + wall[2].y) / 2,
          z: (wall[0].z + wall[2].z) / 2,
        };
        const position = [v.sources[0].point, wall[0], middle][where];
        const built = where === 2 ? { ...v, sources: [source(middle)] } : v;
        const target = where === 2 ? { x: 2, y: 1, z: 1 } : position;
        for (const x of power(pressures(built, target))) expect(Number.isFinite(x)).toBe(true);
      }),
      runs,
    );
  });
});

function moved(v: Venue, move: (p: Point) => Point): Venue {
  return {
    ...v,
    sources: v.sources.map((s) => ({ ...s, point: move(s.point), axis: move(s.axis), up: move(s.up) })),
    boundaries: v.boundaries.map((b) => ({
      ...b,
      corners: b.corners.map(move) as unknown as Boundary["corners"],
    })),
    cavities: v.cavities.map((c) => ({ ...c, opening: c.opening.map(move) as unknown as Cavity["opening"] })),
  };
}
