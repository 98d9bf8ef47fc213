import { describe, expect, it } from "vitest";
import { frequencyWeighting } from "../../../lib/acoustics/level/weighting";
import { expectAgreement, type Pair } from "../deviation";

// IEC 61672-1:2013, table 3: A and C weighting, dB, at exact third-octave frequencies from 10 Hz to 20 kHz.
const table3A = [
  -70.4, -63.4, -56.7, -50.5, -44.7, -39.4, -34.6, -30.2, -26.2, -22.5, -19.1, -16.1, -13.4, -10.9, -8.6,
  -6.6, -4.8, -3.2, -1.9, -0.8, 0, 0.6, 1.0, 1.2, 1.3, 1.2, 1.0, 0.5, -0.1, -1.1, -2.5, -4.3, -6.6, -9.3,
];
const table3C = [
  -14.3, -11.2, -8.5, -6.2, -4.4, -3.0, -2.0, -1.3, -0.8, -0.5, -0.3, -0.2, -0.1, 0, 0, 0, 0, 0, 0, 0, 0, 0,
  -0.1, -0.2, -0.3, -0.5, -0.8, -1.3, -2.0, -3.0, -4.4, -6.2, -8.5, -11.2,
];

describe("frequency weighting", () => {
  it("A and C agree with the table of IEC 61672-1 to its last digit", () => {
    for (const [weighting, table] of [
      ["A", table3A],
      ["C", table3C],
    ] as const) {
      expect(table.length).toBe(34);
      const pairs = table.map((value, i): Pair => {
        const f = 10 * 10 ** (i / 10);
        return [frequencyWeighting(f, weighting), value, `${f.toFixed(1)} Hz`];
      });
      expectAgreement(`${weighting} weighting, dB`, pairs, 0.0501);
    }
  });

  it("Z leaves every frequency as it is", () => {
    for (const f of [10, 100, 3000, 20000]) expect(frequencyWeighting(f, "Z")).toBe(0);
    expect(() => frequencyWeighting(0, "A")).toThrow("frequency is 0");
  });
});
