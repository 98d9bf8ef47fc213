/** Small invented venues for the field's tests. */
import type { Point } from "../../lib/acoustics/point";
import type { Position } from "../../lib/survey/survey";
import type { Boundary, Source, Venue } from "../../lib/venue/venue";

export const HARD = { frequency: [1000], value: [0] };

export function source(point: Point, more: Partial<Source> = {}): Source {
  return {
    id: "source",
    group: "subs",
    point,
    axis: { x: 1, y: 0, z: 0 },
    up: { x: 0, y: 0, z: 1 },
    level: { frequency: [1000], level: [94] },
    gain: 0,
    delay: 0,
    polarity: 1,
    filters: [],
    pattern: { kind: "omni" },
    size: { width: 0.5, height: 0.5, depth: 0.5 },
    ...more,
  };
}

export function venue(more: Partial<Venue> = {}): Venue {
  const corners = [
    { x: 1, y: 1, z: 0 },
    { x: 1, y: -1, z: 0 },
    { x: 3, y: -1, z: 0 },
    { x: 3, y: 1, z: 0 },
  ] as const;
  return {
    name: "test field",
    story: "",
    air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
    sources: [],
    audience: [],
    boundaries: [],
    cavities: [],
    frontOfHouse: { corners: [...corners], earHeight: 1.6 },
    positions: [],
    ...more,
  };
}

/** A large rectangle x = at or z = at, hard unless told. */
export function wall(axis: "x" | "z", at: number, half = 2000, absorption = HARD): Boundary {
  const corner = (a: number, b: number): Point =>
    axis === "x" ? { x: at, y: a, z: b } : { x: a, y: b, z: at };
  return {
    name: `${axis} = ${at}`,
    corners: [corner(-half, -half), corner(half, -half), corner(half, half), corner(-half, half)],
    absorption,
  };
}

export function box(size: readonly number[], absorption: Record<string, number>): Boundary[] {
  const [x, y, z] = size;
  const face = (name: string, corners: number[][]): Boundary => ({
    name,
    corners: corners.map(([a, b, c]) => ({ x: a, y: b, z: c })) as unknown as Boundary["corners"],
    absorption: { frequency: [1000], value: [absorption[name]] },
  });
  return [
    face("west", [
      [0, 0, 0],
      [0, y, 0],
      [0, y, z],
      [0, 0, z],
    ]),
    face("east", [
      [x, 0, 0],
      [x, y, 0],
      [x, y, z],
      [x, 0, z],
    ]),
    face("south", [
      [0, 0, 0],
      [x, 0, 0],
      [x, 0, z],
      [0, 0, z],
    ]),
    face("north", [
      [0, y, 0],
      [x, y, 0],
      [x, y, z],
      [0, y, z],
    ]),
    face("floor", [
      [0, 0, 0],
      [x, 0, 0],
      [x, y, 0],
      [0, y, 0],
    ]),
    face("ceiling", [
      [0, 0, z],
      [x, 0, z],
      [x, y, z],
      [0, y, z],
    ]),
  ];
}

export function at(x: number, y: number, z: number): Position {
  return { id: `${x} ${y} ${z}`, point: { x, y, z }, area: "test", people: 1 };
}

/** Level of a complex value in dB re the level of 1. */
export function decibels(re: number, im: number): number {
  return 10 * Math.log10(re * re + im * im);
}
