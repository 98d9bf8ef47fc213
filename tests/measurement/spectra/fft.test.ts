import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { fourierTransform } from "../../../lib/measurement/spectra/fft";
import { uniform } from "../recordings";

const reference = JSON.parse(readFileSync(`${__dirname}/../reference/estimators.json`, "utf8"));

test("transforms of every power of two from 8 to 4096 are scipy.fft's", () => {
  for (const { size, re, im } of reference.transforms) {
    const transform = fourierTransform(size);
    transform.re.set(uniform(1, size));
    transform.im.set(uniform(2, size));
    transform.forward();
    const every = Math.max(1, size / 8);
    re.forEach((v: number, i: number) => {
      expect(transform.re[i * every]).toBeCloseTo(v, 9);
      expect(transform.im[i * every]).toBeCloseTo(im[i], 9);
    });
  }
});

test("the inverse brings a signal of 131,072 samples back to 14 digits", () => {
  const x = uniform(5, 131072);
  const transform = fourierTransform(131072);
  transform.re.set(x);
  transform.im.fill(0);
  transform.forward();
  transform.inverse();
  let worst = 0;
  x.forEach((v, i) => {
    worst = Math.max(worst, Math.abs(transform.re[i] - v), Math.abs(transform.im[i]));
  });
  expect(worst).toBeLessThan(1e-14);
});

test("a length that is no power of two is refused", () => {
  expect(() => fourierTransform(100)).toThrow(/100, expected a power of two/);
  expect(() => fourierTransform(4)).toThrow(/8 or more/);
});

test("the compiled transform belongs to its source", () => {
  execFileSync("node", ["scripts/wasm.mjs", "--check"], { cwd: `${__dirname}/../../..` });
});
