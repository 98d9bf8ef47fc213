import { expect, test } from "vitest";
import { decimate } from "../../../lib/measurement/signals/decimate";

const rate = 48000;
const tone = (f: number) =>
  Float64Array.from({ length: rate }, (_, n) => Math.sin((2 * Math.PI * f * n) / rate));
const rms = (x: Float64Array) => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
const inside = (x: Float64Array) => x.subarray(100, -100);

test("tones below 0.7 of the new half rate stay as they are, in time as well", () => {
  for (const factor of [2, 5, 10]) {
    const low = rate / factor;
    for (const f of [20, 0.1 * low, 0.35 * low]) {
      const expected = Float64Array.from({ length: rate / factor }, (_, n) =>
        Math.sin((2 * Math.PI * f * n) / low),
      );
      const found = decimate(tone(f), factor);
      expect(found.length).toBe(expected.length);
      expect(rms(inside(found.map((x, n) => x - expected[n])))).toBeLessThan(0.015);
    }
  }
});

test("tones that the new rate can't hold don't come back as others", () => {
  for (const f of [0.65, 0.8, 1.3, 2.2])
    expect(rms(inside(decimate(tone((f * rate) / 10), 10)))).toBeLessThan(0.01);
});

test("by one, a recording stays itself", () => {
  const samples = tone(100);
  expect(decimate(samples, 1)).toBe(samples);
});
