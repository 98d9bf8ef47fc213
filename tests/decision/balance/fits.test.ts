/** Lines, planes, what is left and how sure it is: few points that one can work out on paper. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { lowBandPowers, lowThirdOctaves } from "../../../lib/decision/balance/balance";
import { distanceLevel, fitLine } from "../../../lib/decision/balance/distance";
import { changeAround } from "../../../lib/decision/balance/plane-slope";
import { residualPerThirdOctave } from "../../../lib/decision/balance/residual";
import { deviationErrors } from "../../../lib/decision/balance/uncertainty";
import { evenly } from "../../evenly";
import { banded, flat, frequency, position, ratios, silent, survey } from "../synthetic";

describe("a line of least squares", () => {
  it("through (1, 2), (2, 4) and twice (3, 7) has the slope 28/11 (normal equations by hand)", () => {
    // Means 9/4 and 5; Σwxx = 11/4, Σwxy = 7, Σwyy = 18.
    const fit = fitLine([1, 2, 3], [2, 4, 7], [1, 1, 2]);
    expect(fit?.slope).toBeCloseTo(28 / 11, 12);
    expect(fit?.intercept).toBeCloseTo(5 - (28 / 11) * 2.25, 12);
    expect(fit?.residual).toBeCloseTo(Math.sqrt((18 - 49 / 2.75) / 4), 12);
  });
  it("is none where all x are the same", () => {
    expect(fitLine([2, 2, 2], [1, 2, 3], [1, 1, 1])).toBeNull();
  });
});

describe("level from distance alone", () => {
  it("adds sources by power: two at 10 m are 3.01 dB over one, −20 dB", () => {
    const at = { x: 0, y: 0, z: 0 };
    const origins = [
      { x: 10, y: 0, z: 0 },
      { x: 0, y: 6, z: 8 },
    ];
    expect(distanceLevel(at, origins.slice(0, 1))).toBeCloseTo(-20, 9);
    expect(distanceLevel(at, origins)).toBeCloseTo(-16.99, 2);
    expect(() => distanceLevel(at, [])).toThrow(/origins is empty/);
    expect(() => distanceLevel(at, [at])).toThrow(/lies in a source/);
  });
});

describe("the change around a place", () => {
  const place = (x: number, y: number, deviation_db: number) => ({ point: { x, y, z: 0 }, deviation_db });
  it("of a plane is its slopes, wherever the neighbours stand", () => {
    const slope = evenly(-3, 3);
    const metres = evenly(-2, 2);
    fc.assert(
      fc.property(
        slope,
        slope,
        fc.array(fc.tuple(metres, metres), { minLength: 3, maxLength: 6 }),
        (a, b, at) => {
          const field = at.map(([x, y]) => place(x, y, 5 + a * x + b * y));
          // Neighbours that all but line up are the next test's.
          const [xx, xy, yy] = at.reduce(([p, q, r], [x, y]) => [p + x * x, q + x * y, r + y * y], [0, 0, 0]);
          if (xx * yy - xy * xy < 0.01 * xx * yy + 1e-6) return;
          const found = changeAround(place(0, 0, 5), field, 10);
          expect(found.towardBack).toBeCloseTo(a, 6);
          expect(found.towardLeft).toBeCloseTo(b, 6);
        },
      ),
    );
  });
  it("is known along a line alone where the neighbours lie on one", () => {
    const here = place(0, 0, 1);
    expect(changeAround(here, [place(1, 0, 3), place(2, 0, 5)], 3)).toEqual({
      towardBack: 2,
      towardLeft: null,
    });
    expect(changeAround(here, [place(0, 2, 2), place(0, -2, 0)], 3)).toEqual({
      towardBack: null,
      towardLeft: 0.5,
    });
  });
  it("is not known without neighbours, and those beyond the radius are none", () => {
    const here = place(0, 0, 1);
    const unknown = { towardBack: null, towardLeft: null };
    expect(changeAround(here, [here, place(3.1, 0, 9)], 3)).toEqual(unknown);
    expect(changeAround(here, [here, place(3, 0, 7)], 3)).toEqual({ towardBack: 2, towardLeft: null });
  });
});

describe("what is left in each third octave", () => {
  it("is mean and standard deviation over the people: 0 and 6 dB for 1 and 3 of 4", () => {
    const options = { targetTilt: 2 };
    const s = ratios([0, 6], [1, 3]);
    const powers = lowBandPowers(s, options, lowThirdOctaves(s, options));
    const found = residualPerThirdOctave(powers, Float64Array.of(0.25, 0.75), 1, options);
    expect(found.thirdOctaves_hz).toEqual([31.5, 40, 50, 63, 80]);
    for (const mean of found.mean_db) expect(mean).toBeCloseTo(4.5 + 1 - 2, 6);
    for (const spread of found.spread_db) expect(spread).toBeCloseTo(6 * Math.sqrt(3 / 16), 6);
  });
  it("adds mains and subs by phase: amplitudes 1 and 2 in phase are 9.54 dB, and nothing is −200 dB", () => {
    const weights = Float64Array.of(1);
    const both = survey([position("a")], [flat(0)], [flat(6.0206)]);
    const { mean_db } = residualPerThirdOctave(
      lowBandPowers(both, {}, lowThirdOctaves(both, {})),
      weights,
      0,
      { targetTilt: 0 },
    );
    for (const x of mean_db) expect(x).toBeCloseTo(9.5424, 3);
    const none = survey([position("a")], [banded(flat(0), 120, 20000)], [silent()]);
    const left = residualPerThirdOctave(lowBandPowers(none, {}, lowThirdOctaves(none, {})), weights, 0, {
      targetTilt: 0,
    });
    for (const x of left.mean_db) expect(x).toBeCloseTo(-200, 6);
  });
});

describe("the standard error of a deviation", () => {
  // Coherence 0.5 after 50 averages: √(0.5/(0.5 · 100)) = 0.1 of the amplitude (Bendat and Piersol, 9.90, from memory). A power
  // errs by twice that over |sum|, in each third by itself; five thirds to the low band, seven to the mid band, 4.343 dB to 1.
  const fill = (x: number) => new Float64Array(frequency.length).fill(x);
  const noisy = <T extends object>(r: T, coherence = 0.5, averages = 50) => ({
    ...r,
    coherence: fill(coherence),
    averages: fill(averages),
  });
  const low = banded(flat(0), 0, 120);
  const high = banded(flat(0), 120, 20000);
  const error = (mains: typeof low, subs: typeof low, options = {}, offset = 0) =>
    deviationErrors(survey([position("a")], [mains], [subs]), options, offset)?.[0];
  const dB = 10 / Math.LN10;

  it.each([
    ["subs alone in the low band", high, noisy(low), {}, 0, 0.2 / Math.sqrt(5)],
    ["the same 10 dB louder", high, noisy(low), {}, 10, 0.2 / Math.sqrt(5)],
    ["mains alone in the mid band", noisy(high), low, {}, 0, 0.2 / Math.sqrt(7)],
    ["both", noisy(high), noisy(low), {}, 0, Math.hypot(0.2 / Math.sqrt(5), 0.2 / Math.sqrt(7))],
    // |1 + 1|: 2 · 2 · 0.1/4; |1 + 10|: 2 · 11 · 1/121; |1 − ½|: 2 · ½ · 0.05/¼
    ["as loud as mains in phase", flat(0), noisy(low), {}, 0, 0.1 / Math.sqrt(5)],
    ["20 dB louder than these", flat(0), noisy(low), {}, 20, 2 / 11 / Math.sqrt(5)],
    ["half as loud and turned over", flat(0), noisy(low), { polarity: -1 }, -6.0206, 0.2 / Math.sqrt(5)],
    ["both without noise but one", noisy(high, 1), noisy(low, 0.5), {}, 0, 0.2 / Math.sqrt(5)],
    ["averages of none", noisy(high, 0.5, 0), noisy(low), {}, 0, 0.2 / Math.sqrt(5)],
    ["twice the averages", high, noisy(low, 0.5, 100), {}, 0, 0.2 / Math.sqrt(10)],
    ["one third octave", high, noisy(low), { lowBand: [50, 50] }, 0, 0.2],
  ])("with %s", (_, mains, subs, options, offset, relative) => {
    expect(error(mains, subs, options, offset)).toBeCloseTo(dB * relative, 3);
  });
  it("counts the phase of a delay: a quarter of a period makes 1 and 1 add to √2", () => {
    // 50.12 Hz; over a third octave a quarter of a period is 80 to 101°, whose errors all but cancel.
    const found = error(flat(0), noisy(low), { lowBand: [50, 50], delay: 1 / 4 / 50.12 });
    expect(Math.abs((found as number) / (dB * Math.SQRT2 * 0.1) - 1)).toBeLessThan(0.02);
    const half = error(flat(0), noisy(low), { lowBand: [50, 50], delay: 1 / 50.12 });
    expect(Math.abs((half as number) / (dB * 0.1) - 1)).toBeLessThan(0.08);
  });
  it("is at most 20 dB, and none where coherence or averages are not known", () => {
    expect(error(high, noisy(low, 0, 1))).toBe(20);
    expect(error(high, low)).toBeUndefined();
    expect(error({ ...high, coherence: fill(0.5) } as typeof high, low)).toBeUndefined();
    expect(error(high, silent() as typeof low)).toBeUndefined();
    expect(error(noisy(high), silent() as typeof low)).toBeCloseTo(dB * (0.2 / Math.sqrt(7)), 3);
  });
});
