import { describe, expect, test } from "vitest";
import { confidenceBand } from "../../../lib/measurement/transfer/confidence-band";
import { list, of } from "./few-samples";

describe("a band of confidence", () => {
  test("is asked for with coherence, two averages and a probability that makes sense", () => {
    const sure = of([100], [3], [4], { coherence: list(1), averages: list(2) });
    const band = confidenceBand(sure);
    // |3 + 4j| = 5: 13.98 dB; nothing to doubt at coherence 1.
    for (const value of [band.level[0], band.lower[0], band.upper[0]]) expect(value).toBeCloseTo(13.979, 3);
    expect(band.phase[0]).toBe(0);
    const nothing = confidenceBand({ ...sure, coherence: list(0) });
    expect([
      nothing.lower[0] - nothing.level[0],
      nothing.upper[0] - nothing.level[0],
      nothing.phase[0],
    ]).toEqual([expect.closeTo(-60, 9), expect.closeTo(60, 9), 180]);
    expect(confidenceBand({ ...sure, re: list(0), im: list(0) }).level[0]).toBeCloseTo(-300, 9);
    expect(() => confidenceBand({ ...sure, averages: list(1.9) })).toThrow(/has 1.9 averages at 100 Hz/);
    expect(() => confidenceBand({ ...sure, averages: undefined })).toThrow(/no coherence or number/);
    expect(() => confidenceBand({ ...sure, coherence: undefined })).toThrow(/no coherence or number/);
    for (const probability of [0.4, 1])
      expect(() => confidenceBand(sure, probability)).toThrow(/probability is/);
  });

  test("is as wide as Student's t says: 2.306 of 8 degrees of freedom, 2.086 of 20, and 2.845 for 99 % (tables, from memory)", () => {
    for (const [freedom, probability, t] of [
      [8, 0.95, 2.306],
      [20, 0.95, 2.086],
      [20, 0.99, 2.845],
    ]) {
      const averages = freedom / 2 + 1;
      const band = confidenceBand(
        of([100], [1], [0], { coherence: list(0.9), averages: list(averages) }),
        probability,
      );
      const error = Math.sqrt(0.1 / (2 * 0.9 * (averages - 1)));
      expect((10 ** (band.upper[0] / 20) - 1) / error).toBeCloseTo(t, 3);
      expect((1 - 10 ** (band.lower[0] / 20)) / error).toBeCloseTo(t, 3);
      expect(Math.sin((band.phase[0] * Math.PI) / 180) / error).toBeCloseTo(t, 3);
    }
  });
});
