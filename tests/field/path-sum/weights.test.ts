// Plain weights are held by the tests of patterns, air and finite rectangles; here the compiled ones are held to them.
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Pattern } from "../../../lib/acoustics/directivity/pattern";
import { plainWeightedPathSum } from "../../../lib/field/path-sum/plain";
import { simdWeightedPathSum } from "../../../lib/field/path-sum/simd";
import type { WeightedPathSum } from "../../../lib/field/path-sum/types";
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
  { kind: "sphere", radius: 0.63 },
  { kind: "piston", width: 0.1, height: 0.24, rear: 14 },
];
const sources = patterns.map((pattern) => ({
  pattern,
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
/** The same, aimed along no axis. */
const turned = {
  ...image,
  axis: { x: 2 / 3, y: 1 / 3, z: 2 / 3 },
  up: { x: -2 / 3, y: 2 / 3, z: 1 / 3 },
};
const reflectionFactors = [0, 1].map(() => waveNumber.map(() => between(0, 1)));
const options = { sources, waveNumber, nepers, reflectionFactors };
const plain = plainWeightedPathSum(options);
const simd = simdWeightedPathSum(options) as WeightedPathSum;
const all = waveNumber.length;

/** Largest difference of the weights at the first frequencies; the others must be as they were. */
function difference(frequencies = all): number {
  let worst = 0;
  for (let f = 0; f < frequencies; f++) {
    worst = Math.max(
      worst,
      Math.abs(plain.weightRe[f] - simd.weightRe[f]),
      Math.abs(plain.weightIm[f] - simd.weightIm[f]),
    );
  }
  // NaN is no small difference.
  return Number.isFinite(worst) ? worst : Number.POSITIVE_INFINITY;
}

describe("compiled weights of paths", () => {
  it.each(patterns.map((pattern, source) => [pattern.kind, source] as const))(
    "gives drive, pattern, air and boundaries of a source that is %s as the plain one does",
    (_, source) => {
      const directions = [
        { x: 1, y: 0, z: 0 },
        { x: -1, y: 0, z: 0 },
        { x: 0, y: 1, z: 0 },
        ...Array.from({ length: 50 }, () => ({ x: between(-9, 9), y: between(-9, 9), z: between(-9, 9) })),
      ];
      for (const [i, direction] of directions.entries()) {
        const chain = i % 2;
        const length = between(0.1, 3000);
        for (const aimed of [image, turned]) {
          for (const sum of [plain, simd]) sum.begin(source, aimed, direction, length, chain, all);
          expect(difference()).toBeLessThan(1e-6);
        }
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
        for (const sum of [plain, simd]) {
          sum.begin(0, image, { x: 1, y: 2, z: 3 }, 1, 1, all);
          sum.finiteSize(d, act, all);
        }
        // Deep in a shadow the phase turns a thousand times, and single precision loses as much of it.
        expect(difference(), d.join()).toBeLessThan(act === "in shadow" ? 5e-6 : 1e-6);
      }
    },
  );

  it.each<FiniteSizeAct>(["passed", "in shadow"])(
    "gives the second wave of hard edges (%s) as the plain one does",
    (act) => {
      const detour = () => (random() < 0.3 ? Number.POSITIVE_INFINITY : 10 ** between(-4, 1.5));
      for (let i = 0; i < 300; i++) {
        const sign = () => (random() < 0.3 ? -1 : 1);
        const d: Detours = [detour(), detour(), detour(), detour()];
        const [across, along] = [sign(), sign()];
        const detours: Detours = [
          d[0] === Infinity ? d[0] : across * d[0],
          d[1],
          d[2] === Infinity ? d[2] : along * d[2],
          d[3],
        ];
        const length = between(1, 60);
        const mirrored = between(0, length);
        const width = Math.max(d[0], d[1]) === Infinity ? Infinity : between(0.3, 20);
        const height = Math.max(d[2], d[3]) === Infinity ? Infinity : between(0.3, 20);
        for (const sum of [plain, simd]) {
          sum.begin(0, image, { x: 1, y: 2, z: 3 }, 1, 1, all);
          sum.finiteSize(detours, act, all, { length, mirrored, width, height });
        }
        expect(difference(), detours.join()).toBeLessThan(act === "in shadow" ? 1e-5 : 3e-6);
      }
    },
  );

  it("leave frequencies beyond the first ones as they were", () => {
    for (const sum of [plain, simd]) {
      sum.begin(0, image, { x: 1, y: 2, z: 3 }, 1, 1, all);
      sum.begin(2, image, { x: 1, y: 2, z: 3 }, 20, 0, 80);
      sum.finiteSize([-0.3, 2, 0.1, 7], "passed", 80);
      sum.finiteSize([0.3, 2, 0.1, 7], "in shadow", 80);
      sum.finiteSize([0.3, -2, 0.1, 7], "reflected", 80);
    }
    expect(difference()).toBeLessThan(5e-6);
    expect(simd.weightRe[80]).not.toBe(0);
  });
});
