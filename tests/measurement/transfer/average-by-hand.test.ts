import { describe, expect, test } from "vitest";
import { averageResponses } from "../../../lib/measurement/transfer/average";
import { list, of } from "./few-samples";

describe("an average", () => {
  test("by hand of 1 and 3 with weights 3 and 1: powers 3 → 1.732, complex 1.5, levels 3^(1/4), coherent ones by it", () => {
    const two = [of([100], [1], [0], { coherence: list(0.5) }), of([100], [3], [0], { coherence: list(1) })];
    const by = (kind: "power" | "complex" | "decibel" | "coherence") =>
      averageResponses(two, kind, { weights: [3, 1] });
    expect(by("power").re[0]).toBeCloseTo(Math.sqrt(3), 12);
    expect(by("complex").re[0]).toBeCloseTo(1.5, 12);
    expect(by("decibel").re[0]).toBeCloseTo(3 ** 0.25, 12);
    // Weights 1.5 and 1: (1.5 + 9) / 2.5.
    expect(by("coherence").re[0]).toBeCloseTo(Math.sqrt(4.2), 12);
    // Coherence is averaged alike: (3/4) 1/2 + 1/4, and 0.6 · 1/2 + 0.4.
    expect(by("power").coherence![0]).toBeCloseTo(0.625, 12);
    expect(by("coherence").coherence![0]).toBeCloseTo(0.7, 12);
    expect([...by("power").contributors]).toEqual([2]);
    expect([by("power").magnitudeOnly, by("complex").magnitudeOnly]).toEqual([true, undefined]);
  });

  test("leaves those without weight out, and shares out what has no phase by the square of the weight", () => {
    const three = [of([100], [1]), of([100], [0], [2], { diffuse: list(8) }), of([100], [99])];
    const mean = averageResponses(three, "complex", { weights: [1, 1, 0] });
    expect([mean.re[0], mean.im[0], mean.diffuse![0]]).toEqual([0.5, 1, 2]);
    expect(mean.contributors[0]).toBe(2);
    expect(mean.coherence).toBeUndefined();
    expect(averageResponses(three, "power", { weights: [0, 1, 0] }).re[0]).toBeCloseTo(Math.sqrt(12), 12);
    // One without coherence counts as coherent.
    const mixed = averageResponses([of([100], [1]), of([100], [1], [0], { coherence: list(0.5) })], "power");
    expect(mixed.coherence![0]).toBeCloseTo(0.75, 12);
  });

  test("is refused where weights, phase, coherence or frequencies are wanting", () => {
    const one = of([100], [1]);
    const levels = of([100], [1], [0], { magnitudeOnly: true });
    expect(() => averageResponses([], "power")).toThrow(/responses is empty/);
    for (const weights of [
      [0, 0],
      [1, -1],
      [1, Infinity],
      [NaN, 1],
    ])
      expect(() => averageResponses([one, one], "power", { weights })).toThrow(/one above 0 at least/);
    expect(() => averageResponses([one], "power", { weights: [] })).toThrow(/0 entries, expected 1/);
    expect(() => averageResponses([one, levels], "complex")).toThrow(/responses\[1\] has no phase/);
    expect(averageResponses([one, levels], "power").re[0]).toBe(1);
    expect(() => averageResponses([one, one], "coherence")).toThrow(/responses\[0\] has no coherence/);
    for (const frequency of [[101], [100, 200]])
      expect(() => averageResponses([one, of(frequency, frequency)], "power")).toThrow(
        /responses\[1\] stands on other/,
      );
    expect(averageResponses([one, of([100], [1])], "power").re[0]).toBe(1);
  });
});
