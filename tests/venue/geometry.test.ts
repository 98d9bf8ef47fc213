/** Hangs, boxes, seats and zones: where things are, by hand-made geometry and by laws that hold for every venue. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { editDistance, nearestWord } from "../../lib/text/suggest";
import { boxFaces } from "../../lib/venue/box";
import { orientation } from "../../lib/venue/direction";
import { readVenue } from "../../lib/venue/file/read";
import { hang } from "../../lib/venue/hang";
import { frontOfHousePositions, namedPositions, seats } from "../../lib/venue/seats";
import type { AudienceArea, Cabinet, Venue } from "../../lib/venue/venue";
import { evenly } from "../evenly";

const theatre = readVenue(
  readFileSync(join(__dirname, "../../data/venues/harbour-theatre.json"), "utf8"),
  "harbour-theatre.json",
);
const cabinet: Cabinet = {
  level: { frequency: [1000], level: [100] },
  pattern: { kind: "omni" },
  size: { width: 1, height: 0.5, depth: 0.5 },
};

describe("hang", () => {
  test("without tilt hangs straight down from its top", () => {
    const made = hang({
      id: "m",
      cabinet,
      top: { x: 1, y: 2, z: 8 },
      elements: 3,
      aim: { horizontal: 0, down: 0 },
      splay: 0,
    });
    expect(made.map((s) => s.point)).toEqual([
      { x: 1, y: 2, z: 7.75 },
      { x: 1, y: 2, z: 7.25 },
      { x: 1, y: 2, z: 6.75 },
    ]);
  });

  test("turned by 90° down lies flat: the elements line up toward the stage, their axes to the floor", () => {
    const made = hang({
      id: "m",
      cabinet,
      top: { x: 0, y: 0, z: 5 },
      elements: 2,
      aim: { horizontal: 0, down: 90 },
      splay: 0,
    });
    expect(made[0].axis.z).toBeCloseTo(-1, 12);
    expect(made[1].point.x - made[0].point.x).toBeCloseTo(-0.5, 12);
    expect(made[1].point.z).toBeCloseTo(5, 12);
  });

  test("with a splay is a polygon whose edges meet: the chord of four 30° steps of half a metre", () => {
    // edges of 0.5 m at 0°, 30°, 60°, 90° from straight down: feet 0.5·(Σ sin, Σ cos) = (−1.1830, −1.1830)
    const made = hang({
      id: "m",
      cabinet,
      top: { x: 0, y: 0, z: 0 },
      elements: 4,
      aim: { horizontal: 0, down: 0 },
      splay: 30,
    });
    const last = made[3];
    const foot = { x: last.point.x - last.up.x * 0.25, z: last.point.z - last.up.z * 0.25 };
    expect(foot.x).toBeCloseTo(-1.183, 3);
    expect(foot.z).toBeCloseTo(-1.183, 3);
    expect(last.axis.z).toBeCloseTo(-1, 12);
  });

  test("keeps every element's axis square to its front and of length one, neighbours nearly a spacing apart", () => {
    fc.assert(
      fc.property(
        evenly(-180, 180),
        evenly(-40, 60),
        fc.array(evenly(0, 15), { minLength: 1, maxLength: 12 }),
        (horizontal, down, splay) => {
          const made = hang({
            id: "m",
            cabinet,
            top: { x: 0, y: 0, z: 10 },
            elements: splay.length + 1,
            aim: { horizontal, down },
            splay,
          });
          for (const { axis, up } of made) {
            expect(Math.hypot(axis.x, axis.y, axis.z)).toBeCloseTo(1, 9);
            expect(Math.hypot(up.x, up.y, up.z)).toBeCloseTo(1, 9);
            expect(axis.x * up.x + axis.y * up.y + axis.z * up.z).toBeCloseTo(0, 9);
          }
          for (let i = 1; i < made.length; i++) {
            const a = made[i - 1].point;
            const b = made[i].point;
            // two half edges with an angle of splay between them
            const expected = 0.5 * Math.cos((splay[i - 1] * Math.PI) / 360);
            expect(Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z)).toBeCloseTo(expected, 9);
            // the angle between neighbours' axes is the splay
            const p = made[i - 1].axis;
            const q = made[i].axis;
            const cos = Math.min(1, p.x * q.x + p.y * q.y + p.z * q.z);
            expect((Math.acos(cos) * 180) / Math.PI).toBeCloseTo(splay[i - 1], 4);
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  test("says which list has the wrong length", () => {
    const options = {
      id: "m",
      cabinet,
      top: { x: 0, y: 0, z: 5 },
      elements: 3,
      aim: { horizontal: 0, down: 0 },
    };
    expect(() => hang({ ...options, splay: [1] })).toThrow("splay has 1 angles, expected 2");
    expect(() => hang({ ...options, splay: 1, shading: [0] })).toThrow("shading has 1 values, expected 3");
  });
});

describe("orientation", () => {
  test("turns toward house left, which is +y, and down, which is −z", () => {
    expect(orientation(90, 0).axis.y).toBeCloseTo(1, 12);
    expect(orientation(0, 30).axis.z).toBeCloseTo(-0.5, 12);
    expect(orientation(0, 0)).toEqual({ axis: { x: 1, y: 0, z: -0 }, up: { x: 0, y: 0, z: 1 } });
  });
});

describe("boxFaces", () => {
  test("covers a box of 2 by 3 by 5 m: each face with its own area, all edges closed", () => {
    const soak = { frequency: [1000], value: [0.1] };
    const faces = boxFaces(
      { x: 0, y: 0, z: 0 },
      { x: 2, y: 3, z: 5 },
      {
        floor: soak,
        ceiling: soak,
        front: soak,
        back: soak,
        left: soak,
        right: soak,
      },
    );
    const area = (name: string) => {
      const found = faces.find((f) => f.name === name);
      if (!found) throw new Error(`no ${name}`);
      const [a, b, , d] = found.corners;
      return Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z) * Math.hypot(a.x - d.x, a.y - d.y, a.z - d.z);
    };
    expect(["floor", "ceiling", "front wall", "rear wall", "left wall", "right wall"].map(area)).toEqual([
      6, 6, 15, 15, 10, 10,
    ]);
    const corners = new Set(faces.flatMap((f) => f.corners.map((c) => `${c.x} ${c.y} ${c.z}`)));
    expect(corners.size).toBe(8);
    // each corner belongs to three faces
    expect(faces.flatMap((f) => f.corners).length).toBe(24);
    expect(faces.find((f) => f.name === "left wall")?.corners.every((c) => c.y === 3)).toBe(true);
  });
});

describe("seats", () => {
  const area = (corners: AudienceArea["corners"]): AudienceArea => ({
    name: "floor",
    corners,
    earHeight: 1.2,
    density: 2,
  });
  const flat: AudienceArea["corners"] = [
    { x: 1, y: 3, z: 0 },
    { x: 1, y: -3, z: 0 },
    { x: 5, y: -3, z: 0 },
    { x: 5, y: 3, z: 0 },
  ];
  const withAudience = (...audience: AudienceArea[]): Venue => ({ ...theatre, audience });

  test("fill a flat area of 6 by 4 m with 24 seats of a metre, in their middles, from front left on", () => {
    const made = seats(withAudience(area(flat)));
    expect(made).toHaveLength(24);
    expect(made[0]).toEqual({ id: "floor 1-1", point: { x: 1.5, y: 2.5, z: 1.2 }, area: "floor", people: 2 });
    expect(made[23].id).toBe("floor 4-6");
    expect(made[23].point).toEqual({ x: 4.5, y: -2.5, z: 1.2 });
  });

  test("rise with a raked floor and stand for people by the floor's own area", () => {
    // rake 3 up over 4 along: the floor is 5 m deep, 30 m², 60 people
    const raked = flat.map((c) => ({ ...c, z: c.x === 5 ? 3 : 0 })) as unknown as AudienceArea["corners"];
    const made = seats(withAudience(area(raked)));
    expect(made).toHaveLength(30);
    expect(made.reduce((sum, p) => sum + p.people, 0)).toBeCloseTo(60, 9);
    for (const { point } of made) expect(point.z).toBeCloseTo(1.2 + ((point.x - 1) * 3) / 4, 9);
  });

  test("stand for the same number of people at every spacing, in areas of any shape", () => {
    const width = fc.double({ min: 2, max: 40, noNaN: true });
    fc.assert(
      fc.property(
        width,
        width,
        width,
        fc.double({ min: 0.4, max: 6, noNaN: true }),
        (front, back, deep, spacing) => {
          const corners: AudienceArea["corners"] = [
            { x: 2, y: front / 2, z: 0 },
            { x: 2, y: -front / 2, z: 0 },
            { x: 2 + deep, y: -back / 2, z: 1 },
            { x: 2 + deep, y: back / 2, z: 1 },
          ];
          const floor = ((front + back) / 2) * Math.hypot(deep, 1); // trapezium on its slope
          const made = seats(withAudience(area(corners)), { spacing });
          expect(made.reduce((sum, p) => sum + p.people, 0)).toBeCloseTo(2 * floor, 6);
          expect(new Set(made.map((p) => p.id)).size).toBe(made.length);
          for (const { point } of made) {
            expect(point.x).toBeGreaterThan(2);
            expect(point.x).toBeLessThan(2 + deep);
          }
        },
      ),
      { numRuns: 200 },
    );
  });

  test("come in about the number asked for", () => {
    for (const count of [50, 300, 2000]) {
      const made = seats(theatre, { count }).length;
      expect(Math.abs(made / count - 1), `${made} of ${count}`).toBeLessThan(0.12);
    }
  });

  test("refuse a spacing that makes none or too many", () => {
    expect(() => seats(theatre, { spacing: 0 })).toThrow("spacing is 0, expected metres more than 0");
    expect(() => seats(theatre, { spacing: Number.NaN })).toThrow("spacing is NaN");
    expect(() => seats(theatre, { spacing: 1e-4 })).toThrow("fewer than a million");
    expect(() => seats(theatre, { count: 0 })).toThrow("count is 0");
  });

  test("front of house and named places stand for nobody", () => {
    const mix = frontOfHousePositions(theatre, { spacing: 2 });
    expect(mix).toHaveLength(12); // 8 by 6 m
    expect(mix.every((p) => p.people === 0 && p.area === "front of house")).toBe(true);
    expect(frontOfHousePositions(theatre).length).toBeGreaterThan(40);
    expect(namedPositions(theatre).map((p) => p.id)).toContain("mix position");
  });
});

describe("nearestWord", () => {
  test("counts a swap of neighbours as one edit", () => {
    // kitten–sitting 3 and ca–abc 3 are the textbook cases of the two distances (Navarro 2001, from memory)
    expect(editDistance("kitten", "sitting")).toBe(3);
    expect(editDistance("ca", "abc")).toBe(3);
    expect(editDistance("polarity", "polartiy")).toBe(1);
    expect(editDistance("", "abc")).toBe(3);
  });

  test("finds what was meant, and nothing where nothing is near", () => {
    const keys = ["position", "polarity", "pattern", "delayMs"];
    expect(nearestWord("postion", keys)).toBe("position");
    expect(nearestWord("Polarity", keys)).toBe("polarity");
    expect(nearestWord("delay", keys)).toBe("delayMs");
    expect(nearestWord("zebra", keys)).toBeUndefined();
  });
});
