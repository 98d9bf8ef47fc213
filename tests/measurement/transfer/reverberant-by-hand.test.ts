import { describe, expect, test } from "vitest";
import { withReverberantPart } from "../../../lib/measurement/transfer/reverberant";
import { list, of } from "./few-samples";

describe("the reverberant part", () => {
  test("is what of the power at the microphone the response does not explain, less the noise", () => {
    // |H|² = 25 at γ² = 0.5 is a power of 50 at the microphone: 25 are left.
    const heard = of([1, 2, 4], [3, 3, 3], [4, 4, 4], { coherence: list(0.5, 0, 0.05) });
    expect([...withReverberantPart(heard).diffuse!]).toEqual([25, 0, 475]);
    expect([...withReverberantPart(heard, undefined, 0.1).diffuse!]).toEqual([25, 0, 0]);
    // Noise: 1 / 0.25 = 4 and 1 / 0.002 = 500.
    const noise = of([1, 2, 4], [1, 1, 1], undefined, { coherence: list(0.25, 0.25, 0.002) });
    expect([...withReverberantPart(heard, noise).diffuse!]).toEqual([21, 0, 0]);
    expect(() => withReverberantPart(of([1], [1]))).toThrow(/no coherence/);
    expect(() => withReverberantPart(heard, of([1], [1], [0], { coherence: list(1) }))).toThrow(
      /noise has 1 /,
    );
  });
});
