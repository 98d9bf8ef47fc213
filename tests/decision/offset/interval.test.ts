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
    const shows = 300;
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
    // 300 draws of 0.9 scatter by 1.7 %.
    expect(held / shows).toBeGreaterThan(0.85);
    expect(held / shows).toBeLessThan(0.95);
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
