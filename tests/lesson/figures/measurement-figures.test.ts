import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { confidenceFigure } from "../../../lib/lesson/figures/confidence";
import { applyTheme } from "../../../lib/lesson/figures/parts/apply-theme";
import { sweepFigure } from "../../../lib/lesson/figures/sweep";
import { pack } from "../../../lib/lesson/output/pack";
import { deconvolveSweep, exponentialSweep } from "../../../lib/measurement/signals/sweep";

const frequency = Float64Array.from([50, 100, 200, 400]);
const even = (value: number) => new Float64Array(4).fill(value);
const response = (coherence: number, averages: number): Response => ({
  frequency,
  re: even(1),
  im: even(0),
  coherence: even(coherence),
  averages: even(averages),
});
const sweep = { from: 20, to: 7000, seconds: 2, sampleRate: 16000 };
const bent = exponentialSweep(sweep).map((x) => x + 0.03 * 2 * x * x + 0.01 * (4 * x ** 3 - 3 * x));
const heard = deconvolveSweep(bent, sweep);

const figures = {
  confidence: () => confidenceFigure({ quick: response(0.5, 5), patient: response(0.9, 16) }),
  sweep: () => sweepFigure(heard, { delay: 0 }),
};

describe.each(Object.entries(figures))("the figure of %s", (_, make) => {
  it("is made of numbers that can be drawn and of colours of the house style, on light and on dark pages", () => {
    expect(() => pack(make())).not.toThrow();
    for (const theme of ["light", "dark"] as const) {
      expect(JSON.stringify(applyTheme(make(), theme, 390))).not.toMatch(/"@|NaN|undefined/);
    }
  });

  it("says in words, with numbers and units, what there is to see", () => {
    expect(make().alt).toMatch(/\d.*dB.*\d+ (Hz|ms)/);
    expect(make().alt).not.toMatch(/NaN|undefined|Infinity/);
  });

  it("names the quantity of each axis with its unit in brackets", () => {
    for (const axis of [make().layout.xaxis, make().layout.yaxis]) {
      expect((axis as unknown as { title: { text: string } }).title.text).toMatch(/\((Hz|dB|ms)/);
    }
  });
});

describe("the figure of confidence", () => {
  it("draws the 95 % band: coherence 0.9 of 16 averages is +1.02 and −1.15 dB", () => {
    // Bendat and Piersol 9.90 with 15 degrees of freedom: sqrt(0.1 / (0.9 · 30)) = 0.0609; Student's t, 97.5 % of 30, is
    // 2.042 in every table; 20 lg (1 ± 0.1243) = +1.018 and −1.153 dB.
    const { data } = confidenceFigure({ patient: response(0.9, 16) });
    const y = data[0].y as number[];
    expect(y[0]).toBeCloseTo(1.018, 2);
    expect(y[y.length - 1]).toBeCloseTo(-1.153, 2);
  });

  it("keeps within its axis a band of which nothing is known, and says where it is widest", () => {
    const doubtful = response(0.9, 16);
    (doubtful.coherence as Float64Array)[2] = 0;
    const { data, layout, alt } = confidenceFigure({ doubtful });
    const [low, high] = (layout.yaxis as unknown as { range: [number, number] }).range;
    for (const y of data[0].y as number[]) {
      expect(y).toBeGreaterThanOrEqual(low);
      expect(y).toBeLessThanOrEqual(high);
    }
    expect(alt).toContain("least surely at 200 Hz");
  });

  it("refuses what has no coherence, or nothing within the ends, by name", () => {
    expect(() => confidenceFigure({ bare: { frequency, re: even(1), im: even(0) } })).toThrow(/no coherence/);
    expect(() => confidenceFigure({ high: response(0.9, 16) }, { from: 1000, to: 2000 })).toThrow(
      /"high" has nothing from 1000 to 2000 Hz/,
    );
    expect(() => confidenceFigure({})).toThrow(/no response/);
  });
});

describe("the figure of a sweep", () => {
  it("has its highest points where Farina puts the harmonics: earlier by T / ln(f2 / f1) · ln N", () => {
    // 2 s / ln 350 = 0.3414 s; times ln 2 is 237 ms, times ln 3 is 375 ms.
    const { data } = sweepFigure(heard);
    const [x, y] = [data[0].x as number[], data[0].y as number[]];
    for (const [from, to, expected] of [
      [-300, -200, -237],
      [-400, -330, -375],
    ]) {
      const inside = x.flatMap((t, i) => (t > from && t < to ? [i] : []));
      const highest = inside.reduce((a, b) => (y[b] > y[a] ? b : a));
      expect(Math.abs(x[highest] - expected)).toBeLessThan(4);
    }
  });

  it("refuses a microphone that heard nothing", () => {
    const silent = deconvolveSweep(new Float64Array(bent.length), sweep);
    expect(() => sweepFigure(silent)).toThrow(/silent/);
  });
});
