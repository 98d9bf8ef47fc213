// Reference: pyroomacoustics 0.10.1, see scripts/reference/field_shoebox.py.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { distance, dot, norm, type Point, scale, subtract } from "../../../lib/acoustics/point";
import { images, isInside, trace } from "../../../lib/field/paths/images";
import { type Path, pathFinder } from "../../../lib/field/paths/paths";
import { type Rectangle, rectangle } from "../../../lib/field/paths/rectangle";
import { wallsOf } from "../../../lib/field/paths/walls";
import { expectAgreement } from "../../acoustics/deviation";
import { evenly } from "../../evenly";
import reference from "../reference/field_shoebox.json";
import { box, source } from "../venues";

const point = ([x, y, z]: number[]) => ({ x, y, z });

/** Expects a path to go as light by mirrors, from the side where it comes from, and to count its metres so. */
function expectMirrors(
  { length, hits }: Path,
  start: Point,
  end: Point,
  rectangles: readonly Rectangle[],
): void {
  const unit = (a: Point) => scale(a, 1 / norm(a));
  const corners = [end, ...hits.map((h) => h.point), start];
  const legs = corners.slice(1).map((p, i) => distance(p, corners[i]));
  expect(legs.reduce((a, b) => a + b)).toBeCloseTo(length, 7);
  let after = 0;
  hits.forEach((hit, i) => {
    after += legs[i];
    expect(hit.after).toBeCloseTo(after, 7);
    expect(hit.before).toBeCloseTo(length - after, 7);
    const { normal, offset, u, v, origin } = rectangles[hit.wall];
    expect(dot(hit.point, normal)).toBeCloseTo(offset, 7);
    const local = subtract(hit.point, origin);
    expect([dot(local, u) - hit.u, dot(local, v) - hit.v].every((x) => Math.abs(x) < 1e-7)).toBe(true);
    if (legs[i] < 1e-3 || legs[i + 1] < 1e-3) return;
    const [onward, incoming] = [
      unit(subtract(corners[i], hit.point)),
      unit(subtract(hit.point, corners[i + 2])),
    ];
    expect(hit.above).toBe(dot(onward, normal) > 0);
    expect(dot(incoming, normal)).toBeCloseTo(-dot(onward, normal), 6);
    expect(Math.abs(dot(onward, normal))).toBeCloseTo(hit.cosine, 6);
    for (const [axis, cosine] of [
      [u, hit.cosU],
      [v, hit.cosV],
    ] as const) {
      expect(dot(onward, axis)).toBeCloseTo(cosine, 6);
      expect(dot(incoming, axis)).toBeCloseTo(cosine, 6);
    }
  });
}

describe("images in a shoebox", () => {
  for (const [index, room] of reference.rooms.entries()) {
    const boundaries = box(room.size, room.absorption);
    const walls = wallsOf({ boundaries, cavities: [] });
    const find = pathFinder(walls, { finiteSize: true, obstruction: true });
    const all = images(
      source(point(room.source)),
      walls.map((w) => w.rectangle),
      3,
    );
    const paths = all
      .map((image) => find(image, point(room.place)))
      .filter((path): path is Path => path !== undefined)
      .sort((a, b) => a.length - b.length);

    it(`are all found to order 3, each once (room ${index})`, () => {
      expect(paths.length).toBe(63);
      expect(room.paths.length).toBe(63);
      const count = (order: number) => paths.filter((p) => p.hits.length === order).length;
      expect([count(0), count(1), count(2), count(3)]).toEqual([1, 6, 18, 38]);
    });

    it(`arrive with the length and amplitude of the reference (room ${index})`, () => {
      const ours = paths.map((path) => {
        const kept = path.hits.reduce((p, h) => p * Math.sqrt(1 - boundaries[h.wall].absorption.value[0]), 1);
        return [path.length, kept / path.length];
      });
      // The reference computes in single precision.
      expectAgreement(
        "image length, m",
        ours.map(([length], i) => [length, room.paths[i][0], `path ${i}`]),
        1e-5,
      );
      expectAgreement(
        "image amplitude",
        ours.map(([, amplitude], i) => [amplitude, room.paths[i][1], `path ${i}`]),
        1e-5,
        true,
      );
    });

    it(`feel no edge where walls join (room ${index})`, () => {
      expect(paths.every((path) => path.edges.every((e) => e === undefined))).toBe(true);
      expect(paths.every((path) => path.obstructions.length === 0)).toBe(true);
    });
  }
});

describe("images of a source", () => {
  const faces = { west: 0, east: 0, south: 0, north: 0, floor: 0, ceiling: 0 };
  const rectangles = wallsOf({ boundaries: box([9, 7, 4], faces), cavities: [] }).map((w) => w.rectangle);

  it("are 1 + n + n(n − 1) + … for n walls, never twice in one wall, and lie where walls mirror them", () => {
    const all = images(source({ x: 2, y: 3, z: 1 }), rectangles, 3);
    expect(all.length).toBe(1 + 6 + 6 * 5 + 6 * 5 * 5);
    expect(images(source({ x: 2, y: 3, z: 1 }), rectangles, 0).length).toBe(1);
    for (const { chain, order, parent, wall, height, point } of all.slice(1)) {
      const numbers = chain.split(" ").map(Number);
      expect(numbers.length).toBe(order);
      expect(numbers[order - 1]).toBe(wall);
      expect(numbers.some((x, i) => i > 0 && x === numbers[i - 1])).toBe(false);
      // A mirror lies halfway: what the parent is above, the image is below.
      const above = (p: Point) => dot(p, rectangles[wall].normal) - rectangles[wall].offset;
      expect(above(point)).toBeCloseTo(height, 9);
      expect(above(parent?.point as Point)).toBeCloseTo(-height, 9);
    }
    expect(() => images(source({ x: 2, y: 3, z: 1 }), rectangles, 9)).toThrow("order of reflections is 9");
  });
});

describe("a path over walls", () => {
  const length = fc.double({ min: 3, max: 20, noNaN: true });
  const inside = fc.double({ min: 0.02, max: 0.98, noNaN: true });
  const part = fc.tuple(inside, inside, inside);
  const faces = { west: 0, east: 0, south: 0, north: 0, floor: 0, ceiling: 0 };
  const angle = evenly(0, 2 * Math.PI);
  /** Turned about the vertical, then about an axis across. */
  const turned =
    (a: number, b: number) =>
    (p: Point): Point => {
      const [x, y] = [p.x * Math.cos(a) - p.y * Math.sin(a), p.x * Math.sin(a) + p.y * Math.cos(a)];
      return { x: x * Math.cos(b) - p.z * Math.sin(b), y, z: x * Math.sin(b) + p.z * Math.cos(b) };
    };

  it("goes from the source by its hits to the place, as light by mirrors, and counts its metres so", () => {
    fc.assert(
      fc.property(fc.tuple(length, length, length), part, part, angle, angle, (size, from, to, a, b) => {
        const turn = turned(a, b);
        const boundaries = box(size, faces).map((face) => ({
          ...face,
          corners: face.corners.map(turn) as unknown as typeof face.corners,
        }));
        const walls = wallsOf({ boundaries, cavities: [] });
        const find = pathFinder(walls, { finiteSize: false, obstruction: true });
        const [start, end] = [from, to].map((share) => turn(point(share.map((x, i) => x * size[i]))));
        fc.pre(distance(start, end) > 0.1);
        const rectangles = walls.map((w) => w.rectangle);
        const found = images(source(start), rectangles, 2).flatMap((image) => find(image, end) ?? []);
        // In a box every place hears 1, 6 and 18 paths of the first orders.
        expect(found.length).toBe(25);
        for (const path of found) expectMirrors(path, start, end, rectangles);
      }),
      { numRuns: 40, endOnFailure: true },
    );
  });

  it("does so over two panels that hang anywhere, from their right sides alone", () => {
    const metre = evenly(-6, 6);
    const spot = fc.record({ x: metre, y: metre, z: metre });
    const panel = fc.record({ middle: spot, a: angle, b: angle }).map(({ middle, a, b }) => {
      const turn = turned(a, b);
      const corner = (x: number, y: number) => {
        const p = turn({ x, y, z: 0 });
        return { x: middle.x + p.x, y: middle.y + p.y, z: middle.z + p.z };
      };
      return rectangle([corner(-6, -6), corner(6, -6), corner(6, 6), corner(-6, 6)]);
    });
    let twice = 0;
    fc.assert(
      fc.property(panel, panel, spot, spot, (one, other, start, end) => {
        const rectangles = [one, other];
        for (const image of images(source(start), rectangles, 2)) {
          const hits = trace(image, end, rectangles, (hit) => isInside(hit, rectangles[hit.wall]));
          if (!hits) continue;
          if (hits.length === 2) twice++;
          const length = distance(image.point, end);
          expectMirrors({ image, length, hits, edges: [], obstructions: [] }, start, end, rectangles);
        }
      }),
      { numRuns: 1000, endOnFailure: true },
    );
    expect(twice).toBeGreaterThan(30);
  });
});
