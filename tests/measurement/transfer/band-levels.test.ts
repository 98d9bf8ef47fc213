import { describe, expect, it } from "vitest";
import { type Band, bandPower, logGrid, thirdOctaves } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { bandLevels } from "../../../lib/measurement/transfer/band-levels";
import { spreadPerBand } from "../../../lib/measurement/transfer/spread";
import { averages as table } from "../reference/averages.json";

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

  it("leaves out what lacks coherence, and doubts a band of which too little is left", () => {
    const response = flat(0);
    const { frequency } = response;
    response.re.forEach((_, i) => {
      if (frequency[i] < 100) response.re[i] = 10;
    });
    const coherence = frequency.map((f) => (f < 100 ? 0.1 : 0.9));
    const entries = bandLevels({ ...response, coherence }, octaves(63, 250));
    expect(entries.map((e) => e.usable)).toEqual([false, true, true]);
    expect(entries[1].level).toBeCloseTo(0, 6);
    expect(entries[0].level).toBeCloseTo(20, 6);
    expect(bandLevels(response, octaves(100, 150))[0].level).toBeGreaterThan(5);
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
