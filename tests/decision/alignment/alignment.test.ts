import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { filterResponse } from "../../../lib/acoustics/filters/response";
import type { Response } from "../../../lib/acoustics/response";
import { alignment } from "../../../lib/decision/alignment/alignment";
import { compareCrossovers } from "../../../lib/decision/alignment/compare-crossovers";
import { crossoverSum } from "../../../lib/decision/alignment/crossover-sum";
import { balance } from "../../../lib/decision/balance/balance";
import { flat, frequency, pointSource, position, survey } from "../synthetic";

const asResponse = (r: { re: Float64Array; im: Float64Array }): Response => ({ frequency, ...r });
const at = (f: number) =>
  frequency.reduce((best, x, i) => (Math.abs(x - f) < Math.abs(frequency[best] - f) ? i : best), 0);

// Sum of two equal sources by phase difference: +6.02, +3.01, 0 dB and silence are in every text on sound systems;
// with a level difference of 6 and 12 dB in phase and out of phase, 20 lg(1 ± 10^(−d/20)) worked out with Python's
// math module.
describe("the sum of mains and subs", () => {
  const table = [
    { phase: 0, difference: 0, sum: 6.0206 },
    { phase: 90, difference: 0, sum: 3.0103 },
    { phase: 120, difference: 0, sum: 0 },
    { phase: 0, difference: -6, sum: 3.5287 },
    { phase: 180, difference: -6, sum: -6.0412 },
    { phase: 0, difference: -12, sum: 1.9465 },
    { phase: 180, difference: -12, sum: -2.5126 },
    { phase: 90, difference: -10, sum: 0.4139 },
  ];
  for (const { phase, difference, sum } of table) {
    it(`is ${sum} dB over the mains at ${phase}° and ${difference} dB`, () => {
      const s = survey([position("a")], [flat(0)], [flat(difference, (phase * Math.PI) / 180)]);
      expect(crossoverSum(s, "a").sum_db[at(60)]).toBeCloseTo(sum, 3);
      // The mains' mid band is at 0 dB, so the balance is the sum.
      expect(balance(s, { targetTilt: 0 }).positions[0].balance_db).toBeCloseTo(sum, 3);
    });
  }
  it("is silence at 180° with equal levels, given as the floor and not as a number that breaks a figure", () => {
    const s = survey([position("a")], [flat(0)], [flat(0, Math.PI)]);
    expect(crossoverSum(s, "a").sum_db[at(60)]).toBeLessThan(-150);
    const found = balance(s).positions[0];
    expect(found.balance_db).toBeGreaterThanOrEqual(-200);
    expect(found.balance_db).toBeLessThan(-150);
  });
  it("is a power sum where a phase is missing, and says so", () => {
    const s = survey([position("a")], [flat(0)], [{ ...flat(0), magnitudeOnly: true }]);
    const found = balance(s, { targetTilt: 0 });
    expect(found.positions[0].balance_db).toBeCloseTo(3.0103, 3);
    expect(found.positions[0].summedBy).toBe("power");
    expect(found.reasons.join(" ")).toContain('No phase at "a"');
  });
});

// Linkwitz, J. Audio Eng. Soc. 24 (1976): fourth order sums flat in phase, second order needs one side turned over.
describe("crossovers of Linkwitz and Riley", () => {
  const pair = (order: 2 | 4 | 8) => {
    const low = asResponse(
      filterResponse({ kind: "linkwitz-riley", type: "lowpass", order, frequency: 80 }, frequency),
    );
    const high = asResponse(
      filterResponse({ kind: "linkwitz-riley", type: "highpass", order, frequency: 80 }, frequency),
    );
    return survey([position("a")], [high], [low]);
  };
  it("sum flat in fourth order, and cancel at the crossover with a side turned over", () => {
    const right = crossoverSum(pair(4), "a");
    for (const level of right.sum_db) expect(level).toBeCloseTo(0, 6);
    const wrong = crossoverSum(pair(4), "a", { polarity: -1 });
    expect(wrong.sum_db[at(80)]).toBeLessThan(-25);
    // Each side is 6.02 dB down at the crossover.
    expect(right.mains_db[at(80)]).toBeCloseTo(-6.02, 0);
  });
  it("need no delay and no turn in fourth and eighth order, and a turn in second", () => {
    for (const [order, polarity] of [
      [2, -1],
      [4, 1],
      [8, 1],
    ] as const) {
      const found = alignment(pair(order), { delays: [-0.004, 0.004] });
      expect(found.choices[0].polarity).toBe(polarity);
      expect(Math.abs(found.choices[0].delay_ms)).toBeLessThan(0.02);
      expect(found.choices[0].loss_db).toBeLessThan(1e-3);
    }
  });
  it("tried as filters on flat loudspeakers give the same as measured ones", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    const filters = {
      mains: [{ kind: "linkwitz-riley", type: "highpass", order: 4, frequency: 80 }],
      subs: [{ kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: 80 }],
    } as const;
    const found = alignment(s, { filters, delays: [-0.004, 0.004] });
    expect(found.crossover_hz).toBeGreaterThan(78);
    expect(found.crossover_hz).toBeLessThan(82);
    expect(found.asSurveyed.loss_db).toBeLessThan(1e-3);
  });
  it("of different kinds on either side are aligned better than as they stand", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    const filters = {
      mains: [{ kind: "butterworth", type: "highpass", order: 2, frequency: 90 }],
      subs: [{ kind: "linkwitz-riley", type: "lowpass", order: 8, frequency: 80 }],
    } as const;
    const found = alignment(s, { filters });
    expect(found.choices[0].loss_db).toBeLessThan(found.asSurveyed.loss_db - 0.5);
  });
});

describe("alignment", () => {
  it("finds the delay and polarity that a survey was spoilt with", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -9, max: 9, noNaN: true }),
        fc.constantFrom(1 as const, -1 as const),
        (ms, sign) => {
          const turned = asResponse(
            filterResponse(
              [
                { kind: "delay", delay: -ms / 1000 },
                { kind: "polarity", polarity: sign },
              ],
              frequency,
            ),
          );
          const s = survey([position("a")], [flat(0)], [turned]);
          const [best] = alignment(s, { band: [50, 120] }).choices;
          expect(best.polarity).toBe(sign);
          expect(best.delay_ms).toBeCloseTo(ms, 2);
          expect(best.loss_db).toBeLessThan(1e-4);
        },
      ),
      { numRuns: 20 },
    );
  });

  it("for one place costs the other places what geometry says", () => {
    // Mains 9 m above the subs. By Pythagoras the paths are 30.9974 and 30.0240 m to the far place, 11.1018 and
    // 7.9906 m to the near one: at 343 m/s the subs are early by 2.838 and by 9.0705 ms. Aligned for the far place, the
    // near one is off by 6.2325 ms, half a period of 80.2 Hz; there 1/11.1018 is left of 1/7.9906, which is
    // 20 lg((1/7.9906 − 1/11.1018)/(1/7.9906 + 1/11.1018)) = −15.76 dB from the ideal sum.
    const mains = { x: 0, y: 0, z: 9 };
    const subs = { x: 0, y: 0, z: 0 };
    const positions = [position("near", { x: 7.9 }), position("far", { x: 30 })];
    const s = survey(
      positions,
      positions.map((p) => pointSource(mains, p.point, 10)),
      positions.map((p) => pointSource(subs, p.point, 10)),
    );
    const found = alignment(s, { at: ["far"], band: [79.5, 80.9], delays: [0, 0.012] });
    expect(found.choices[0].delay_ms).toBeCloseTo(2.838, 2);
    expect(found.choices[0].positionLoss_db[1]).toBeLessThan(1e-3);
    // The grid's nearest frequencies are 1 % off the half period.
    expect(Math.abs(found.choices[0].positionLoss_db[0] - 15.76)).toBeLessThan(0.1);
    expect(Math.abs(found.choices[0].phase_deg[0])).toBeGreaterThan(175);
    expect(alignment(s, { at: ["near"], band: [60, 100], polarity: 1 }).choices[0].delay_ms).toBeCloseTo(
      9.0705,
      2,
    );
    expect(found.reasons.join(" ")).toContain('costs most at "near"');
  });

  it("refuses a survey without phase, and leaves out the places that have none", () => {
    const blind = { ...flat(0), magnitudeOnly: true };
    const none = survey([position("a")], [blind], [flat(0)]);
    expect(() => alignment(none)).toThrow(/phase/);
    const some = survey([position("a"), position("b")], [blind, flat(0)], [flat(0), flat(0)]);
    const found = alignment(some);
    expect(found.positions).toEqual(["b"]);
    expect(found.reasons.join(" ")).toContain("have no phase");
  });

  it("refuses mains and subs that never meet", () => {
    const s = survey([position("a")], [flat(0)], [flat(-40)]);
    expect(() => alignment(s)).toThrow(/overlap/);
  });

  it("prefers the least delay where a period more is as good on paper", () => {
    // One narrow band: delays a period of 80 Hz, 12.5 ms, apart sum alike; the subs are 2 ms early.
    const early = asResponse(filterResponse({ kind: "delay", delay: -0.002 }, frequency));
    const s = survey([position("a")], [flat(0)], [early]);
    const found = alignment(s, { band: [78, 82], polarity: 1 });
    expect(found.choices[0].delay_ms).toBeCloseTo(2, 1);
    expect(found.choices.slice(0, 3).map((c) => Math.round(c.delay_ms * 2) / 2)).toContain(-10.5);
  });
});

describe("crossovers side by side", () => {
  it("are ranked by what alignment leaves: a matched pair first, one without overlap last", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    const pass = (kind: "linkwitz-riley" | "butterworth", order: 2 | 4 | 8, low: number, high: number) => ({
      mains: [{ kind, type: "highpass", order, frequency: high }] as const,
      subs: [{ kind, type: "lowpass", order, frequency: low }] as const,
    });
    const found = compareCrossovers(
      s,
      [
        { name: "apart", ...pass("butterworth", 8, 30, 250) },
        {
          name: "unequal",
          mains: pass("butterworth", 2, 80, 80).mains,
          subs: pass("linkwitz-riley", 8, 80, 80).subs,
        },
        { name: "matched", ...pass("linkwitz-riley", 4, 80, 80) },
      ],
      { delays: [-0.005, 0.005] },
    );
    expect(found.crossovers.map((c) => c.name)).toEqual(["matched", "unequal", "apart"]);
    expect(found.crossovers[2].alignment).toBeNull();
    expect(found.reasons[2]).toContain("do not overlap");
    expect(() => compareCrossovers(s, [])).toThrow(/at least one/);
  });
});
