/** From evidence to chances and verdicts: sums that can be done by hand, and what must follow whatever the curves. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { chancesOf, wholeFeatures } from "../../../lib/decision/dips/chances";
import { type Evidence, evidenceOf } from "../../../lib/decision/dips/evidence";
import { judged } from "../../../lib/decision/dips/verdict";
import { evenly } from "../../evenly";

const evidence = (fractions: readonly number[], more: Partial<Evidence> = {}): Evidence => ({
  filled: fractions.map((fraction, i) => ({ kind: "other surface", name: `wall ${i}`, fraction })),
  predicted: 1,
  shift: 0.02,
  misfit: 1,
  overall: { predicted: 0.9, misfit: 1.5 },
  byWaves: true,
  count: 3,
  ...more,
});

describe("evidence", () => {
  const sample = (left_db: readonly number[], more = {}) => ({
    frequency_hz: 60,
    depth_db: 8,
    around_db: 8,
    misfit_db: 1,
    left_db,
    ...more,
  });
  const elements = [
    { kind: "ceiling", name: "ceiling" },
    { kind: "cavity", name: "pit" },
  ] as const;
  test("is what goes with an element of the model's depth, by the depths found", () => {
    // 8 − 2 of 8 and 8 − 8 of 8 at a dip of 6 dB, 8 − 0 and 8 − 4 at one of 12: (6 · 0.75 + 12)/18 and 12 · 0.5/18.
    const [found] = evidenceOf([
      {
        byWaves: true,
        elements,
        dips: [
          { found_hz: 60, found_db: 6, samples: [sample([2, 8])] },
          { found_hz: 60, found_db: 12, samples: [sample([0, 4])] },
        ],
      },
    ]);
    expect(found.filled.map((f) => f.fraction)[0]).toBeCloseTo(16.5 / 18, 9);
    expect(found.filled.map((f) => f.fraction)[1]).toBeCloseTo(6 / 18, 9);
    // No more than all of 6 is predicted; 8 of 12.
    expect(found.predicted).toBeCloseTo((6 + 8) / 18, 9);
    expect(found.shift).toBeCloseTo(0, 9);
    expect(found.count).toBe(2);
  });
  test("believes those samples that are like what was heard", () => {
    const like = sample([0, 8]);
    const unlike = sample([8, 0], { misfit_db: 9 });
    const [found] = evidenceOf([
      { byWaves: true, elements, dips: [{ found_hz: 60, found_db: 8, samples: [unlike, like] }] },
    ]);
    expect(found.filled[0].fraction).toBeGreaterThan(0.99);
    expect(found.misfit).toBeLessThan(1.1);
  });
});

test("the room's chance counts how many elements would fill the dip, were each a throw for itself", () => {
  fc.assert(
    fc.property(fc.array(evenly(0.01, 0.99), { minLength: 1, maxLength: 8 }), (chances) => {
      // Every outcome by itself.
      let whole = 0;
      for (let set = 0; set < 2 ** chances.length; set++) {
        const bits = chances.map((_, i) => (set >> i) & 1);
        const count = bits.reduce((a, b) => a + b, 0);
        if (count === 0 || count > 3)
          whole += bits.reduce((p, b, i) => p * (b ? chances[i] : 1 - chances[i]), 1);
      }
      const inside = Math.min(0.999, Math.max(0.001, whole));
      expect(wholeFeatures(evidence([]), chances)[1]).toBeCloseTo(Math.log(inside / (1 - inside)), 6);
    }),
  );
});

describe("a verdict", () => {
  test("names what surely fills the dip: one, or up to three together", () => {
    expect(judged(evidence([1, 0, 0.1]))).toMatchObject({ verdict: "one element", named: [0] });
    const two = judged(evidence([0.95, 0, 1]));
    expect(two.verdict).toBe("several together");
    expect(two.named).toEqual([2, 0]);
    expect(judged(evidence([1, 1, 1, 1])).named).toEqual([]);
  });
  test("names nothing on weak evidence", () => {
    for (const weak of [
      evidence([0.6, 0.2]),
      evidence([1, 0], { predicted: 0.1, misfit: 7, overall: { predicted: 0.3, misfit: 6 } }),
      evidence([0, 0, 0]),
    ])
      expect(judged(weak).named).toEqual([]);
  });
  test("finds an element the likelier, the more of the dip it fills; something undrawn the likelier, the less is predicted", () => {
    const one = (fraction: number) => chancesOf(evidence([fraction, 0])).fills[0];
    const missing = (predicted: number) => chancesOf(evidence([0], { predicted })).notInFile;
    for (const [a, b] of [
      [0, 0.3],
      [0.3, 0.6],
      [0.6, 1],
    ]) {
      expect(one(a)).toBeLessThan(one(b));
      expect(missing(a)).toBeGreaterThan(missing(b));
    }
  });
});
