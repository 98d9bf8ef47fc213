import { describe, expect, it } from "vitest";
import { modelFrequencies } from "../../../lib/field/frequencies";
import { plainPathSum } from "../../../lib/field/path-sum/plain";
import { simdPathSum } from "../../../lib/field/path-sum/simd";
import { type PointSource, pressureAt } from "../../../lib/field/pressure";
import { expectAgreement } from "../../acoustics/deviation";

/** Numbers 0…1 from a seed, the same everywhere (a linear congruential generator). */
function numbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1664525 + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

const next = numbers(7);
const between = (a: number, b: number): number => a + (b - a) * next();

const sums = [
  ["plain TypeScript", plainPathSum],
  ["WebAssembly SIMD", simdPathSum],
] as const;

describe.each(sums)("the path sum in %s", (_, makeSum) => {
  // Odd counts, so that the padding to whole blocks is at work; distances from centimetres to a long field.
  const frequency = modelFrequencies().slice(0, 239);
  const sources: PointSource[] = Array.from({ length: 83 }, () => ({
    point: { x: between(-2, 0), y: between(-9, 9), z: between(0, 9) },
    re: frequency.map(() => between(-1, 1)),
    im: frequency.map(() => between(-1, 1)),
  }));
  const positions = Array.from({ length: 61 }, (_, i) => ({
    x: between(0.01, i < 30 ? 3 : 400),
    y: between(-20, 20),
    z: between(0, 9),
  }));
  const sum = (k: Float64Array, rows: number) => {
    const made = makeSum(k, rows);
    if (!made) throw new Error("this machine has no WebAssembly SIMD");
    return made;
  };

  it("is within 1e-9 of the largest term of the sum by Math.cos and Math.sin", () => {
    const speedOfSound = 341.7;
    const table = pressureAt(sources, positions, frequency, { speedOfSound, sum });
    let worst = 0;
    positions.forEach((position, p) => {
      frequency.forEach((f, i) => {
        const k = (2 * Math.PI * f) / speedOfSound;
        let [re, im, largest] = [0, 0, 0];
        for (const s of sources) {
          const r = Math.hypot(s.point.x - position.x, s.point.y - position.y, s.point.z - position.z);
          const [c, d] = [Math.cos(k * r) / r, -Math.sin(k * r) / r];
          re += s.re[i] * c - s.im[i] * d;
          im += s.re[i] * d + s.im[i] * c;
          largest = Math.max(largest, Math.hypot(s.re[i], s.im[i]) / r);
        }
        const at = p * frequency.length + i;
        worst = Math.max(worst, Math.hypot(table.re[at] - re, table.im[at] - im) / largest);
      });
    });
    expectAgreement("path sum, of the largest term", [[worst, 0]], 1e-9);
    // Not a comparison of a thing with itself.
    expect(worst).toBeGreaterThan(0);
  });

  it("adds to what is there, by the row it is given, at the frequencies it is given", () => {
    const k = Float64Array.from({ length: 11 }, (_, i) => i + 1);
    const s = sum(k, 2);
    s.weightRe.fill(2 * Math.PI, s.stride);
    s.re[0] = 10;
    // Whole half turns: e^{−jπk} is −1 and 1 in turn, over a length of π.
    s.add(1, Math.PI, 8);
    const rounded = Array.from(s.re.slice(0, 11), (x) => Math.round(x * 1e9) / 1e9);
    expect(rounded).toEqual([8, 2, -2, 2, -2, 2, -2, 2, 0, 0, 0]);
    s.add(0, Math.PI);
    expect(Array.from(s.re.slice(0, 11), (x) => Math.round(x * 1e9) / 1e9)).toEqual(rounded);
  });
});

describe("pressureAt", () => {
  it("names a source whose values do not fit the frequencies, and a place on top of a source", () => {
    const one = { point: { x: 0, y: 0, z: 0 }, re: Float64Array.of(1), im: Float64Array.of(0) };
    expect(() => pressureAt([one], [{ x: 1, y: 0, z: 0 }], Float64Array.of(1, 2))).toThrow(
      /source 0 has 1 values, expected 2/,
    );
    expect(() => pressureAt([one], [one.point], Float64Array.of(100))).toThrow(
      /place 0 is where source 0 is/,
    );
  });
});
