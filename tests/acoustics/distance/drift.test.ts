import { describe, expect, it } from "vitest";
import { distanceDrift } from "../../../lib/acoustics/distance/drift";

const at = (x: number, z: number) => ({ x, y: 0, z });

describe("the drift of two sources between two places", () => {
  // Pythagorean triples, so that the lengths are known without a calculator: 20 lg 2 = 6.0206, 20 lg 5 = 13.9794 dB.
  it("is the difference of two losses by 20 lg of the ratio of distances", () => {
    const { mains, subs, drift } = distanceDrift(at(0, 12), at(0, 0), at(5, 0), at(35, 0));
    expect(mains).toBeCloseTo(20 * Math.log10(37 / 13), 9); // 5-12-13 and 12-35-37
    expect(mains).toBeCloseTo(9.0853, 3);
    expect(subs).toBeCloseTo(16.902, 3); // 7 : 1
    expect(drift).toBeCloseTo(7.8167, 3);
  });

  it("is nothing for sources in one place and changes sign when they change places", () => {
    const [first, last] = [at(3, 1.2), at(25, 1.2)];
    expect(distanceDrift(at(0, 4), at(0, 4), first, last).drift).toBe(0);
    const there = distanceDrift(at(0, 8), at(0, 0.5), first, last).drift;
    expect(distanceDrift(at(0, 0.5), at(0, 8), first, last).drift).toBeCloseTo(-there, 12);
    expect(there).toBeGreaterThan(6);
  });

  it("refuses a place that lies in a source", () => {
    expect(() => distanceDrift(at(0, 8), at(3, 1), at(3, 1), at(9, 1))).toThrow(/near distance is 0/);
  });
});
