import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { spreadApart } from "../../../../lib/lesson/figures/parts/label-spacing";
import { evenly } from "../../../evenly";

const positions = fc.array(evenly(-50, 50), { minLength: 1, maxLength: 12 });

describe("spreadApart", () => {
  it("leaves labels where they are when they are far enough apart", () => {
    expect(spreadApart([0, 5, 11], 4)).toEqual([0, 5, 11]);
  });

  it("moves two labels at one place by half the distance each", () => {
    expect(spreadApart([3, 3], 2)).toEqual([2, 4]);
  });

  it("keeps labels within the ends that it is given, pushing neighbours along", () => {
    expect(spreadApart([0, 0, 1], 2, [0, 10])).toEqual([0, 2, 4]);
    expect(spreadApart([10, 7], 2, [0, 10])).toEqual([10, 7]);
    expect(spreadApart([9, 10, 10], 2, [0, 10])).toEqual([6, 8, 10]);
  });

  it("keeps all labels apart, in their order, and their middle where it was", () => {
    fc.assert(
      fc.property(positions, fc.double({ min: 0.1, max: 5, noNaN: true }), (wanted, apart) => {
        const placed = spreadApart(wanted, apart);
        const order = [...wanted.keys()].sort((a, b) => wanted[a] - wanted[b] || a - b);
        for (let i = 1; i < order.length; i++) {
          expect(placed[order[i]] - placed[order[i - 1]]).toBeGreaterThanOrEqual(apart - 1e-9);
        }
        const mean = (list: readonly number[]) => list.reduce((sum, x) => sum + x, 0) / list.length;
        expect(mean(placed)).toBeCloseTo(mean(wanted), 6);
      }),
    );
  });
});
