// The law of a plane wave on the grid: 4 sin²(ωT/2) = (cT/h)² times what the nineteen points make of it, written out here.
import { describe, expect, it } from "vitest";
import { pieceAt } from "../../../lib/field/waves/cells";
import { runFields } from "../../../lib/field/waves/run";
import { expectAgreement } from "../../acoustics/deviation";
import { at, grid, SPEED } from "./grid";

/** The grid's radian frequency for a wave number along a direction. */
function radian(size: number, step: number, k: number, direction: readonly number[]): number {
  const [x, y, z] = direction.map((d) => (d * k * size) / Math.hypot(...direction));
  let sum = 4;
  for (const [a, b, c] of [
    [x, y, z],
    [y, z, x],
    [z, x, y],
  ]) {
    sum -= (2 / 3) * Math.cos(a);
    sum -= (1 / 3) * (Math.cos(b + c) + Math.cos(b - c));
  }
  return (2 / step) * Math.asin(((SPEED * step) / size / 2) * Math.sqrt(sum));
}

const SIZE = 0.4;
const CUBES = 10;

describe("waves on the grid", () => {
  const side = CUBES * SIZE;
  // A box of whole cubes, whose modes the grid carries as they are, each at a frequency of its own.
  const box = grid([], SIZE, at(0, 0, 0), at(side, side, side), at(1, 1, 1));

  it("are at most 1.8 % too slow to 130 Hz on the largest cubes, alike along axes, faces and diagonals, so that the law makes it 0.1 %", () => {
    const { cells, equations, step, dispersion } = box;
    const [nx, ny] = cells.counts;
    const modes = [
      [3, 0, 0],
      [2, 2, 0],
      [2, 2, 2],
      [1, 1, 1],
      [2, 1, 0],
    ];
    const pieces = Array.from(equations.home.keys()).filter((p) => equations.home[p] === p);
    const receivers = modes.map((mode) => ({
      pieces,
      weights: pieces.map((p) =>
        [p % nx, Math.floor(p / nx) % ny, Math.floor(p / nx / ny)].reduce(
          (product, i, axis) => product * Math.cos((mode[axis] * Math.PI * (i - 0.5)) / CUBES),
          1,
        ),
      ),
    }));
    const [heard] = runFields(cells, equations, {
      speedOfSound: SPEED,
      step,
      steps: 400,
      every: 1,
      admittance: () => [0],
      fields: [
        [
          {
            spot: { pieces: [pieceAt(cells, at(0.1, 0.1, 0.1)) ?? -1], weights: [1] },
            samples: Float32Array.of(1, -1),
          },
        ],
      ],
      receivers,
    });
    const measured = modes.map((_, m) => {
      // What swings at one frequency obeys a(n + 1) + a(n − 1) = 2 cos(ωT) a(n).
      let above = 0;
      let below = 0;
      for (let n = 3; n < 399; n++) {
        const [a, b, c] = [n - 1, n, n + 1].map((i) => heard[i * modes.length + m]);
        above += b * (a + c);
        below += 2 * b * b;
      }
      return Math.acos(above / below) / step;
    });
    const numbers = modes.map((mode) => (Math.hypot(...mode) * Math.PI) / side);
    const name = (m: number) => `mode ${modes[m]}`;
    expectAgreement(
      "frequency of modes on the grid by the plane wave's law",
      measured.map((w, m) => [w, radian(SIZE, step, numbers[m], modes[m]), name(m)]),
      1e-4,
      true,
    );
    expectAgreement(
      "frequency of modes on the grid by its mean over directions",
      measured.map((w, m) => [w, dispersion.radian(numbers[m]), name(m)]),
      1e-3,
      true,
    );
    measured.forEach((w, m) => {
      if (numbers[m] <= (2 * Math.PI * 130) / SPEED)
        expect(Math.abs(w / (SPEED * numbers[m]) - 1), name(m)).toBeLessThan(0.018);
    });
  });
});
