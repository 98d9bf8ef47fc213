import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bandLevels, bandWeights } from "../../../lib/measurement/transfer/band-levels";
import { spreadPerBand } from "../../../lib/measurement/transfer/spread";
import { evenly } from "../../evenly";
import { list, of } from "./few-samples";

describe("a band's level", () => {
  test("weighs points by the log axis around them: a straight line of power integrates exactly", () => {
    // From 1 to 4 with points an octave apart: 1/4, 1/2, 1/4. From √2 on, the first has a triangle of half an octave: (1/2)² / 2.
    const byIndex = (lower: number, upper: number) =>
      Object.fromEntries(
        bandWeights(list(1, 2, 4, 8), lower, upper).map(({ i, w }) => [i, Math.round(1e9 * w) / 1e9]),
      );
    expect(byIndex(1, 4)).toEqual({ 0: 0.25, 1: 0.5, 2: 0.25 });
    expect(byIndex(Math.SQRT2, 2)).toEqual({ 0: 0.25, 1: 0.75 });
    expect(byIndex(2, 4)).toEqual({ 1: 0.5, 2: 0.5 });
    expect(byIndex(4, 99)).toEqual({ 2: 0.5, 3: 0.5 });
    expect([bandWeights(list(1, 2, 4), 8, 16), bandWeights(list(1, 2, 4), 0.2, 0.5)]).toEqual([[], []]);
  });

  test("has weights of sum 1 that find the middle of log frequency, for any grid", () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 20, max: 500 }), { minLength: 2, maxLength: 20 }),
        evenly(0, 1),
        evenly(0.01, 1),
        (points, start, size) => {
          const frequency = Float64Array.from(points).sort();
          const span = Math.log(frequency[frequency.length - 1] / frequency[0]);
          const lower = frequency[0] * Math.exp(start * 0.9 * span);
          const upper = Math.min(lower * Math.exp(size * span), frequency[frequency.length - 1]);
          const weights = bandWeights(frequency, lower, upper);
          expect(weights.reduce((sum, { w }) => sum + w, 0)).toBeCloseTo(1, 9);
          const middle = weights.reduce((sum, { i, w }) => sum + w * Math.log(frequency[i]), 0);
          expect(middle).toBeCloseTo(Math.log(lower * upper) / 2, 6);
        },
      ),
    );
  });

  const band = { exact: 200, nominal: 200, lower: 100, upper: 400 };

  test("is of its coherent part where that is as much as must be, else of all and not usable", () => {
    const partly = of([100, 200, 400], [1, 2, 2], undefined, { coherence: list(0.9, 0.9, 0.1) });
    const [entry] = bandLevels(partly, [band], { minimumFraction: 0.74 });
    expect(entry.usable).toBe(true);
    // (1/4 · 1 + 1/2 · 4) / 3/4 = 3: 4.77 dB.
    expect(entry.level).toBeCloseTo(4.771, 3);
    const [less] = bandLevels(partly, [band], { minimumFraction: 0.76 });
    // 1/4 · 1 + 3/4 · 4 = 3.25: 5.12 dB.
    expect([less.usable, less.level.toFixed(3)]).toEqual([false, "5.119"]);
    const none = { ...partly, coherence: list(0, 0, 0) };
    expect(bandLevels(none, [band], { minimumFraction: 0 })[0].usable).toBe(false);
  });

  test("counts in the spread where it is usable and something was heard", () => {
    const silent = of([100, 400], [0, 0]);
    const doubtful = of([100, 400], [9, 9], undefined, { coherence: list(0.1, 0.1) });
    const levels = [0, silent, 6, doubtful, 3].map((one) =>
      typeof one === "number" ? of([100, 400], [10 ** (one / 20), 10 ** (one / 20)]) : one,
    );
    const [spread] = spreadPerBand(levels, [band]);
    expect(spread.positions).toEqual([0, 2, 4]);
    // Of 0, 6 and 3 dB: mean 3, deviation √(18 / 2) = 3.
    expect([spread.mean, spread.deviation, spread.lowest, spread.highest].map((x) => x.toFixed(9))).toEqual(
      [3, 3, 0, 6].map((x) => x.toFixed(9)),
    );
    expect(spreadPerBand([levels[2]], [band])[0].deviation).toBe(0);
    expect(spreadPerBand([silent, doubtful], [band])).toEqual([]);
  });
});
