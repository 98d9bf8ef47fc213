// Exact: plane waves and their derivatives.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Point } from "../../../lib/acoustics/point";
import { type Along, spotAt } from "../../../lib/field/waves/spot";
import { at, grid } from "./grid";

const SIZE = 0.4;
const { cells, equations } = grid([], SIZE, at(0, 0, 0), at(4, 4, 4), at(1, 1, 1));
const coordinate = fc.double({ min: -1, max: 1, noNaN: true });
const direction = fc
  .tuple(coordinate, coordinate, coordinate)
  .filter((d) => Math.hypot(...d) > 0.1)
  .map((d): Point => {
    const length = Math.hypot(...d);
    return at(d[0] / length, d[1] / length, d[2] / length);
  });
/** Places far from walls, and places beside the floor or in its corner. */
const place = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
const far = fc.tuple(place(1.2, 2.8), place(1.2, 2.8), place(1.2, 2.8)).map((p) => at(...p));
const low = fc.tuple(place(1.2, 2.8), place(1.2, 2.8), place(0.2, 0.4)).map((p) => at(...p));

/** Amount of the error beside that of the wave, or of its derivative's most. */
function errorOf(point: Point, to: Point, k: number, along?: Along): number {
  const { pieces, weights } = spotAt(cells, equations, point, along);
  const [nx, ny] = cells.counts;
  const turn = (x: number, y: number, z: number) =>
    k * (to.x * (x - point.x) + to.y * (y - point.y) + to.z * (z - point.z));
  let [re, im] = [0, 0];
  pieces.forEach((piece, i) => {
    const cube = cells.cube[piece];
    const [x, y, z] = [cube % nx, Math.floor(cube / nx) % ny, Math.floor(cube / (nx * ny))];
    const middle = (from: number, count: number) => from + SIZE * (count + 0.5);
    const phase = turn(middle(cells.from.x, x), middle(cells.from.y, y), middle(cells.from.z, z));
    re += weights[i] * Math.cos(phase);
    im += weights[i] * Math.sin(phase);
  });
  if (!along) return Math.hypot(re - 1, im);
  const part = along.axis.x * to.x + along.axis.y * to.y + along.axis.z * to.z;
  return along.times === 1
    ? Math.hypot(re, im - k * part) / k
    : Math.hypot(re + k * k * part * part, im) / (k * k);
}

const K125 = (2 * Math.PI * 125) / 343;

describe("the pressure between pieces", () => {
  it("is that of a plane wave of 125 Hz within 0.1 dB in the open, and its derivatives within 2 and 12 %", () => {
    fc.assert(
      fc.property(far, direction, direction, (point, to, axis) => {
        expect(errorOf(point, to, K125)).toBeLessThan(0.0115);
        expect(errorOf(point, to, K125, { axis, times: 1 })).toBeLessThan(0.02);
        expect(errorOf(point, to, K125, { axis, times: 2 })).toBeLessThan(0.12);
      }),
      { numRuns: 400 },
    );
  });

  it("beside a wall, which has pieces on one side only, is that of 80 Hz within 2 %", () => {
    fc.assert(
      fc.property(low, direction, (point, to) => {
        expect(errorOf(point, to, (K125 * 80) / 125)).toBeLessThan(0.02);
      }),
      { numRuns: 400 },
    );
  });
});
