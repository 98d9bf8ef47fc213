// The plain kernel is held by the tests of patterns, air and finite rectangles; here the quick one is held to it.
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Pattern } from "../../../lib/acoustics/directivity/pattern";
import { type PhasorSum, plainPhasorSum, simdPhasorSum } from "../../../lib/field/path-sum/phasor-sum";
import { plainPathKernel } from "../../../lib/field/path-sum/plain";
import { kernelRoom, simdPathKernel } from "../../../lib/field/path-sum/simd";
import type { Detours, FiniteSizeAct } from "../../../lib/field/paths/finite-size";
import { uniform } from "../../../lib/numeric/random";

const random = uniform(3);
const between = (a: number, b: number) => a + (b - a) * random();
// An odd number, so that the padding is at work.
const waveNumber = logGrid(0.4, 290, 239);
const nepers = waveNumber.map((k) => 1e-6 * k * k);
const patterns: readonly Pattern[] = [
  { kind: "omni" },
  { kind: "first-order", a: 0.6 },
  { kind: "piston", width: 0.1, height: 0.24, rear: 14 },
];
const voices = patterns.map((pattern) => ({
  source: { pattern },
  drive: { re: waveNumber.map(() => between(-1, 1)), im: waveNumber.map(() => between(-1, 1)) },
}));
const image = {
  point: { x: 0, y: 0, z: 0 },
  axis: { x: 1, y: 0, z: 0 },
  up: { x: 0, y: 0, z: 1 },
  wall: -1,
  height: 0,
  order: 0,
  chain: "",
};
const kept = [0, 1].map(() => waveNumber.map(() => between(0, 1)));
const options = { voices, waveNumber, nepers, kept };
const plainSum = plainPhasorSum(waveNumber, 4);
const plain = plainPathKernel(options, plainSum);
const simdSum = simdPhasorSum(
  waveNumber,
  4,
  kernelRoom(waveNumber.length, voices.length, kept.length),
) as PhasorSum;
const simd = simdPathKernel(options, simdSum) as ReturnType<typeof plainPathKernel>;

function difference(row: number): number {
  let worst = 0;
  for (let f = 0; f < waveNumber.length; f++) {
    const at = row * plainSum.stride + f;
    worst = Math.max(
      worst,
      Math.abs(plainSum.weightRe[at] - simdSum.weightRe[at]),
      Math.abs(plainSum.weightIm[at] - simdSum.weightIm[at]),
    );
  }
  // NaN is no small difference.
  return Number.isFinite(worst) ? worst : Number.POSITIVE_INFINITY;
}

describe("the quick kernel of path weights", () => {
  it.each(patterns.map((pattern, voice) => [pattern.kind, voice] as const))(
    "gives drive, pattern, air and boundaries of a source that is %s as the plain one does",
    (_, voice) => {
      const directions = [
        { x: 1, y: 0, z: 0 },
        { x: -1, y: 0, z: 0 },
        { x: 0, y: 1, z: 0 },
        ...Array.from({ length: 50 }, () => ({ x: between(-9, 9), y: between(-9, 9), z: between(-9, 9) })),
      ];
      for (const [i, direction] of directions.entries()) {
        const chain = i % 2;
        const length = between(0.1, 3000);
        for (const kernel of [plain, simd]) kernel.begin(2, voice, image, direction, length, chain);
        expect(difference(2)).toBeLessThan(1e-6);
      }
    },
  );

  it.each<FiniteSizeAct>(["reflected", "passed", "in shadow"])(
    "gives what finite rectangles do (%s) as the plain one does",
    (act) => {
      const detour = () => (random() < 0.3 ? Number.POSITIVE_INFINITY : 10 ** between(-4, 1.5));
      const cases: Detours[] = [
        [0, 1, 1, 1],
        [-0.3, 2, Infinity, Infinity],
        [Infinity, Infinity, -0.02, 7],
        [Infinity, Infinity, Infinity, Infinity],
        ...Array.from({ length: 200 }, (): Detours => {
          const sign = () => (random() < 0.3 ? -1 : 1);
          return [sign() * detour(), detour(), sign() * detour(), detour()];
        }).filter((d) => d.every((x) => x !== Number.NEGATIVE_INFINITY)),
      ];
      for (const d of cases) {
        for (const kernel of [plain, simd]) {
          kernel.begin(1, 0, image, { x: 1, y: 2, z: 3 }, 1, 1);
          kernel.finiteSize(1, d, act);
        }
        // Deep in a shadow the phase turns a thousand times, and single precision loses as much of it.
        expect(difference(1), d.join()).toBeLessThan(act === "in shadow" ? 5e-6 : 1e-6);
      }
    },
  );
});
