import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fitChange } from "../../../lib/measurement/transfer/fit-change";
import { evenly } from "../../evenly";
import { changed } from "../hall";
import { list, of } from "./few-samples";

describe("the change between two responses", () => {
  const frequency = Array.from({ length: 60 }, (_, i) => 30 * 1.06 ** i);
  const source = of(
    frequency,
    frequency.map((f) => 1 + 0.3 * Math.cos(f / 40)),
    frequency.map((f) => 0.4 * Math.sin(f / 25)),
  );
  const even = list(...frequency.map(() => 1));
  test("is the gain and delay that were put on, or one of them where the other may not change", () => {
    fc.assert(
      fc.property(evenly(0.2, 3), evenly(-0.02, 0.02), (gain, delay) => {
        const found = fitChange(changed(source, gain, delay), source, even, { gain: true, delay: true });
        expect(found.gain).toBeCloseTo(gain, 5);
        expect(found.delay).toBeCloseTo(delay, 6);
        const later = fitChange(changed(source, gain, delay), source, even, { gain: false, delay: true });
        expect([later.gain, later.delay.toFixed(6)]).toEqual([1, found.delay.toFixed(6)]);
        const louder = fitChange(changed(source, gain), source, even, { gain: true, delay: false });
        expect(louder.gain).toBeCloseTo(gain, 9);
        expect(louder.delay).toBe(0);
      }),
      { numRuns: 15 },
    );
  });

  test("is of what counts alone: the best gain for 1 → 2 and 1 → 5 by weights 3 and 1 is 11/4", () => {
    const found = (weights: Float64Array, target = list(2, 5)) =>
      fitChange({ ...of([10, 20], [0, 0]), re: target }, of([10, 20], [1, 1]), weights, {
        gain: true,
        delay: false,
      }).gain;
    expect(found(list(3, 1))).toBeCloseTo(11 / 4, 12);
    expect(found(list(1, 0))).toBeCloseTo(2, 12);
    expect(found(list(0, 0))).toBe(1);
    // Never upside down: that is another fault.
    expect(found(list(1, 1), list(-1, -1))).toBe(1e-3);
    const silent = of([10, 20], [0, 0]);
    expect(
      fitChange(source, { ...silent, frequency: list(10, 20) }, list(1, 1), { gain: true, delay: true }),
    ).toEqual({
      gain: 1,
      delay: 0,
    });
  });
});
