// Bodies drawn as rectangles in a hall: what they hide they hide by bending, and never a whole hall.
import { describe, expect, it } from "vitest";
import type { Point } from "../../../lib/acoustics/point";
import { modelSurvey } from "../../../lib/field/model-survey";
import { images } from "../../../lib/field/paths/images";
import { pathFinder } from "../../../lib/field/paths/paths";
import { wallsOf } from "../../../lib/field/paths/walls";
import type { Boundary } from "../../../lib/venue/venue";
import { at, box, decibels, source, venue } from "../venues";

const SOFT = { frequency: [1000], value: [0.2] };
const hall = box([30, 16, 10], { west: 0.2, east: 0.2, south: 0.2, north: 0.2, floor: 0.2, ceiling: 0.2 });

/** The faces of a block with its edges along the axes, those left out that are named. */
function block(
  name: string,
  x: number[],
  y: number[],
  z: number[],
  without: readonly string[] = [],
): Boundary[] {
  return box([x[1] - x[0], y[1] - y[0], z[1] - z[0]], {
    west: 0.2,
    east: 0.2,
    south: 0.2,
    north: 0.2,
    floor: 0.2,
    ceiling: 0.2,
  })
    .filter((face) => !without.includes(face.name))
    .map((face) => ({
      name: `${name} ${face.name}`,
      absorption: SOFT,
      corners: face.corners.map((c) => ({
        x: c.x + x[0],
        y: c.y + y[0],
        z: c.z + z[0],
      })) as unknown as Boundary["corners"],
    }));
}

const lids = ["floor", "ceiling"];
const bodies: [string, Boundary[]][] = [
  ["a pillar of four faces", block("pillar", [10, 10.6], [7.7, 8.3], [0, 10], lids)],
  ["a pillar of six faces", block("pillar", [10, 10.6], [7.7, 8.3], [0, 10])],
  ["a pillar that ends below the ceiling", block("pillar", [10, 10.6], [7.7, 8.3], [0, 6], ["floor"])],
  ["a riser", block("riser", [8, 14], [4, 12], [0, 0.4], ["floor"])],
  ["a riser of six faces", block("riser", [8, 14], [4, 12], [0, 0.4])],
  ["a stage block against the wall", block("stage", [0, 1.5], [2, 14], [0, 1], ["floor", "west"])],
  [
    "a stage as front and top",
    block("stage", [0, 1.5], [0, 16], [0, 1], ["floor", "west", "south", "north"]),
  ],
  [
    "a balcony of underside and front",
    block("balcony", [22, 30], [0, 16], [4, 5.2], ["ceiling", "east", "south", "north"]),
  ],
  [
    "a balcony of underside, front and top",
    block("balcony", [22, 30], [0, 16], [4, 5.2], ["east", "south", "north"]),
  ],
];

const frequency = Float64Array.from({ length: 25 }, (_, i) => 31.5 * 2 ** (i / 3));
const rear = [17, 20, 23, 26, 29].flatMap((x) => [2, 5, 8.01, 11, 14].map((y) => at(x, y, 1.2)));
const sources = [
  source({ x: 2, y: 8, z: 1.4 }),
  source({ x: 2, y: 5, z: 6 }, { group: "mains" }),
  source({ x: 2, y: 11, z: 6 }, { group: "mains" }),
];
/** Levels at the positions, each the mean power of the frequencies. */
function levels(boundaries: Boundary[], group: "mains" | "subs", positions = rear): number[] {
  const survey = modelSurvey(venue({ sources, boundaries }), positions, { frequency });
  return survey[group].map(({ re, im }) => {
    const power = re.reduce((sum, x, f) => sum + x * x + im[f] * im[f], 0) / re.length;
    return decibels(Math.sqrt(power), 0);
  });
}

describe("in a hall", () => {
  const open = { mains: levels(hall, "mains"), subs: levels(hall, "subs") };

  // The underside of a riser lies over the hall's floor, which by itself makes up to some 2 dB.
  it.each(bodies)("%s leaves mains and subs in the rear half within a few decibels", (_, body) => {
    for (const group of ["mains", "subs"] as const)
      levels([...hall, ...body], group).forEach((level, i) => {
        expect(Math.abs(level - open[group][i]), `${group} at ${rear[i].id}`).toBeLessThan(3.5);
      });
  });
});

describe("a screen", () => {
  const far = Array.from({ length: 4 }, () => Infinity);
  /** What stands in the way of the direct path: the detours over its edges. */
  function inTheWay(boundaries: Boundary[], from: Point, to: Point) {
    const walls = wallsOf({ boundaries, cavities: [] });
    const [direct] = images(
      source(from),
      walls.map((w) => w.rectangle),
      0,
    );
    const path = pathFinder(walls, { finiteSize: true, obstruction: true })(direct, to);
    return path?.obstructions.map(({ detours }) => detours) ?? [];
  }
  const pillar = bodies[0][1];

  it("of a pillar ends at its sides, and its two faces count as one", () => {
    const found = inTheWay([...hall, ...pillar], { x: 3, y: 8, z: 1.5 }, { x: 20, y: 8, z: 1.5 });
    expect(found.length).toBe(1);
    // Round the front face, 0.3 m beside the way, 7 m and 10 m from its ends; round the rear one 7.6 m and 9.4 m.
    const round = (a: number) => Math.hypot(a, 0.3) + Math.hypot(17 - a, 0.3) - 17;
    const [first, second] = found[0].filter((d) => d < 1);
    expect(first).toBeCloseTo(round(7), 6);
    expect(second).toBeCloseTo(round(7), 6);
  });

  it("shuts in what is inside of a closed body, all round", () => {
    for (const [from, to] of [
      [
        { x: 3, y: 8, z: 1.5 },
        { x: 10.3, y: 8, z: 1.5 },
      ],
      [
        { x: 10.3, y: 8.1, z: 3 },
        { x: 20, y: 8, z: 1.5 },
      ],
    ])
      expect(inTheWay([...hall, ...pillar], from, to)).toContainEqual(far);
  });

  it("across a hall from wall to wall is closed all round, from the floor up free at its top", () => {
    const across = (top: number, y: number[] = [0, 16]): Boundary => ({
      name: "partition",
      absorption: SOFT,
      corners: [
        { x: 12, y: y[0], z: 0 },
        { x: 12, y: y[1], z: 0 },
        { x: 12, y: y[1], z: top },
        { x: 12, y: y[0], z: top },
      ],
    });
    const [from, to] = [
      { x: 4, y: 8, z: 1.5 },
      { x: 20, y: 8, z: 1.5 },
    ];
    expect(inTheWay([...hall, across(10)], from, to)).toEqual([far]);
    const over = (z: number) => 2 * Math.hypot(8, z - 1.5) - 16;
    const [low] = inTheWay([...hall, across(4)], from, to);
    expect(low.slice(0, 2)).toEqual([Infinity, Infinity]);
    expect(low[3]).toBeCloseTo(over(4), 9);
    expect(low[2]).toBeCloseTo(over(-4), 9);
    // Two halves in one plane are one wall, for what passes through either, at the seam too.
    for (const y of [7, 8, 10]) {
      const halves = [across(4, [0, 8]), across(4, [8, 16])];
      const found = inTheWay([...hall, ...halves], { ...from, y }, { ...to, y });
      expect(found.length).toBe(1);
      expect(found[0].slice(0, 2)).toEqual([Infinity, Infinity]);
      for (const edge of [2, 3]) expect(found[0][edge]).toBeCloseTo(low[edge], 9);
    }
  });
});
