import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { equalLoudness, loudnessLevel } from "../../../lib/acoustics/level/loudness";

const frequencies = [
  20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000,
  2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500,
];

// ISO 226:2003's contours in dB at these frequencies, as several public libraries of other authors reprint them.
const contours: readonly (readonly [phon: number, levels: readonly number[]])[] = [
  [
    20,
    [
      89.58, 82.65, 75.98, 69.62, 64.02, 58.55, 53.19, 48.38, 43.94, 39.37, 35.51, 31.99, 28.69, 25.67, 23.43,
      21.48, 20.1, 20.01, 21.46, 21.4, 18.15, 15.38, 14.26, 15.14, 18.63, 25.02, 31.52, 34.43, 33.04,
    ],
  ],
  [
    40,
    [
      99.85, 93.94, 88.17, 82.63, 77.78, 73.08, 68.48, 64.37, 60.59, 56.7, 53.41, 50.4, 47.58, 44.98, 43.05,
      41.34, 40.06, 40.01, 41.82, 42.51, 39.23, 36.51, 35.61, 36.65, 40.01, 45.83, 51.8, 54.28, 51.49,
    ],
  ],
  [
    60,
    [
      109.51, 104.23, 99.08, 94.18, 89.96, 85.94, 82.05, 78.65, 75.56, 72.47, 69.86, 67.53, 65.39, 63.45,
      62.05, 60.81, 59.89, 60.01, 62.15, 63.19, 59.96, 57.26, 56.42, 57.57, 60.89, 66.36, 71.66, 73.16, 68.63,
    ],
  ],
  [
    80,
    [
      118.99, 114.23, 109.65, 105.34, 101.72, 98.36, 95.17, 92.48, 90.09, 87.82, 85.92, 84.31, 82.89, 81.68,
      80.86, 80.17, 79.67, 80.01, 82.48, 83.74, 80.59, 77.88, 77.07, 78.31, 81.62, 86.81, 91.41, 91.74, 85.41,
    ],
  ],
];

describe("equal loudness", () => {
  it.each(contours)("is the standard's contour of %d phon", (phon, levels) => {
    for (const [i, f] of frequencies.entries())
      expect(equalLoudness(phon, f), `${f} Hz`).toBeCloseTo(levels[i], 2);
  });

  it("is told back by the loudness level of each tone", () => {
    const phon = fc.double({ min: 20, max: 90, noNaN: true });
    const frequency = fc.double({ min: 20, max: 12_500, noNaN: true });
    fc.assert(
      fc.property(phon, frequency, (p, f) => {
        expect(loudnessLevel(equalLoudness(p, f), f)).toBeCloseTo(p, 6);
      }),
    );
  });

  it("rises faster with level the lower the tone: what 3 dB are in the bass is more at 1 kHz", () => {
    const gained = (f: number) => loudnessLevel(equalLoudness(70, f) + 3, f) - 70;
    const lows = [125, 63, 31.5].map(gained);
    expect(gained(1000)).toBeCloseTo(3, 1);
    expect([...lows].sort((a, b) => a - b)).toEqual(lows);
    expect(lows[0]).toBeGreaterThan(3.5);
  });

  it("refuses what the standard gives no contour for", () => {
    expect(() => equalLoudness(95, 100)).toThrow(RangeError);
    expect(() => equalLoudness(40, 15)).toThrow(RangeError);
    expect(() => loudnessLevel(130, 1000)).toThrow(/phon/);
    expect(() => loudnessLevel(10, 31.5)).toThrow(/phon/);
  });
});
