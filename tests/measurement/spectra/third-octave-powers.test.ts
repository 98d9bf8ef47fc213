import { describe, expect, test } from "vitest";
import { thirdOctavePowers } from "../../../lib/measurement/spectra/third-octave-powers";

// A third of a second of 3 kHz is 1000 samples, and 1024 the power of two beside it: bins of 2.93 Hz.
const rate = 3000;
const bin = rate / 1024;
const tone = (k: number, amplitude: number) =>
  Float64Array.from({ length: 2048 }, (_, n) => amplitude * Math.cos((2 * Math.PI * k * n) / 1024));

const powers = (x: Float64Array, options = {}) =>
  Object.fromEntries(thirdOctavePowers(x, rate, options).map(({ band, power }) => [band.nominal, power]));

describe("power in third octaves", () => {
  test("of a tone is half its amplitude squared, all of it in its band", () => {
    const found = powers(tone(100, 0.6));
    expect(100 * bin).toBeCloseTo(292.97, 2);
    expect(found[315]).toBeCloseTo(0.18, 9);
    expect(found[250] + found[400]).toBeLessThan(1e-12);
  });

  test("of a tone at a band's edge is shared by where the edge cuts its bin", () => {
    // Under Hann's window a tone on bin 121 has 1/6, 2/3, 1/6 of its power in bins 120 to 122. The edge between 315 and 400 Hz,
    // 1000 · 10^-0.45 = 354.81 Hz, is at 121.110: 0.610 of the middle bin lies below it.
    const found = powers(tone(121, 2));
    expect(found[315] / 2).toBeCloseTo(1 / 6 + (0.6096 * 2) / 3, 3);
    expect(found[315] + found[400]).toBeCloseTo(2, 9);
  });

  test("runs from 25 Hz up to 0.4 of the sample rate, or as wanted", () => {
    const names = (options = {}) =>
      thirdOctavePowers(tone(100, 1), rate, options).map(({ band }) => band.nominal);
    expect([names()[0], names().at(-1)]).toEqual([25, 1000]);
    expect(names({ from: 200, to: 315 })).toEqual([200, 250, 315]);
  });

  test("needs one window, and names the recording that hasn't", () => {
    expect(() => thirdOctavePowers(new Float64Array(1023), rate)).toThrow(
      "the recording has 1023 samples, expected 1024 or more",
    );
    expect(() => thirdOctavePowers(new Float64Array(9), rate, { name: "noise" })).toThrow(/the noise has 9/);
    expect(thirdOctavePowers(new Float64Array(1024), rate)[0].power).toBe(0);
  });
});
