import { describe, expect, it } from "vitest";
import { modelSurvey } from "../../../lib/field/model-survey";
import { images } from "../../../lib/field/paths/images";
import { pathFinder } from "../../../lib/field/paths/paths";
import { wallsOf } from "../../../lib/field/paths/walls";
import type { Boundary } from "../../../lib/venue/venue";
import { at, box, decibels, HARD, source, venue, wall } from "../venues";

const faces = { west: 0.1, east: 0.1, south: 0.1, north: 0.1, floor: 0.1, ceiling: 0.1 };

function flat(name: string, x: [number, number], y: [number, number], z: number): Boundary {
  const corner = (a: number, b: number) => ({ x: a, y: b, z });
  return {
    name,
    corners: [corner(x[0], y[0]), corner(x[1], y[0]), corner(x[1], y[1]), corner(x[0], y[1])],
    absorption: HARD,
  };
}

const joined = (boundaries: Boundary[], index: number) => {
  const { above, below } = wallsOf({ boundaries, cavities: [] })[index];
  return [...above.joined, ...below.joined];
};

describe("edges of walls", () => {
  it("are joined all round inside a shoebox", () => {
    for (let i = 0; i < 6; i++) {
      const { above, below } = wallsOf({ boundaries: box([12, 9, 5], faces), cavities: [] })[i];
      expect([above, below].some(({ joined }) => joined.every((x) => x))).toBe(true);
    }
  });

  it("are free round a panel that hangs in the room", () => {
    const boundaries = [...box([20, 15, 12], faces), flat("reflector", [6, 9], [5, 9], 8)];
    expect(joined(boundaries, 6)).toEqual(new Array(8).fill(false));
  });

  it("of a balcony are joined at the walls and free in front", () => {
    const boundaries = [...box([20, 15, 12], faces), flat("balcony", [14, 20], [0, 15], 5)];
    // In the order of corners: front edge, rear edge, south wall, north wall.
    expect(joined(boundaries, 6)).toEqual([false, true, true, true, false, true, true, true]);
  });

  // An upright wall across a floor from x = 0 to 10, as far beyond its end as told.
  const upright = (x: number, y: [number, number], z: [number, number]): Boundary => {
    const corner = (a: number, b: number) => ({ x, y: a, z: b });
    return {
      name: "upright",
      corners: [corner(y[0], z[0]), corner(y[1], z[0]), corner(y[1], z[1]), corner(y[0], z[1])],
      absorption: HARD,
    };
  };
  const floor = flat("floor", [0, 10], [0, 10], 0);
  const ends = (other: Boundary) => joined([floor, other], 0);

  it("are closed by a neighbour up to two metres beyond them, on its side alone", () => {
    const none = new Array(8).fill(false);
    const atEnd = [false, true, false, false];
    expect(ends(upright(10, [0, 10], [0.2, 4]))).toEqual([...atEnd, false, false, false, false]);
    expect(ends(upright(11.9, [0, 10], [0.2, 4]))).toEqual([...atEnd, false, false, false, false]);
    expect(ends(upright(12.1, [0, 10], [0, 4]))).toEqual(none);
    expect(ends(upright(10, [0, 10], [-4, 4]))).toEqual([...atEnd, ...atEnd]);
    expect(ends(upright(10, [0, 10], [-4, -1]))).toEqual([false, false, false, false, ...atEnd]);
    expect(ends(upright(0, [0, 10], [0, 4]))[0]).toBe(true);
    expect(ends(upright(-2.1, [0, 10], [0, 4]))).toEqual(none);
  });

  it("are closed where two fifths of them are, also by what begins up to two metres above", () => {
    expect(ends(upright(10, [0, 5.5], [0, 4]))[1]).toBe(true);
    expect(ends(upright(10, [0, 2], [0, 4]))[1]).toBe(false);
    expect(ends(upright(10, [0, 10], [1.9, 4]))[1]).toBe(true);
    expect(ends(upright(10, [0, 10], [2.2, 4]))[1]).toBe(false);
  });

  it("of a small panel are closed only within half of its smaller side", () => {
    const small = flat("small", [0, 1], [0, 4], 0);
    const end = (x: number) => joined([small, upright(x, [0, 4], [0.2, 4])], 0)[1];
    expect(end(1.45)).toBe(true);
    expect(end(1.55)).toBe(false);
  });

  it("are closed by no wall that ends before it comes there", () => {
    expect(ends(upright(10, [20, 30], [0.2, 4]))).toEqual(new Array(8).fill(false));
    expect(ends(upright(10, [-30, -20], [0.2, 4]))).toEqual(new Array(8).fill(false));
    expect(ends(upright(10, [0, 10], [5, 9]))).toEqual(new Array(8).fill(false));
    expect(ends(upright(10, [0, 10], [-9, -5]))).toEqual(new Array(8).fill(false));
  });

  it("make a wall go on as its own image beyond a neighbour, without end between two", () => {
    const [, right, left] = [floor, upright(10, [0, 10], [0, 4]), upright(0, [0, 10], [0, 4])];
    const extent = (...others: Boundary[]) =>
      wallsOf({ boundaries: [floor, ...others], cavities: [] })[0].above.extent;
    expect(extent()).toEqual({ fromU: 0, toU: 10, fromV: 0, toV: 10 });
    expect(extent(right)).toEqual({ fromU: 0, toU: 20, fromV: 0, toV: 10 });
    expect(extent(left)).toEqual({ fromU: -10, toU: 10, fromV: 0, toV: 10 });
    expect(extent(left, right)).toEqual({ fromU: -Infinity, toU: Infinity, fromV: 0, toV: 10 });
  });

  it("between two halves of one floor are none: a path over the seam is whole", () => {
    const halves = [flat("front floor", [-50, 10], [-50, 50], 0), flat("rear floor", [10, 70], [-50, 50], 0)];
    const frequency = Float64Array.of(40, 80, 160);
    const respond = (boundaries: Boundary[]) =>
      modelSurvey(venue({ sources: [source({ x: 0, y: 0, z: 2 })], boundaries }), [at(19, 1, 2.2)], {
        frequency,
      }).subs[0];
    const [seamed, whole] = [respond(halves), respond([flat("floor", [-50, 70], [-50, 50], 0)])];
    frequency.forEach((_, i) => {
      const level = (r: typeof whole) => decibels(r.re[i], r.im[i]);
      expect(Math.abs(level(seamed) - level(whole))).toBeLessThan(0.3);
    });
  });
});

describe("an opening", () => {
  const opening = {
    name: "under the stage",
    opening: [
      { x: 0, y: 3, z: 0 },
      { x: 0, y: -3, z: 0 },
      { x: 0, y: -3, z: 1 },
      { x: 0, y: 3, z: 1 },
    ] as const,
    depth: 3,
    absorption: HARD,
  };

  it("knows the wall it is cut from, and the floor that doubles it", () => {
    const walls = wallsOf({ boundaries: [wall("z", 0), wall("x", 0)], cavities: [opening] });
    expect(walls[2].host).toBe(1);
    expect(walls[2].above.joined).toEqual([false, false, true, false]);
    expect(walls[2].above.extent).toEqual({ fromU: 0, toU: 6, fromV: -1, toV: 1 });
    expect(wallsOf({ boundaries: [wall("z", 0)], cavities: [opening] })[1].host).toBeUndefined();
  });

  it("belongs to no wall that only part of it lies in, or none", () => {
    // Walls in its own plane or beside it; the opening reaches from y = −3 to 3 and from 0 to 1 m up.
    const around = (x: number, y: [number, number], z: [number, number]): Boundary => ({
      ...wall("x", x),
      corners: [
        { x, y: y[0], z: z[0] },
        { x, y: y[1], z: z[0] },
        { x, y: y[1], z: z[1] },
        { x, y: y[0], z: z[1] },
      ],
    });
    const host = (...args: Parameters<typeof around>) =>
      wallsOf({ boundaries: [around(...args)], cavities: [opening] })[1].host;
    expect(host(0, [-3, 3], [0, 1])).toBe(0);
    expect(host(0.04, [-4, 4], [-1, 2])).toBe(0);
    expect(host(0.06, [-4, 4], [-1, 2])).toBeUndefined();
    expect(host(-0.06, [-4, 4], [-1, 2])).toBeUndefined();
    expect(host(0, [-2, 4], [-1, 2])).toBeUndefined();
    expect(host(0, [-4, 2], [-1, 2])).toBeUndefined();
    expect(host(0, [-4, 4], [0.5, 2])).toBeUndefined();
    expect(host(0, [-4, 4], [-1, 0.5])).toBeUndefined();
  });
});

describe("a wall in the way", () => {
  const balcony = flat("balcony", [10, 24], [-15, 15], 4);
  const v = venue({ sources: [source({ x: 0, y: 0, z: 9 })], boundaries: [balcony] });
  const frequency = Float64Array.of(50, 500, 5000);
  const loss = (x: number) => {
    const position = [at(x, 0, 1.2)];
    const [open, shut] = [{ obstruction: false }, {}].map(
      (o) => modelSurvey(v, position, { frequency, order: 0, ...o }).subs[0],
    );
    return Array.from(
      frequency,
      (_, i) => decibels(shut.re[i], shut.im[i]) - decibels(open.re[i], open.im[i]),
    );
  };

  it("shadows what lies behind, the more the higher the frequency, and lets the lows round its edge", () => {
    const [low, middle, high] = loss(23);
    expect(low).toBeLessThan(-6);
    expect(low).toBeGreaterThan(-20);
    expect(middle).toBeLessThan(low - 4);
    expect(high).toBeLessThan(middle - 5);
    expect(high).toBeGreaterThan(-60);
  });

  it("leaves what it does not stand before, within the ripple of its edge", () => {
    for (const x of loss(4)) expect(Math.abs(x)).toBeLessThan(1);
  });

  it("halves the sound at its line of sight, where its other edges are many wavelengths away", () => {
    // The line from (0, 9) over the edge at (10, 4) comes down to ear height 1.2 here.
    const edge = 10 * (7.8 / 5);
    // Its second wave is at most 1/(√2 π v') there, v' = 2 √(Δ'/λ) with Δ' the detour of the way by the edge beside the way to the
    // mirror image of the source below it, (0, −1), at 500 and 5000 Hz: 0.27 and 0.09 dB.
    expect(edge).toBeCloseTo(15.6, 9);
    const mirrored = Math.hypot(15.6, 1.2 + 1) - Math.hypot(15.6, 7.8);
    loss(edge)
      .slice(1)
      .forEach((x, i) => {
        const v = 2 * Math.sqrt((-mirrored * [500, 5000][i]) / 343.4);
        expect(Math.abs(x + 6.02)).toBeLessThan(0.7 + 20 * Math.log10(1 + 2 / (Math.SQRT2 * Math.PI * v)));
      });
  });
});

describe("paths", () => {
  it("beside a free edge fade out and end at a joined one", () => {
    const panel = flat("panel", [0, 2], [-1, 1], 0);
    const find = pathFinder(wallsOf({ boundaries: [panel], cavities: [] }), {
      finiteSize: true,
      obstruction: true,
    });
    const [, image] = images(
      source({ x: 0, y: 0, z: 1 }),
      wallsOf({ boundaries: [panel], cavities: [] }).map((w) => w.rectangle),
      1,
    );
    // The mirror point lies at x = 2.5, half a metre beyond the panel's end.
    expect(find(image, { x: 5, y: 0, z: 1 })?.edges[0]?.some((d) => d < 0)).toBe(true);
    const sharp = pathFinder(wallsOf({ boundaries: [panel], cavities: [] }), {
      finiteSize: false,
      obstruction: true,
    });
    expect(sharp(image, { x: 5, y: 0, z: 1 })).toBeUndefined();
    expect(sharp(image, { x: 3, y: 0, z: 1 })?.length).toBeCloseTo(Math.hypot(3, 2), 12);
  });
});
