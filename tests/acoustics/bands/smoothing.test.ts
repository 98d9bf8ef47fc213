import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { smoothPower } from "../../../lib/acoustics/bands/smoothing";
import { evenly } from "../../evenly";
import { expectAgreement, type Pair } from "../deviation";
import reference from "../reference/acoustics_bands.json";

const spectrum = fc
  .array(fc.tuple(fc.double({ min: 0.01, max: 1, noNaN: true }), evenly(0, 10)), {
    minLength: 3,
    maxLength: 60,
  })
  .map((steps) => {
    let f = 20;
    const frequency = steps.map(([step]) => {
      f *= 1 + step;
      return f;
    });
    return { frequency, power: steps.map(([, power]) => power) };
  });
const fraction = fc.constantFrom(1, 3, 6, 12, 24, 48);

describe("fractional-octave smoothing", () => {
  // A dense numerical mean of numpy's interpolation: scripts/reference/acoustics_bands.py.
  it("agrees with a dense numerical mean on uniform and uneven grids", () => {
    const pairs = reference.smoothing.flatMap(({ grid, n, frequency, values, smoothed }) => {
      const result = smoothPower(frequency, values, n);
      return smoothed.map((value, i): Pair => [result[i], value, `${grid} 1/${n} at ${frequency[i]} Hz`]);
    });
    expectAgreement("smoothing against numpy", pairs, 1e-6);
  });

  it("leaves a constant and a straight line over log frequency as they are, up to the ends", () => {
    fc.assert(
      fc.property(spectrum, fraction, evenly(-3, 3), (s, n, slope) => {
        const line = s.frequency.map((f) => 5 + slope * Math.log(f));
        const smooth = smoothPower(s.frequency, line, n);
        line.forEach((value, i) => void expect(smooth[i]).toBeCloseTo(value, 8));
      }),
    );
  });

  it("stays within the extremes of what it smooths", () => {
    fc.assert(
      fc.property(spectrum, fraction, (s, n) => {
        const smooth = smoothPower(s.frequency, s.power, n);
        const [low, high] = [Math.min(...s.power), Math.max(...s.power)];
        return smooth.every((x) => x >= low - 1e-9 && x <= high + 1e-9);
      }),
    );
  });

  it("keeps a stop band 200 dB down positive and at its level beside a loud pass band", () => {
    const f = logGrid(20, 20000, 2000);
    const power = f.map((x) => (x < 100 ? 1 : 1e-20));
    const smooth = smoothPower(f, power, 3);
    f.forEach((x, i) => {
      if (x > 130) expect(smooth[i] / 1e-20).toBeCloseTo(1, 6);
    });
  });

  it("is linear: the smoothed sum is the sum of the smoothed", () => {
    fc.assert(
      fc.property(spectrum, fraction, (s, n) => {
        const other = s.power.map((x, i) => (i % 3) * x + i);
        const sum = smoothPower(
          s.frequency,
          s.power.map((x, i) => x + other[i]),
          n,
        );
        const a = smoothPower(s.frequency, s.power, n);
        const b = smoothPower(s.frequency, other, n);
        sum.forEach((x, i) => void expect(x).toBeCloseTo(a[i] + b[i], 8));
      }),
    );
  });

  it("spreads one line over a third octave so that its area is kept", () => {
    const f = logGrid(100, 1000, 1201);
    const power = new Float64Array(1201);
    power[600] = 1;
    const smooth = smoothPower(f, power, 3);
    expect(smooth.reduce((a, b) => a + b)).toBeCloseTo(1, 9);
    const inside = smooth.filter((x) => x > 0).length;
    // Grid steps in a third octave: 1200 log2(2^(1/3))/log2(10) = 120.4.
    expect(inside).toBeGreaterThanOrEqual(120);
    expect(inside).toBeLessThanOrEqual(123);
  });

  it("fills a comb of narrow notches to the mean of its power", () => {
    const f = Float64Array.from({ length: 8000 }, (_, i) => 2000 + i);
    const comb = f.map((x) => 2 + 2 * Math.cos(2 * Math.PI * x * 0.05));
    const smooth = smoothPower(f, comb, 3);
    for (let i = 3000; i < 5000; i++) expect(smooth[i]).toBeCloseTo(2, 1);
  });

  it("passes a first point at 0 Hz unchanged and refuses frequencies that do not ascend", () => {
    const smooth = smoothPower([0, 10, 20, 40], [7, 1, 2, 3], 3);
    expect([smooth[0], smooth[1], smooth[3]]).toEqual([7, 1, 3]);
    expect(smooth[2]).toBeCloseTo(2, 12);
    expect(() => smoothPower([10, 10, 20], [1, 1, 1], 3)).toThrow("frequency[1] is 10");
    expect(() => smoothPower([0, 0, 20], [1, 1, 1], 3)).toThrow("frequency[1] is 0");
    expect(() => smoothPower([-10, 10, 20], [1, 1, 1], 3)).toThrow("frequency[0] is -10");
    expect(() => smoothPower([10, 20], [1, 1], 0)).toThrow("windows per octave is 0");
    expect(() => smoothPower([10, 20], [1], 3)).toThrow("frequency holds 2 values and values 1");
  });
});
