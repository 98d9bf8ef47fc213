import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { estimateDelay } from "../../../lib/measurement/delay/delay";
import { clockDrift, correctDrift } from "../../../lib/measurement/delay/drift";
import { whiteNoise } from "../noise";
import { mix, shifted, withNoise } from "../recordings";

const rate = 4000;
const x = whiteNoise(8000, 5);
const range = { from: -0.02, to: 0.05 };

describe("a delay in short noise", () => {
  test("is found between samples, with its polarity, sharper in more band, and beyond doubt", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -300, max: 700 }),
        fc.constantFrom(1, -1, 0.1),
        fc.integer({ min: 1, max: 1e6 }),
        (quarters, gain, seed) => {
          const samples = quarters / 4 / 1.3;
          const y = withNoise(
            shifted(x, samples).map((v) => gain * v),
            whiteNoise(8000, seed),
            20,
          );
          const { chosen, candidates, manual } = estimateDelay(x, y, rate, range);
          expect(Math.abs(chosen.time * rate - samples)).toBeLessThan(0.1);
          expect(chosen.polarity).toBe(Math.sign(gain));
          expect([chosen.reliable, chosen.strength, manual]).toEqual([true, 0, false]);
          expect(candidates[0]).toBe(chosen);
          expect(chosen.uncertainty * rate).toBeLessThan(1);
          expect(chosen.sharpness).toBeGreaterThan(20);
        },
      ),
      { numRuns: 12 },
    );
  });

  test("in a band is as broad as the band is narrow", () => {
    const y = shifted(x, 40);
    const width = (from: number, to: number) => {
      const { chosen } = estimateDelay(x, y, rate, { ...range, band: { from, to } });
      expect(Math.abs(chosen.time * rate - 40)).toBeLessThan(chosen.uncertainty * rate);
      return chosen.uncertainty;
    };
    // A tenth of the band makes the peak ten times as broad.
    expect(width(500, 600) / width(500, 1500)).toBeGreaterThan(7);
    expect(width(500, 600) / width(500, 1500)).toBeLessThan(14);
  });

  test("of several arrivals gives each by its strength: of 1, 1/2 and 1/4 they are 0, −6 and −12 dB", () => {
    const y = mix(x, [
      { gain: 0.5, samples: 20 },
      { gain: 1, samples: 60 },
      { gain: -0.25, samples: 120 },
    ]);
    const found = (options = {}) => estimateDelay(x, y, rate, { ...range, ...options });
    const all = found().candidates;
    expect(all.map((c) => Math.round(c.time * rate))).toEqual([60, 20, 120]);
    [0, -6.02, -12.04].forEach((strength, i) => {
      expect(Math.abs(all[i].strength - strength)).toBeLessThan(1);
    });
    expect(all.map((c) => c.polarity)).toEqual([1, 1, -1]);
    expect(found({ count: 2 }).candidates.length).toBe(2);
    expect(found({ range: 9 }).candidates.length).toBe(2);
    expect(found({ choose: "first" }).chosen).toMatchObject({ polarity: 1 });
    expect(Math.round(found({ choose: "first" }).chosen.time * rate)).toBe(20);
  });

  test("within a millisecond of another one is one of its own only if it is less than 10 dB weaker", () => {
    // 3 samples of 4 kHz are 0.75 ms, 6 are 1.5 ms; 0.2 is −14 dB, 0.5 is −6 dB.
    const places = (gain: number, gap: number) => {
      const y = mix(x, [
        { gain: 1, samples: 40 },
        { gain, samples: 40 + gap },
      ]);
      return estimateDelay(x, y, rate, range).candidates.map((c) => Math.round(c.time * rate));
    };
    expect(places(0.2, 3)).toEqual([40]);
    expect(places(0.5, 3)).toEqual([40, 43]);
    expect(places(0.2, 6)).toEqual([40, 46]);
  });

  test("of the user's own is taken as it is, with what is known of an arrival there", () => {
    const y = shifted(x, 40);
    const near = estimateDelay(x, y, rate, { ...range, time: 0.01 + 0.00005 });
    expect(near.chosen).toMatchObject({ time: 0.01005, uncertainty: 0, reliable: true, strength: 0 });
    const far = estimateDelay(x, y, rate, { ...range, time: 0.03 });
    expect([near.manual, far.manual]).toEqual([true, true]);
    expect(far.chosen).toEqual({
      time: 0.03,
      uncertainty: 0,
      strength: -Infinity,
      sharpness: 0,
      polarity: 1,
      reliable: false,
    });
  });

  test("can't be looked for where the range, the band or the samples make no sense", () => {
    const refused = (options: object) => expect(() => estimateDelay(x, x, rate, { ...range, ...options }));
    refused({ from: 0.05 }).toThrow(/expected the first to be earlier/);
    refused({ from: -99 }).toThrow(/earliest delay/);
    refused({ to: 99 }).toThrow(/latest delay/);
    refused({ band: { from: 100, to: 109 } }).toThrow(/expected 10 Hz or more/);
    refused({ band: { from: -1, to: 100 } }).toThrow(/up to 2000 Hz/);
    refused({ band: { from: 100, to: 2001 } }).toThrow(/up to 2000 Hz/);
    expect(() => estimateDelay(x, x, 1, range)).toThrow(/sample rate/);
    const bad = x.slice();
    bad[7] = NaN;
    expect(() => estimateDelay(x, bad, rate, range)).toThrow(/no finite number/);
    const none = new Float64Array(8000);
    expect(() => estimateDelay(x, none, rate, range)).toThrow(/the signal is silent/);
    expect(() => estimateDelay(none, x, rate, range)).toThrow(/the reference is silent/);
  });
});

describe("a clock's drift", () => {
  test("in short noise is told with its delay, stretches, and whether it moves anything by a sample", () => {
    const drifted = (ppm: number) => correctDrift(shifted(x, 8), -ppm);
    const found = clockDrift(x, drifted(1000), rate, { ...range, stretch: 0.25 });
    // The correction reads the signal at n (1 − 0.001): 1000 ppm fast.
    expect(Math.abs(found.ppm - 1000)).toBeLessThan(Math.max(20, found.uncertainty));
    expect(found.delay * rate).toBeCloseTo(8, 0);
    expect([found.stretches, found.significant]).toEqual([8, true]);
    const still = clockDrift(x, shifted(x, 8), rate, { ...range, stretch: 0.25 });
    expect(Math.abs(still.ppm)).toBeLessThan(20);
    // 2 s at a fiftieth of a sample: 1.96 · 1.05 · 0.02 / 4000 over √Σ (t − t̄)², 8 stretches of 0.25 s: √2.625 = 1.620.
    expect(still.uncertainty).toBeGreaterThanOrEqual(((1.96 * 1.05 * 0.02) / rate / 1.62) * 1e6 * 0.999);
    expect(still.significant).toBe(false);
  });

  test("passes over silence, and needs four stretches that have a delay", () => {
    const gaps = x.map((v, n) => (n >= 2000 && n < 4000 ? 0 : v));
    expect(clockDrift(gaps, shifted(gaps, 8), rate, { ...range, stretch: 0.25 }).stretches).toBe(6);
    // A zero here and there is no silence.
    const dotted = x.map((v, n) => (n % 500 === 7 ? 0 : v));
    expect(clockDrift(dotted, dotted, rate, { ...range, stretch: 0.25 }).stretches).toBe(8);
    const three = x.subarray(0, 3999);
    expect(() => clockDrift(three, three, rate, { ...range, stretch: 0.25 })).toThrow(
      "3 stretches of 0.25 s have a reliable delay, expected 4 or more",
    );
    const four = x.subarray(0, 4000);
    expect(clockDrift(four, four, rate, { ...range, stretch: 0.25 }).stretches).toBe(4);
    expect(() => clockDrift(x, whiteNoise(8000, 9), rate, { ...range, stretch: 0.25 })).toThrow(
      /0 stretches/,
    );
    expect(() => clockDrift(x, x, 10)).toThrow(/sample rate/);
    expect(() => clockDrift(x, x, rate, { stretch: 0.01 })).toThrow(/stretch in seconds/);
  });
});
