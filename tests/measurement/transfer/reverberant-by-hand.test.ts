import { describe, expect, test } from "vitest";
import { withReverberantPart } from "../../../lib/measurement/transfer/reverberant";
import { list, of } from "./few-samples";

describe("the reverberant part", () => {
  test("is what of the power at the microphone the response does not explain, less the noise", () => {
    // |H|² = 25 at γ² = 0.5 is a power of 50 at the microphone: 25 are left.
    const heard = of([1, 2, 4], [3, 3, 3], [4, 4, 4], { coherence: list(0.5, 0, 0.05) });
    expect([...withReverberantPart(heard).diffuse!]).toEqual([25, 0, 475]);
    expect([...withReverberantPart(heard, list(4, 4, 500)).diffuse!]).toEqual([21, 0, 0]);
    expect(() => withReverberantPart(of([1], [1]))).toThrow(/no coherence/);
    expect(() => withReverberantPart(heard, list(1))).toThrow(/noise has 1 /);
  });
});
