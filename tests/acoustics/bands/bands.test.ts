import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bandLevel, bandPower, logGrid, thirdOctaves } from "../../../lib/acoustics/bands/bands";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_bands.json";

// IEC 61260-1:2014, table E.1: nominal and exact mid-band frequencies, base ten, in Hz to five digits.
const tableE1: readonly (readonly [number, number])[] = [
  [25, 25.119],
  [31.5, 31.623],
  [40, 39.811],
  [50, 50.119],
  [63, 63.096],
  [80, 79.433],
  [100, 100.0],
  [125, 125.89],
  [160, 158.49],
  [200, 199.53],
  [250, 251.19],
  [315, 316.23],
  [400, 398.11],
  [500, 501.19],
  [630, 630.96],
  [800, 794.33],
  [1000, 1000.0],
  [1250, 1258.9],
  [1600, 1584.9],
  [2000, 1995.3],
  [2500, 2511.9],
  [3150, 3162.3],
  [4000, 3981.1],
  [5000, 5011.9],
  [6300, 6309.6],
  [8000, 7943.3],
  [10000, 10000],
  [12500, 12589],
  [16000, 15849],
  [20000, 19953],
];

describe("third octaves", () => {
  it("carry the nominal and exact mid-band frequencies of IEC 61260-1", () => {
    const bands = thirdOctaves(25, 20000);
    expect(bands.map((b) => b.nominal)).toEqual(tableE1.map(([nominal]) => nominal));
    expectAgreement(
      "IEC 61260-1 mid-bands (relative)",
      tableE1.map(([nominal, exact], i): Pair => [bands[i].exact, exact, `${nominal} Hz`]),
      5e-5,
      true,
    );
  });

  it("agree with pyfar in mid-band and edges", () => {
    const table = reference.thirds;
    const bands = thirdOctaves(20, 20000);
    expect(bands.map((b) => b.nominal)).toEqual(table.nominal);
    const pairs = bands.flatMap((b, i): Pair[] => [
      [b.exact, table.exact[i]],
      [b.lower, table.lower[i]],
      [b.upper, table.upper[i]],
    ]);
    expectAgreement("bands against pyfar (relative)", pairs, 1e-9, true);
  });

  it("base two puts every third band at exact halves and doubles of 1 kHz", () => {
    const bands = thirdOctaves(63, 2000, { base: 2 }).filter((_, i) => i % 3 === 0);
    expect(bands.map((b) => b.exact)).toEqual([62.5, 125, 250, 500, 1000, 2000]);
    expect(thirdOctaves(4000, 4000.1, { base: 2 })[0].lower).toBeCloseTo(3563.59, 2);
  });

  it("adjoin: each band's upper edge is the next one's lower edge", () => {
    fc.assert(
      fc.property(
        fc.constantFrom<10 | 2>(10, 2),
        fc.double({ min: 20, max: 500, noNaN: true }),
        (base, from) => {
          const bands = thirdOctaves(from, from * 8, { base });
          expect(bands.length).toBeGreaterThanOrEqual(8);
          for (let i = 1; i < bands.length; i++) {
            expect(bands[i].lower / bands[i - 1].upper).toBeCloseTo(1, 12);
          }
        },
      ),
    );
  });

  it("limits that are out of order are refused", () => {
    expect(() => thirdOctaves(0, 100)).toThrow("lower frequency is 0");
    expect(() => thirdOctaves(100, 50)).toThrow(
      "upper frequency is 50, expected a number above the lower one, 100",
    );
    expect(() => thirdOctaves(100, 100)).toThrow("upper frequency is 100");
    expect(() => thirdOctaves(100, Infinity)).toThrow("upper frequency is Infinity");
  });
});

describe("log grid", () => {
  it("starts and ends at the limits with equal ratios between", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 100, noNaN: true }),
        fc.double({ min: 1.1, max: 1000, noNaN: true }),
        fc.integer({ min: 3, max: 300 }),
        (from, span, count) => {
          const grid = logGrid(from, from * span, count);
          expect(grid[0]).toBe(from);
          expect(grid[count - 1]).toBe(from * span);
          const ratio = grid[1] / grid[0];
          for (let i = 2; i < count; i++) expect(grid[i] / grid[i - 1] / ratio).toBeCloseTo(1, 9);
        },
      ),
    );
    expect(() => logGrid(20, 200, 1)).toThrow("number of frequencies is 1");
  });
});

describe("level of a band", () => {
  it("of a flat response is that response, on any grid", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 400 }),
        fc.double({ min: 1e-6, max: 100, noNaN: true }),
        (n, power) => {
          const level = bandLevel(logGrid(20, 2000, n), new Float64Array(n).fill(power), 63, 80, 1);
          expect(level).toBeCloseTo(10 * Math.log10(power), 9);
        },
      ),
    );
    expect(bandLevel([20, 200], [1, 1], 40, 80)).toBeCloseTo(93.979, 3);
  });

  // ∫ f^s d ln f over an octave, over ln 2: (2^s − 1)/(s ln 2) times the value at the lower edge.
  it("of a power that rises with frequency is its mean over log frequency", () => {
    const f = logGrid(50, 400, 2001);
    for (const s of [1, 2, -2]) {
      const mean = bandPower(
        f,
        f.map((x) => x ** s),
        100,
        200,
      );
      expect(mean / ((100 ** s * (2 ** s - 1)) / (s * Math.LN2))).toBeCloseTo(1, 5);
    }
  });

  it("leaves out what lies beyond the grid, and says so when nothing is left", () => {
    expect(bandPower([100, 200], [3, 3], 50, 150)).toBeCloseTo(3, 12);
    expect(bandPower([100, 200], [3, 3], 150, 300)).toBeCloseTo(3, 12);
    expect(() => bandPower([100, 200], [3, 3], 300, 400)).toThrow("has no part within the grid");
    expect(() => bandPower([100, 200], [3, 3], 200, 400)).toThrow("has no part within the grid");
    expect(() => bandPower([100, 200], [3, 3], 20, 50)).toThrow(
      "has no part within the grid of 100 to 200 Hz",
    );
    expect(() => bandPower([0, 100, 200], [3, 3], 120, 150)).toThrow("frequency holds 3 values and power 2");
    expect(bandPower([0, 100, 200], [9, 3, 3], 120, 150)).toBeCloseTo(3, 12);
    expect(bandPower([0, 100, 200], [9, 3, 3], 50, 150)).toBeCloseTo(3, 12);
  });
});
