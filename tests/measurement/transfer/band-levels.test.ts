import { describe, expect, it } from "vitest";
import { type Band, bandPower, logGrid, thirdOctaves } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { bandLevels } from "../../../lib/measurement/transfer/band-levels";
import { spreadPerBand } from "../../../lib/measurement/transfer/spread";
import { transferFunction } from "../../../lib/measurement/transfer/transfer-function";
import { averages as table } from "../reference/averages.json";
import { seeded } from "../seeded";

function flat(level: number, frequency = logGrid(20, 20_000, 400)): Response {
  return {
    frequency,
    re: new Float64Array(frequency.length).fill(10 ** (level / 20)),
    im: new Float64Array(frequency.length),
  };
}

/** Octave bands by IEC 61260-1, 5.2 and 5.4: mids at 1000 · 10^(0.3 n) Hz, edges 10^0.15 either side. */
const octaves = (from: number, to: number): Band[] =>
  [31.5, 63, 125, 250, 500, 1000, 2000, 4000]
    .map((nominal, i) => ({ nominal, exact: 1000 * 10 ** (0.3 * (i - 5)) }))
    .map((band) => ({ ...band, lower: band.exact * 10 ** -0.15, upper: band.exact * 10 ** 0.15 }))
    .filter(({ nominal }) => nominal >= from && nominal <= to);

describe("bandLevels", () => {
  it("gives a flat response its level in every band, whatever the grid", () => {
    for (const frequency of [
      logGrid(20, 20_000, 100),
      Float64Array.from({ length: 4000 }, (_, i) => 5 * (i + 1)),
    ]) {
      for (const entry of bandLevels(flat(-6, frequency), thirdOctaves(25, 16_000))) {
        expect(entry.level).toBeCloseTo(-6, 9);
        expect(entry.usable).toBe(true);
      }
    }
  });

  it("integrates power over log frequency: two octaves of power f² hold (16 − 1) / (2 ln 4) times that of their lower edge", () => {
    const frequency = logGrid(50, 500, 4000);
    const rising = { frequency, re: frequency.map((f) => f / 100), im: new Float64Array(frequency.length) };
    const band = { exact: 200, nominal: 200, lower: 100, upper: 400 };
    const [entry] = bandLevels(rising, [band]);
    // ∫ f² d(ln f) from 100 to 400 Hz, over ln 4, in units of (100 Hz)²: 15 / (2 · 1.386294) = 5.410.
    expect(10 ** (entry.level / 10)).toBeCloseTo(5.41, 3);
    expect(
      bandPower(
        frequency,
        rising.re.map((x) => x * x),
        100,
        400,
      ),
    ).toBeCloseTo(5.41, 3);
  });

  it("leaves out what lacks coherence, shows the share, and doubts a band of which too little is left", () => {
    const response = flat(0);
    const { frequency } = response;
    response.re.forEach((_, i) => {
      if (frequency[i] < 100) response.re[i] = 10;
    });
    const coherence = frequency.map((f) => (f < 100 ? 0.1 : 0.9));
    const entries = bandLevels({ ...response, coherence }, octaves(63, 250));
    // The octave at 125 Hz begins at 89 Hz: of its ln 2 = 0.69, ln (100/89.1) = 0.115 lie below 100 Hz.
    expect(entries.map((e) => e.usable)).toEqual([false, true, true]);
    expect(entries[1].fraction).toBeCloseTo(1 - 0.115 / 0.69, 1);
    expect(entries[1].level).toBeCloseTo(0, 6);
    expect(entries[0].level).toBeCloseTo(20, 6);
    expect(bandLevels(response, octaves(100, 150))[0].level).toBeGreaterThan(5);
  });

  it("tells the standard error that repeated measurements show, within 20 % over bands that many bins share", () => {
    const sampleRate = 8000;
    const windowLength = 512;
    const bands = thirdOctaves(400, 2500);
    const levels: number[][] = bands.map(() => []);
    const errors: number[][] = bands.map(() => []);
    for (let trial = 1; trial <= 120; trial++) {
      const random = seeded(trial);
      const reference = Float64Array.from({ length: 16_384 }, () => random.normal());
      const signal = reference.map((x) => 0.5 * x + 0.5 * random.normal());
      const response = transferFunction(reference, signal, sampleRate, { windowLength });
      const entries = bandLevels(response, bands, {
        coherenceLimit: 0,
        resolution: (1.5 * sampleRate) / windowLength,
      });
      entries.forEach((entry, b) => {
        levels[b].push(entry.level);
        errors[b].push(entry.standardError);
      });
    }
    // A deviation from 120 trials is itself known to 1/√240 = 6.5 %; nine bands together to about 2 %.
    const ratios = bands.map((_, b) => mean(errors[b]) / deviation(levels[b]));
    expect(mean(ratios)).toBeGreaterThan(0.8);
    expect(mean(ratios)).toBeLessThan(1.2);
    for (const ratio of ratios) {
      expect(ratio).toBeGreaterThan(0.7);
      expect(ratio).toBeLessThan(1.4);
    }
  });

  it("without a resolution states no less error than with one", () => {
    const response = {
      ...flat(0),
      coherence: new Float64Array(400).fill(0.8),
      averages: new Float64Array(400).fill(10),
    };
    const wide = bandLevels(response, octaves(900, 1100))[0].standardError;
    const known = bandLevels(response, octaves(900, 1100), { resolution: 50 })[0].standardError;
    // √(0.2 / (2 · 0.8 · 10)) = 0.1118 of the magnitude is 0.971 dB.
    expect(wide).toBeCloseTo(0.971, 3);
    expect(known).toBeLessThan(wide);
    expect(known).toBeGreaterThan(0.1);
  });

  it("leaves out bands that were not measured", () => {
    expect(
      bandLevels(flat(0, logGrid(100, 1000, 50)), octaves(31.5, 4000)).map((e) => e.band.nominal),
    ).toEqual([125, 250, 500, 1000]);
  });
});

describe("spreadPerBand", () => {
  it("gives numpy's standard deviation of the sample, with mean, ends and who counts", () => {
    const band = { exact: 1000, nominal: 1000, lower: 700, upper: 1400 };
    table.levelDeviation.forEach((deviationExpected, i) => {
      const positions = table.responses.map(({ re, im }) => flat(10 * Math.log10(re[i] ** 2 + im[i] ** 2)));
      const [spread] = spreadPerBand(positions, [band]);
      expect(spread.deviation).toBeCloseTo(deviationExpected, 9);
      expect(spread.positions).toEqual([0, 1, 2, 3, 4]);
    });
    const [spread] = spreadPerBand([flat(-3), flat(6)], [band]);
    expect([spread.mean, spread.lowest, spread.highest].map((x) => Number(x.toFixed(9)))).toEqual([
      1.5, -3, 6,
    ]);
  });

  it("leaves a position out of the bands where it lacks coherence", () => {
    const noisy = { ...flat(20), coherence: flat(20).frequency.map((f) => (f < 300 ? 0.1 : 1)) };
    const spreads = spreadPerBand([flat(0), noisy, flat(2)], octaves(125, 1000));
    expect(spreads.map((s) => s.positions.length)).toEqual([2, 2, 3, 3]);
    expect(spreads[0].highest).toBeCloseTo(2, 9);
  });
});

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

function deviation(values: readonly number[]): number {
  const m = mean(values);
  return Math.sqrt(values.reduce((sum, x) => sum + (x - m) ** 2, 0) / (values.length - 1));
}
