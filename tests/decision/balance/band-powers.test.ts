/** Band powers by their laws: means over log frequency, delays as distance, what has no phase, what is not coherent. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { balance } from "../../../lib/decision/balance/balance";
import {
  bandPowers,
  bandWeights,
  coveredThirdOctaves,
  onlyTrusted,
  rotation,
  span,
} from "../../../lib/decision/balance/band-powers";
import { evenly } from "../../evenly";
import { banded, flat, frequency, pointSource, position, ratios, silent, survey } from "../synthetic";

const band = (lower: number, upper: number) => ({
  lower,
  upper,
  exact: Math.sqrt(lower * upper),
  nominal: Math.sqrt(lower * upper),
});
const octave = band(40, 80);

describe("the mean over a band", () => {
  /** Index and weight of each frequency. */
  const pairs = (f: Float64Array, of: typeof octave) => {
    const { start, weight } = bandWeights(f, of);
    return Array.from(weight, (w, k) => [start + k, Number(w.toFixed(12))]);
  };
  it("of a straight line over log frequency is the line in the band's middle, on any grid", () => {
    const grid = fc.uniqueArray(evenly(20, 200), {
      minLength: 3,
      maxLength: 30,
    });
    const share = evenly(0, 1);
    fc.assert(
      fc.property(grid, share, share, (unordered, a, b) => {
        const f = Float64Array.from([10, ...unordered, 400]).sort();
        const ends = [a, b].map((x) => 10 * 40 ** x).sort((x, y) => x - y);
        if (ends[1] < ends[0] * 1.01) return;
        const { start, weight } = bandWeights(f, band(ends[0], ends[1]));
        expect(start + weight.length).toBeLessThanOrEqual(f.length);
        const mean = (value: (x: number) => number) =>
          weight.reduce((sum, w, k) => sum + w * value(Math.log(f[start + k])), 0);
        expect(mean(() => 1)).toBeCloseTo(1, 9);
        expect(mean((x) => x)).toBeCloseTo((Math.log(ends[0]) + Math.log(ends[1])) / 2, 9);
        for (const w of weight) expect(w).toBeGreaterThanOrEqual(0);
      }),
    );
  });
  it("takes no frequency that lies beyond both the band and its next neighbour", () => {
    const f = Float64Array.of(10, 20, 40, 80, 160, 320);
    expect(pairs(f, octave)).toEqual([
      [2, 0.5],
      [3, 0.5],
    ]);
    expect(bandWeights(f, band(50, 70)).weight).toHaveLength(2);
    expect(bandWeights(f, band(30, 90))).toMatchObject({ start: 1, weight: { length: 4 } });
  });
  it("is over the part of the band that the grid has", () => {
    const f = Float64Array.of(50, 60, 72);
    const { start, weight } = bandWeights(f, octave);
    const middle = weight.reduce((sum, w, k) => sum + w * Math.log(f[start + k]), 0);
    expect(Math.exp(middle)).toBeCloseTo(60, 9);
  });
  it("leaves out a frequency of 0, and is the nearest frequency where the band holds none", () => {
    const f = Float64Array.of(0, 50, 100, 200);
    expect(pairs(f, band(50, 100))).toEqual([
      [1, 0.5],
      [2, 0.5],
    ]);
    expect(bandWeights(f, band(300, 400))).toEqual({ start: 3, weight: Float64Array.of(1) });
    expect(bandWeights(f, band(20, 40))).toEqual({ start: 1, weight: Float64Array.of(1) });
  });
  it("of trusted frequencies alone weighs them as before among themselves, and takes all where there are none", () => {
    const weights = { start: 1, weight: Float64Array.of(0.2, 0.5, 0.3) };
    expect([...onlyTrusted(weights, Uint8Array.of(1, 1, 0, 1)).weight]).toEqual([0.4, 0, 0.6]);
    expect(onlyTrusted(weights, Uint8Array.of(1, 0, 0, 0))).toBe(weights);
  });
});

describe("third octaves that a survey covers", () => {
  it("are those whose mid-band frequency it reaches, nominal or exact", () => {
    const nominal = (f: Float64Array, from: number, to: number) =>
      coveredThirdOctaves(f, from, to).map((t) => t.nominal);
    expect(nominal(Float64Array.of(31.5, 80), 20, 160)).toEqual([31.5, 40, 50, 63, 80]);
    expect(nominal(Float64Array.of(31, 81), 20, 160)).toEqual([31.5, 40, 50, 63, 80]);
    expect(nominal(Float64Array.of(33, 77), 20, 160)).toEqual([40, 50, 63]);
    expect(nominal(Float64Array.of(20, 200), 50, 50)).toEqual([50]);
  });
  it("are refused where the wanted ones are missing, with what is there", () => {
    const f = Float64Array.of(40, 1000);
    expect(() => coveredThirdOctaves(f, 31.5, 80, "the low band")).toThrow(
      /low band needs .* 31.5 to 80 Hz.* from 40 to 1000 Hz/,
    );
    expect(() => coveredThirdOctaves(f, 20, 20, "the low band")).toThrow(/at 20 Hz, but/);
    expect(() => coveredThirdOctaves(f, 50, 80, "the low band")).not.toThrow();
    for (const [from, to] of [
      [0, 80],
      [80, 50],
      [Number.NaN, 80],
    ])
      expect(() => coveredThirdOctaves(f, from, to)).toThrow(/two positive frequencies/);
    expect(() => coveredThirdOctaves(new Float64Array(), 50, 80)).toThrow(/no frequencies/);
  });
  it("span from the lowest edge to the highest: 31.5 to 80 Hz is 28.2 to 89.1 Hz", () => {
    const whole = span(coveredThirdOctaves(frequency, 31.5, 80));
    expect(whole.lower).toBeCloseTo(28.18, 2);
    expect(whole.upper).toBeCloseTo(89.13, 2);
    expect(whole.exact).toBeCloseTo(50.12, 2);
    expect(whole.nominal).toBe(50.1);
  });
});

describe("a delay of the subs", () => {
  const seat = { x: 12, y: 0, z: 0 };
  const mains = pointSource({ x: 0, y: 5, z: 0 }, seat);
  const subs = pointSource({ x: 0, y: 0, z: 0 }, seat);
  const s = survey([position("a", seat)], [mains], [subs]);
  it("does what as many more metres do to their phase", () => {
    // 3.43 m behind at 343 m/s is 10 ms; at 15.43 m it is softer by 12/15.43.
    const farther = pointSource({ x: -3.43, y: 0, z: 0 }, seat, 20 * Math.log10(15.43 / 12));
    const moved = bandPowers({ ...s, subs: [farther] }, [octave]);
    const delayed = bandPowers(s, [octave], { delay: 0.01 });
    for (const key of ["mains", "cross", "subs"] as const)
      expect(delayed[key][0]).toBeCloseTo(moved[key][0], 9);
    expect(Math.abs(delayed.cross[0] - bandPowers(s, [octave]).cross[0])).toBeGreaterThan(1e-4);
  });
  it("and a turn of polarity is the opposite of it", () => {
    const plain = bandPowers(s, [octave], { delay: 0.003 });
    const turned = bandPowers(s, [octave], { delay: 0.003, polarity: -1 });
    expect(turned.cross[0]).toBeCloseTo(-plain.cross[0], 12);
    expect(turned.subs[0]).toBeCloseTo(plain.subs[0], 12);
    expect(bandPowers(s, [octave], { polarity: -1 }).cross[0]).toBeCloseTo(
      -bandPowers(s, [octave]).cross[0],
      12,
    );
  });
  it("of none with normal polarity changes nothing, and no other polarity or delay is taken", () => {
    expect(rotation(frequency, {})).toBeUndefined();
    expect(() => rotation(frequency, { polarity: 0 as 1 })).toThrow(/expected 1 or -1/);
    expect(() => rotation(frequency, { delay: Number.NaN })).toThrow(/expected seconds/);
  });
  it("is told in milliseconds", () => {
    const found = balance(s, { delay: 0.003, polarity: -1, offset: 2, targetTilt: 4 });
    expect(found).toMatchObject({ delay_ms: 3, polarity: -1, offset_db: 2, targetTilt_db: 4 });
  });
});

describe("powers in a band", () => {
  const of = (mains: Response, subs: Response, setting = {}) =>
    bandPowers(survey([position("a")], [mains], [subs]), [octave], setting);
  it("are mean squares, and the product's real part: amplitudes 2 and 3 at 60°", () => {
    const found = of(flat(20 * Math.log10(2)), flat(20 * Math.log10(3), Math.PI / 3));
    expect(found.mains[0]).toBeCloseTo(4, 9);
    expect(found.cross[0]).toBeCloseTo(3, 9);
    expect(found.subs[0]).toBeCloseTo(9, 9);
    expect(found.mainsAlone).toHaveLength(0);
  });
  it("have no product where either side lacks its phase", () => {
    const blind = { ...flat(0), magnitudeOnly: true };
    expect(of(blind, flat(0)).cross[0]).toBe(0);
    expect(of(flat(0), blind).cross[0]).toBe(0);
    const s = survey([position("a"), position("b")], [blind, flat(0)], [flat(0), flat(0)]);
    expect(balance(s).positions.map((p) => p.summedBy)).toEqual(["power", "complex"]);
  });
  it("add diffuse sound of either side", () => {
    const more = (r: Response, x: number) => ({ ...r, diffuse: new Float64Array(frequency.length).fill(x) });
    const found = of(more(flat(0), 2), more(flat(0), 5), { mainsBand: band(500, 1000) });
    expect(found.mains[0]).toBeCloseTo(3, 9);
    expect(found.subs[0]).toBeCloseTo(6, 9);
    expect(found.mainsAlone[0]).toBeCloseTo(3, 9);
  });
  it("take the mains of one more band, with fills, and nothing of the subs", () => {
    const s = survey([position("a"), position("b")], [flat(0), flat(6.0206)], [flat(20), flat(20)]);
    const high = band(500, 1000);
    const { mainsAlone } = bandPowers({ ...s, fills: [flat(0), silent()] }, [octave], { mainsBand: high });
    expect(mainsAlone[0]).toBeCloseTo(4, 6);
    expect(mainsAlone[1]).toBeCloseTo(4, 4);
    const later = bandPowers(s, [octave], { mainsBand: high, delay: 0.004 });
    expect(later.mainsAlone[0]).toBeCloseTo(1, 9);
  });
  it("leave out what is not coherent, in either band", () => {
    // Ten times too loud with a coherence of 0.1 at half of the frequencies.
    const spoilt = (r: Response, from: number, to: number): Response => {
      const bad = (f: number) => f > from && f < to;
      const wild = (x: Float64Array) => x.map((v, i) => (bad(frequency[i]) ? 10 * v : v));
      return { ...r, re: wild(r.re), im: wild(r.im), coherence: frequency.map((f) => (bad(f) ? 0.1 : 0.9)) };
    };
    const high = band(500, 1000);
    const setting = { mainsBand: high, coherenceLimit: 0.5 };
    expect(of(spoilt(flat(0), 40, 56), flat(0), setting).mains[0]).toBeCloseTo(1, 9);
    expect(of(spoilt(flat(0), 40, 56), flat(0), { ...setting, coherenceLimit: 0 }).mains[0]).toBeGreaterThan(
      40,
    );
    expect(of(spoilt(flat(0), 500, 700), flat(0), setting).mainsAlone[0]).toBeCloseTo(1, 9);
    expect(of(flat(0), spoilt(flat(0), 40, 56), setting).subs[0]).toBeCloseTo(1, 9);
  });
  it("that are no number are refused by place and frequency, wherever they come from", () => {
    const at = (f: number): Response => ({
      ...flat(0),
      re: frequency.map((x) => (Math.abs(x - f) < f / 20 ? Number.NaN : 1)),
    });
    expect(() => of(at(60), flat(0))).toThrow(/"a" has a response that is not a finite number/);
    expect(() => of(flat(0), at(60))).toThrow(/not a finite number/);
    expect(() => of(at(700), flat(0), { mainsBand: band(500, 1000) })).toThrow(/not a finite number/);
    expect(() => of(at(700), flat(0))).not.toThrow();
  });
});

describe("a balance", () => {
  it("has the third octaves of the sum over the mid band, and its low band in decibels", () => {
    // Subs 6 dB over mains below 120 Hz; 3 dB more by the offset; mains alone above.
    const [p] = balance(ratios([6]), { offset: 3, targetTilt: 4 }).positions;
    const { thirdOctaves_hz } = balance(ratios([6]));
    expect(thirdOctaves_hz).toHaveLength(30);
    thirdOctaves_hz.forEach((f, k) => {
      if (f < 100) expect(p.thirdOctaves_db[k]).toBeCloseTo(9, 6);
      if (f > 160) expect(p.thirdOctaves_db[k]).toBeCloseTo(0, 6);
    });
    expect(
      [p.low_db, p.mid_db, p.balance_db, p.deviation_db].map((x) => Math.round(1e6 * x) / 1e6 + 0),
    ).toEqual([9, 0, 9, 5]);
  });
  it("adds mains and subs within each third octave by phase", () => {
    const s = survey([position("a")], [flat(0)], [flat(0, Math.PI / 2)]);
    const [p] = balance(s, { offset: 6.0206 }).positions;
    // 1 + 4 at right angles: 6.99 dB.
    for (const x of p.thirdOctaves_db) expect(x).toBeCloseTo(6.9897, 3);
    const [q] = balance(survey([position("a")], [flat(0)], [flat(0)]), { offset: 6.0206 }).positions;
    // (1 + 2)²: 9.54 dB.
    for (const x of q.thirdOctaves_db) expect(x).toBeCloseTo(9.5424, 3);
  });
  it("is held against a target that moves every deviation by as much, whatever mains and subs do to each other", () => {
    const level = evenly(-10, 10);
    fc.assert(
      fc.property(level, level, evenly(-3, 3), evenly(-12, 12), (mains, subs, phase, targetTilt) => {
        const s = survey([position("a")], [flat(mains)], [flat(subs, phase)]);
        const [none] = balance(s, { targetTilt: 0 }).positions;
        const [some] = balance(s, { targetTilt }).positions;
        expect(some.deviation_db).toBeCloseTo(none.deviation_db - targetTilt, 6);
        expect(some.balance_db).toBeCloseTo(none.balance_db, 6);
      }),
      { numRuns: 20 },
    );
  });
  it("by weights of one's own is no matter of people, and of no offset none", () => {
    const s = ratios([0, 6], [0, 0]);
    const found = balance(s, { targetTilt: 0, weights: [1, 3] });
    expect(found.audience.mean_db).toBeCloseTo(4.5, 4);
    expect(found.reasons.join(" ")).not.toContain("each counts the same");
    expect(() => balance(s, { offset: Number.NaN })).toThrow(/offset is NaN/);
  });
  it("names positions without phase in its reasons, and none where all have one", () => {
    const s = ratios([0, 0]);
    const blind = { ...s, subs: [s.subs[0], { ...s.subs[1], magnitudeOnly: true }] };
    expect(balance(blind).reasons.join(" ")).toContain('No phase at "p1"');
    expect(balance(s).reasons).toHaveLength(1);
  });
  it("is silence's floor of −200 dB where nothing is left of a third octave", () => {
    const s = survey([position("a")], [banded(flat(0), 120, 20000)], [silent()]);
    const [p] = balance(s).positions;
    expect(p.thirdOctaves_db[0]).toBeCloseTo(-200, 6);
    expect(p.deviation_db).toBeCloseTo(-200, 6);
  });
});

describe("the grid of logarithmic steps", () => {
  it("gives a pink response the same power in each octave", () => {
    const f = logGrid(20, 320, 81);
    const pink: Response = {
      frequency: f,
      re: f.map((x) => Math.sqrt(100 / x)),
      im: new Float64Array(f.length),
    };
    const s = { ...survey([position("a")], [pink], [pink]), frequency: f };
    const { mains } = bandPowers(s, [band(40, 80), band(80, 160)]);
    // |p|² of 100/f falls by half an octave: its mean over log f does so too.
    expect(mains[0] / mains[1]).toBeCloseTo(2, 6);
  });
});
