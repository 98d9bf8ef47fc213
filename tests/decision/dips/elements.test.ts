/** What of a venue can be taken away, and what it is called: rooms of a few walls. */
import { describe, expect, test } from "vitest";
import { elementsOf, stacksOf } from "../../../lib/decision/dips/elements";
import type { Boundary, Source } from "../../../lib/venue/venue";
import { box, HARD, source, venue } from "../../field/venues";

const at = (x: number, y: number, z: number) => ({ x, y, z });
const quad = (name: string, corners: [number, number, number][]): Boundary => ({
  name,
  corners: corners.map(([x, y, z]) => at(x, y, z)) as unknown as Boundary["corners"],
  absorption: HARD,
});
const seats = [
  {
    name: "stalls",
    corners: [at(6, 12, 0), at(6, 2, 0), at(16, 2, 0), at(16, 12, 0)] as const,
    earHeight: 1.2,
    density: 1,
  },
];
/** 20 m long, 14 m wide, 7 m high; x = 0 behind the source. */
const room = (sources: Source[], more: Boundary[] = []) =>
  venue({
    sources,
    audience: seats,
    boundaries: [
      ...box([20, 14, 7], { west: 0, east: 0, south: 0, north: 0, floor: 0, ceiling: 0 }),
      ...more,
    ],
  });
const sub = (x: number, y: number, z = 0.3) => source(at(x, y, z), { id: `sub ${x} ${y}` });
const kinds = (v: ReturnType<typeof room>) => Object.fromEntries(elementsOf(v).map((s) => [s.name, s.kind]));

describe("elements", () => {
  test("of a room are its surfaces by what they are to the sources and the audience, and its cavities", () => {
    expect(kinds(room([sub(2, 7)]))).toEqual({
      west: "wall behind the subs",
      east: "rear wall",
      south: "side wall",
      north: "side wall",
      floor: "floor",
      ceiling: "ceiling",
    });
    const mouth = [at(0, 5, 0), at(0, 9, 0), at(0, 9, 1), at(0, 5, 1)] as const;
    const hollow = {
      ...room([sub(2, 7)]),
      cavities: [{ name: "pit", opening: mouth, depth: 2, absorption: HARD }],
    };
    expect(elementsOf(hollow).at(-1)).toEqual({ kind: "cavity", name: "pit", boundaries: [], cavity: "pit" });
  });
  test("between the sources and the listener, or askew, are other surfaces", () => {
    const screen = quad("screen", [
      [5, 4, 0],
      [5, 10, 0],
      [5, 10, 2],
      [5, 4, 2],
    ]);
    const askew = quad("askew", [
      [15, 0, 0],
      [20, 5, 0],
      [20, 5, 7],
      [15, 0, 7],
    ]);
    const found = kinds(room([sub(2, 7)], [screen, askew]));
    expect(found.screen).toBe("other surface");
    expect(found.askew).toBe("other surface");
  });
  test("that lie in one plane are one, whichever way they face; a step of half a metre makes two; all floors are one", () => {
    const door = (x: number) =>
      quad("door", [
        [x, 5, 0],
        [x, 9, 0],
        [x, 9, 3],
        [x, 5, 3],
      ]);
    const one = elementsOf(room([sub(2, 7)], [door(19.8)])).find((e) => e.kind === "rear wall");
    expect(one?.boundaries).toHaveLength(2);
    const { corners } = door(19.8);
    const [a, b, c, d] = corners;
    const facing = { ...door(19.8), corners: [d, c, b, a] as const };
    expect(elementsOf(room([sub(2, 7)], [facing])).filter((e) => e.kind === "rear wall")).toHaveLength(1);
    expect(elementsOf(room([sub(2, 7)], [door(19.4)])).filter((e) => e.kind === "rear wall")).toHaveLength(2);
    const pit = quad("pit", [
      [5, 4, -0.6],
      [8, 4, -0.6],
      [8, 9, -0.6],
      [5, 9, -0.6],
    ]);
    const floors = elementsOf(room([sub(2, 7)], [pit])).filter((e) => e.kind === "floor");
    expect(floors.map((f) => f.boundaries.length)).toEqual([2]);
  });
  test("are given largest first, without the kinds left out", () => {
    const names = elementsOf(room([sub(2, 7)]), ["floor"]).map((e) => e.name);
    // 20 × 14, then 20 × 7 twice, then 14 × 7 twice.
    expect(names[0]).toBe("ceiling");
    expect(names.slice(1, 3).sort()).toEqual(["north", "south"]);
    expect(names.slice(3).sort()).toEqual(["east", "west"]);
  });
});

test("cabinets within 2.2 m of each other, neighbour by neighbour, are one stack", () => {
  const ids = (sources: Source[]) =>
    stacksOf(sources)
      .map((s) => s.length)
      .sort();
  expect(ids([sub(2, 3), sub(2, 5), sub(2, 11)])).toEqual([1, 2]);
  expect(ids([sub(2, 3), sub(2, 5), sub(2, 7), sub(2, 9)])).toEqual([4]);
  expect(ids([sub(2, 3), sub(2, 7), sub(2, 5)])).toEqual([3]);
});
