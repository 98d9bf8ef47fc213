import { describe, expect, it } from "vitest";
import type { Filter } from "../../../lib/acoustics/filters/filter";
import { groupDelay } from "../../../lib/acoustics/filters/group-delay";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_filters.json";

describe("group delay", () => {
  // freqs_zpk of scipy.signal, the slope of its phase: scripts/reference/acoustics_filters.py.
  it("of every pass filter is the slope of scipy's phase", () => {
    const pairs = reference.rows.flatMap(({ filter, group_delay_ms }) =>
      reference.frequency.map(
        (f, i): Pair => [
          1000 * groupDelay(filter as Filter, f),
          group_delay_ms[i],
          `${Object.values(filter).join(" ")} at ${f} Hz`,
        ],
      ),
    );
    expectAgreement("group delay against scipy, relative", pairs, 1e-6, true);
  });

  // A Linkwitz-Riley pair sums to an all-pass, so both parts have one phase (Linkwitz 1976).
  it.each([2, 4, 8] as const)("is the same for both parts of a Linkwitz-Riley pair of order %i", (order) => {
    const part = (type: "lowpass" | "highpass"): Filter => ({
      kind: "linkwitz-riley",
      type,
      order,
      frequency: 90,
    });
    for (const f of [20, 45, 90, 300, 5000])
      expect(groupDelay(part("lowpass"), f)).toBeCloseTo(groupDelay(part("highpass"), f), 12);
  });

  it("of a first-order all-pass is 1/ω₀ at its own frequency", () => {
    // φ = −2 atan(f/f₀), so −dφ/dω = 2/(ω₀ (1 + (f/f₀)²)): any textbook on signals.
    const filter: Filter = { kind: "all-pass", order: 1, frequency: 100 };
    expect(groupDelay(filter, 100)).toBeCloseTo(1 / (2 * Math.PI * 100), 12);
  });

  it("refuses an order that there is none of", () => {
    expect(() => groupDelay({ kind: "butterworth", type: "lowpass", order: 9, frequency: 80 }, 50)).toThrow(
      RangeError,
    );
  });
});
