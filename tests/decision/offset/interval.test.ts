import { describe, expect, it } from "vitest";
import { thirdOctaves } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { normal } from "../../../lib/numeric/random";
import { banded, flat, frequency, position, survey } from "../synthetic";

const thirds = thirdOctaves(20, 16000);
const thirdOf = frequency.map((f) => thirds.findIndex((t) => f >= t.lower && f < t.upper));

/** A response as measured: an error of the size that its coherence means, the same within a third octave. */
function measured(truth: Response, coherence: number, averages: number, draw: () => number): Response {
  // Each part of Y X* / Σ|X|² scatters by the noise over the square root of twice the averages; noise from coherence.
  const size = Math.sqrt((1 / coherence - 1) / (2 * averages));
  const errors = thirds.map(() => [size * draw(), size * draw()]);
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  frequency.forEach((_, i) => {
    const [a, b] = errors[thirdOf[i]] ?? [0, 0];
    re[i] = truth.re[i] * (1 + a) - truth.im[i] * b;
    im[i] = truth.im[i] * (1 + a) + truth.re[i] * b;
  });
  const fill = (x: number) => new Float64Array(frequency.length).fill(x);
  return { frequency, re, im, coherence: fill(coherence), averages: fill(averages) };
}

describe("the interval of the offset", () => {
  it("holds the true offset in about nine of ten simulated measurements", () => {
    const draw = normal(2024);
    const positions = [0, 1, 2, 3].map((i) => position(`p${i}`, { x: 3 + 5 * i }, [4, 2, 3, 1][i]));
    const mains = positions.map(() => banded(flat(0), 60, 20000));
    const subs = positions.map((_, i) => banded(flat([7, 4, 3, -1][i], 0.7 * i), 0, 110));
    const truth = levelOffset(survey(positions, mains, subs)).offset_db;
    let held = 0;
    const shows = Number(process.env.EVENGROUND_TRIALS ?? 300);
    for (let k = 0; k < shows; k++) {
      const { interval } = levelOffset(
        survey(
          positions,
          mains.map((r) => measured(r, 0.8, 8, draw)),
          subs.map((r) => measured(r, 0.7, 8, draw)),
        ),
        { seed: k },
      );
      if (!interval) throw new Error("expected an interval");
      if (interval.from_db <= truth && truth <= interval.to_db) held++;
    }
    // 300 draws of 0.9 scatter by 1.7 %: what all but one of a thousand runs stay within.
    expect(Math.abs(held / shows - 0.9)).toBeLessThan(3.1 * Math.sqrt((0.9 * 0.1) / shows));
  });
  it("is as wide as the error of one measured position: 1.645 standard errors to either side at 90 %", () => {
    // Subs alone in the low band with coherence 0.5 after 50 averages: each of five third octaves errs by
    // √((1 − 0.5)/(0.5 · 100)) = 0.1, together by 2 · 0.1/√5 in power, 0.388 dB; the mid band without error.
    const s = survey([position("a")], [banded(flat(0), 120, 20000)], [banded(flat(-4), 0, 120)]);
    const fill = (x: number) => new Float64Array(frequency.length).fill(x);
    const subs = s.subs.map((r) => ({ ...r, coherence: fill(0.5), averages: fill(50) }));
    const { interval, offset_db } = levelOffset({ ...s, subs }, { targetTilt: 0 });
    expect(offset_db).toBeCloseTo(4, 4);
    expect(interval?.positions_db[0]).toBeCloseTo(0.388, 2);
    // 400 draws scatter by 4 % (standard error) and by 8 % (quantiles); three times that.
    expect(Math.abs((interval?.standardError_db as number) / 0.388 - 1)).toBeLessThan(0.12);
    expect(Math.abs(((interval?.to_db as number) - 4) / (1.645 * 0.388) - 1)).toBeLessThan(0.24);
    expect(Math.abs(((interval?.from_db as number) - 4) / (-1.645 * 0.388) - 1)).toBeLessThan(0.24);
    const half = levelOffset({ ...s, subs }, { targetTilt: 0, confidence: 0.5 }).interval;
    expect(Math.abs(((half?.to_db as number) - 4) / (0.674 * 0.388) - 1)).toBeLessThan(0.35);
    expect(half?.confidence_fraction).toBe(0.5);
  });
  it("with a confidence of none or all is refused", () => {
    const s = survey([position("a")], [banded(flat(0), 120, 20000)], [banded(flat(0), 0, 120)]);
    for (const confidence of [0, 1, Number.NaN])
      expect(() => levelOffset(s, { confidence })).toThrow(/confidence is/);
  });
  it("is none without coherence, and a point where the coherence is full", () => {
    const s = survey([position("a")], [banded(flat(0), 120, 20000)], [banded(flat(0), 0, 120)]);
    expect(levelOffset(s).interval).toBeNull();
    const full = (r: Response) => ({ ...r, coherence: r.re.map(() => 1), averages: r.re.map(() => 10) });
    const found = levelOffset({ ...s, mains: s.mains.map(full), subs: s.subs.map(full) });
    expect(found.interval?.from_db).toBeCloseTo(found.offset_db, 6);
    expect(found.interval?.to_db).toBeCloseTo(found.offset_db, 6);
  });
});
