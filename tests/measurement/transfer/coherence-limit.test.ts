import { describe, expect, test } from "vitest";
import { coherentPart, requireLimit } from "../../../lib/measurement/transfer/coherence-limit";
import { logWidths } from "../../../lib/measurement/transfer/log-width";
import { list, of } from "./few-samples";

describe("the stretch of a log axis that a point stands for", () => {
  test("reaches halfway to its neighbours, so that all together they are the axis", () => {
    // 100, 200, 800 Hz: half an octave, half of three, and one.
    [0.5, 1.5, 1].forEach((octaves, i) => {
      expect(logWidths(list(100, 200, 800))[i]).toBeCloseTo(octaves * Math.LN2, 12);
    });
    expect([...logWidths(list(50))]).toEqual([1]);
    expect(logWidths(list()).length).toBe(0);
  });
});

describe("coherence", () => {
  test("counts from its limit on, in stretches by their first and last frequency", () => {
    const response = of([1, 2, 4, 8, 16, 32], [1, 1, 1, 1, 1, 1], undefined, {
      coherence: list(0.1, 0.5, 0.4, 0.3, 0.6, 0),
    });
    const { usable, leftOut } = coherentPart(response, 0.5);
    expect([...usable]).toEqual([0, 1, 0, 0, 1, 0]);
    expect(leftOut).toEqual([
      { from: 1, to: 1 },
      { from: 4, to: 8 },
      { from: 32, to: 32 },
    ]);
    expect(coherentPart(response).usable).toEqual(usable);
  });

  test("of n averages must exceed 1 − 0.05^(1 / (n − 1)): 0.95 for 2, 0.7764 for 3, none for 1, whatever the limit below", () => {
    const at = (averages: number, coherence: number, limit = 0.5) =>
      coherentPart(of([100], [1], [0], { coherence: list(coherence), averages: list(averages) }), limit)
        .usable[0];
    expect([at(2, 0.949), at(2, 0.951), at(3, 0.776), at(3, 0.777)]).toEqual([0, 1, 0, 1]);
    expect([at(1, 1), at(100, 0.49), at(100, 0.5)]).toEqual([0, 0, 1]);
    // 0 takes everything.
    expect([at(1, 0, 0), at(2, 0.1, 0)]).toEqual([1, 1]);
  });

  test("has a limit from 0 to 1", () => {
    for (const limit of [0, 1]) requireLimit(limit);
    for (const limit of [-0.1, 1.1, NaN]) expect(() => requireLimit(limit)).toThrow(`limit is ${limit}`);
  });
});
