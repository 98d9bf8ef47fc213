// Reference: boundary elements by bempp-cl, see scripts/reference/field_obstacle.py.
import { expect, test } from "vitest";
import { rectangle } from "../../../lib/field/paths/rectangle";
import reference from "../reference/field_obstacle.json";
import { at, grid, hear, open, quantile } from "./grid";

const SIZE = 0.4;
const DEEP = 4;

test("a hard block on hard ground is gone around as boundary elements have it", () => {
  const [x0, y0] = reference.block.from;
  const [x1, y1, top] = reference.block.to;
  const side = (ax: number, ay: number, bx: number, by: number) =>
    rectangle([at(ax, ay, 0), at(bx, by, 0), at(bx, by, top), at(ax, ay, top)]);
  const block = [
    rectangle([at(x0, y0, top), at(x1, y0, top), at(x1, y1, top), at(x0, y1, top)]),
    side(x0, y0, x1, y0),
    side(x1, y0, x1, y1),
    side(x1, y1, x0, y1),
    side(x0, y1, x0, y0),
  ];
  const point = ([x, y, z]: number[]) => at(x, y, z);
  const source = point(reference.source);
  const [low, high] = [at(0, 0, 0), at(12, 8, 4)];
  const g = grid(block, SIZE, at(-DEEP, -DEEP, 0), at(high.x + DEEP, high.y + DEEP, high.z + DEEP), source);
  const { response } = hear(g, [source], reference.places.map(point), 0.4, {
    layer: open(g, { ...low, z: -1e9 }, high, DEEP),
  });
  const errors = reference.thirdOctaves.map((f, k) =>
    reference.level[k].map((level, i) => 20 * Math.log10(Math.hypot(...response(0, i, f))) - level),
  );
  if (process.env.SHOW_DEVIATIONS)
    reference.thirdOctaves.forEach((f, k) => {
      console.info(`block at ${f} Hz | ${errors[k].map((e) => e.toFixed(2)).join(" ")}`);
    });
  // At 125 Hz a wave is seven cubes long, and the block three high.
  expect(quantile(errors.slice(0, 6).flat(), 1)).toBeLessThan(0.35);
  expect(quantile(errors.flat(), 0.5)).toBeLessThan(0.1);
  expect(quantile(errors.flat(), 1)).toBeLessThan(0.8);
});
