// Where boxes sound from: potential flow past the box (k → 0, where the dipole of a source in its front is that flow's potential there) by
// boundary elements of our own, solid angles of flat panels by van Oosterom and Strackee (1983); single boxes agree to 0.02 m with
// bempp-cl 0.4.2 at 31.5 Hz, from the phases in front and behind. Metres before the front, the mean of the cabinets of a block.
import { describe, expect, test } from "vitest";
import { bodiesOf } from "../../lib/venue/body";
import { acousticCentre } from "../../lib/venue/centre";
import { block } from "../../lib/venue/layouts";
import type { Source } from "../../lib/venue/venue";
import { wall } from "../field/venues";

const floor = [wall("z", 0)];
const stack = (width: number, height: number, depth: number, across = 1, high = 1, bottom = 0): Source[] => [
  ...block({
    cabinet: {
      level: { frequency: [50], level: [100] },
      pattern: { kind: "omni" },
      size: { width, height, depth },
    },
    position: { x: 0, y: 0, z: bottom + height / 2 },
    across,
    high,
  }).sources,
];

describe("the body of cabinets", () => {
  test.each<[string, Source[], number]>([
    ["a sub of 0.25 m³ on the floor", stack(0.6, 0.6, 0.7), 0.303],
    ["a low sub on the floor", stack(0.7, 0.5, 0.6), 0.296],
    ["a sub of 0.34 m³ on the floor", stack(0.7, 0.6, 0.8), 0.33],
    ["a wide sub on the floor", stack(1.1, 0.6, 0.8), 0.4],
    ["a deep sub on the floor", stack(1.2, 0.6, 1), 0.43],
    ["a tall sub on the floor", stack(0.6, 1.1, 0.8), 0.351],
    ["two side by side", stack(1.1, 0.6, 0.8, 2, 1), 0.515],
    ["two on top of each other", stack(1.1, 0.6, 0.8, 1, 2), 0.531],
    ["three on top of each other", stack(1.1, 0.6, 0.8, 1, 3), 0.581],
    ["four side by side", stack(1.1, 0.6, 0.8, 4, 1), 0.587],
    ["a flown sub", stack(0.7, 0.6, 0.8, 1, 1, 5), 0.258],
    ["a wide flown sub", stack(1.1, 0.6, 0.8, 1, 1, 5), 0.299],
    ["two flown on top of each other", stack(1.1, 0.6, 0.8, 1, 2, 5), 0.418],
    ["four flown side by side", stack(1.1, 0.6, 0.8, 4, 1, 5), 0.366],
  ])("of %s sounds from where boundary elements say, to 0.06 m", (_, sources, centre) => {
    for (const body of bodiesOf(sources, floor)) expect(Math.abs(body.centre - centre)).toBeLessThan(0.06);
  });

  test("is one for cabinets that touch, another for each that stands alone", () => {
    const alone = stack(1, 0.6, 0.8);
    const apart = alone.map((s) => ({ ...s, id: "other", point: { ...s.point, y: 3 } }));
    const [one] = bodiesOf(alone, floor);
    expect(bodiesOf([...alone, ...apart], floor)).toEqual([one, one]);
    const [both] = bodiesOf(stack(1, 0.6, 0.8, 2, 1), floor);
    expect(both.radius / one.radius).toBeCloseTo(2 ** (1 / 3), 9);
    // Behind each other or facing away they are bodies of their own.
    const behind = alone.map((s) => ({ ...s, point: { ...s.point, x: -1 } }));
    const away = alone.map((s) => ({ ...s, axis: { x: -1, y: 0, z: 0 }, point: { ...s.point, y: 1 } }));
    expect(bodiesOf([...alone, ...behind, ...away], floor)).toEqual([one, one, one]);
  });

  test("doubles on a floor, not above it and not where there is none", () => {
    const [on] = bodiesOf(stack(1, 0.6, 0.8), floor);
    const [over] = bodiesOf(stack(1, 0.6, 0.8, 1, 1, 2), floor);
    const [nowhere] = bodiesOf(stack(1, 0.6, 0.8), []);
    expect(on.radius / over.radius).toBeCloseTo(2 ** (1 / 3), 9);
    expect(nowhere).toEqual(over);
  });

  test("sounds from between its front and a wall that it faces", () => {
    const [{ centre }] = bodiesOf(stack(1, 0.6, 0.8), [...floor, wall("x", 0.3)]);
    expect(centre).toBeCloseTo(0.15, 9);
    const [behind] = bodiesOf(stack(1, 0.6, 0.8), [...floor, wall("x", -0.9)]);
    expect(behind.centre).toBeGreaterThan(0.3);
  });

  test("does not grow on with the length of a row", () => {
    const [four] = bodiesOf(stack(1, 0.6, 0.8, 5, 1), floor);
    const [forty] = bodiesOf(stack(1, 0.6, 0.8, 40, 1), floor);
    expect(forty.radius).toBeCloseTo(four.radius, 1);
  });
});

describe("acoustic centre", () => {
  test("lies before the middle of the front, along the axis, and there where nothing is said", () => {
    const [source] = stack(1, 0.6, 0.8);
    const turned = { ...source, axis: { x: 0, y: -1, z: 0 }, centre: 0.4 };
    expect(acousticCentre(turned)).toEqual({ x: 0, y: -0.4, z: 0.3 });
    expect(acousticCentre(source)).toEqual(source.point);
  });
});
