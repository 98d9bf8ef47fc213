import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { filterResponse } from "../../../lib/acoustics/filters/response";
import type { Response } from "../../../lib/acoustics/response";
import { alignment } from "../../../lib/decision/alignment/alignment";
import { compareCrossovers } from "../../../lib/decision/alignment/compare-crossovers";
import { crossSpectrum, interference } from "../../../lib/decision/alignment/cross-spectrum";
import { crossoverSum } from "../../../lib/decision/alignment/crossover-sum";
import { overlapBand } from "../../../lib/decision/alignment/overlap";
import { balance } from "../../../lib/decision/balance/balance";
import { evenly } from "../../evenly";
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
  it("shows mains, subs, both, the ideal and the phase between, with delay, polarity, offset and filters", () => {
    const s = survey([position("a"), position("b")], [flat(0), flat(0, 0.5)], [flat(0), flat(-6.0206, 0.2)]);
    const found = crossoverSum(s, "b", { offset: 6.0206, polarity: -1 });
    const k = at(60);
    expect(found.frequency_hz).toEqual([...frequency]);
    expect(found.mains_db[k]).toBeCloseTo(0, 6);
    expect(found.subs_db[k]).toBeCloseTo(0, 3);
    expect(found.inPhase_db[k]).toBeCloseTo(6.0206, 3);
    // 0.3 rad apart and turned over: 2 sin 0.15.
    expect(found.sum_db[k]).toBeCloseTo(20 * Math.log10(2 * Math.sin(0.15)), 3);
    expect(found.phase_deg[k]).toBeCloseTo((0.3 * 180) / Math.PI - 180, 6);
    // A millisecond later is 21.6° at 60 Hz more for the mains to lead.
    const late = crossoverSum(s, "b", { delay: 0.001 });
    expect(late.phase_deg[k]).toBeCloseTo((0.3 * 180) / Math.PI + 0.36 * frequency[k], 6);
    const filtered = crossoverSum(s, "b", {
      filters: { mains: [{ kind: "gain", gain: -3 }], subs: [{ kind: "gain", gain: -9 }] },
    });
    expect(filtered.mains_db[k]).toBeCloseTo(-3, 6);
    expect(filtered.subs_db[k]).toBeCloseTo(-15.0206, 6);
    const turned = crossoverSum(s, "a", { filters: { mains: [{ kind: "delay", delay: 0.001 }] } });
    expect(turned.phase_deg[k]).toBeCloseTo(-0.36 * frequency[k], 6);
    // 1 Pa is 93.98 dB.
    expect(crossoverSum({ ...s, quantity: "pressure" }, "a").mains_db[k]).toBeCloseTo(93.979, 2);
    const fills = crossoverSum({ ...s, fills: [flat(0), flat(0)] }, "a");
    expect(fills.mains_db[k]).toBeCloseTo(6.0206, 3);
  });
  it("is refused where the position or its phase is missing", () => {
    const s = survey([position("a")], [flat(0)], [{ ...flat(0), magnitudeOnly: true }]);
    expect(() => crossoverSum(s, "b")).toThrow(/no position "b"/);
    expect(() => crossoverSum(s, "a")).toThrow(/"a" has no phase/);
  });
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
    expect(found.current.loss_db).toBeLessThan(1e-3);
  });
  it("of different kinds on either side are aligned better than as they stand", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    const filters = {
      mains: [{ kind: "butterworth", type: "highpass", order: 2, frequency: 90 }],
      subs: [{ kind: "linkwitz-riley", type: "lowpass", order: 8, frequency: 80 }],
    } as const;
    const found = alignment(s, { filters });
    expect(found.choices[0].loss_db).toBeLessThan(found.current.loss_db - 0.5);
  });
});

describe("alignment", () => {
  it("finds the delay and polarity that a survey was spoilt with", () => {
    fc.assert(
      fc.property(evenly(-9, 9), fc.constantFrom(1 as const, -1 as const), (ms, sign) => {
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
      }),
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

  it("weighs the positions by people, or all alike where it is for some of them", () => {
    // In a narrow band about 80 Hz the subs are in phase at "a" and at right angles at "b", 3.01 dB below the ideal sum.
    const s = survey(
      [position("a", {}, 3), position("b", {}, 1)],
      [flat(0), flat(0)],
      [flat(0), flat(0, Math.PI / 2)],
    );
    const options = { band: [79, 81], delays: [0, 0], polarity: 1 } as const;
    const loss = (more: object) => alignment(s, { ...options, ...more }).choices[0].loss_db;
    expect(loss({})).toBeCloseTo(3.0103 / 4, 3);
    expect(loss({ weights: [1, 3] })).toBeCloseTo((3 * 3.0103) / 4, 3);
    expect(loss({ at: ["a", "b"] })).toBeCloseTo(3.0103 / 2, 3);
    expect(loss({ at: ["b"] })).toBeCloseTo(3.0103, 3);
    const found = alignment(s, { ...options, at: ["b"] });
    expect(found.choices[0].audienceLoss_db).toBeCloseTo(3.0103 / 4, 3);
    expect(found.for).toEqual(["b"]);
    expect(alignment(s, options).for).toBe("audience");
    const nobody = { ...s, positions: s.positions.map((p) => ({ ...p, people: 0 })) };
    expect(alignment(nobody, options).choices[0].loss_db).toBeCloseTo(3.0103 / 2, 3);
    // Four more people where there is no phase are left out of the audience.
    const blind = { ...flat(0), magnitudeOnly: true };
    const more = survey([...s.positions, position("c", {}, 4)], [...s.mains, flat(0)], [...s.subs, blind]);
    expect(alignment(more, options).choices[0].loss_db).toBeCloseTo(3.0103 / 4, 3);
  });

  it("gives the phase of the mains less that of the subs, with delay and polarity", () => {
    const s = survey([position("a")], [flat(0, 0.7)], [flat(-6, 0.2)]);
    const phase = (delay: number, polarity: 1 | -1) =>
      alignment(s, { band: [79.9, 80.1], delays: [delay, delay], polarity }).choices[0].phase_deg[0];
    const degrees = (0.5 * 180) / Math.PI;
    expect(phase(0, 1)).toBeCloseTo(degrees, 3);
    expect(phase(0, -1)).toBeCloseTo(degrees - 180, 3);
    // A millisecond later at 80 Hz is 28.8° more.
    expect(phase(0.001, 1)).toBeCloseTo(degrees + 28.8, 0);
  });

  it("counts who loses 3 dB at most, and what each could have for itself", () => {
    // Losses of 20 lg cos(φ/2): 0.30 dB at 30°, 2.50 at 82.9°… so 60° is 1.25 dB, 100° 3.84 dB.
    const turn = (degrees: number) => flat(0, (degrees * Math.PI) / 180);
    const s = survey(
      [position("a", {}, 2), position("b", {}, 1), position("c", {}, 1)],
      [flat(0), flat(0), flat(0)],
      [turn(30), turn(60), turn(100)],
    );
    const found = alignment(s, { band: [79, 81], delays: [0, 0], polarity: 1 });
    const [now] = found.choices;
    [0.301, 1.249, 3.839].forEach((loss, i) => {
      expect(now.positionLoss_db[i]).toBeCloseTo(loss, 2);
    });
    expect(now.within3dB_fraction).toBeCloseTo(0.75, 9);
    for (const cost of now.positionCost_db) expect(cost).toBeCloseTo(0, 9);
    // With a delay for each, none loses anything: 60° of 80 Hz are 2.08 ms.
    const free = alignment(s, { band: [79, 81], delays: [-0.006, 0.006], polarity: 1 });
    free.own.forEach(({ loss_db, delay_ms, polarity }, i) => {
      expect(loss_db).toBeLessThan(0.02);
      expect(Math.abs(delay_ms - [30, 60, 100][i] / 360 / 0.08)).toBeLessThan(0.4);
      expect(polarity).toBe(1);
    });
    free.current.positionCost_db.forEach((cost, i) => {
      expect(cost).toBeCloseTo(free.current.positionLoss_db[i] - free.own[i].loss_db, 9);
    });
  });

  it("with subs turned up or down measures against the ideal sum at that level", () => {
    // 6.02 dB up: 2 against 1 at 180° leaves 1 of 3, 9.54 dB.
    const s = survey([position("a")], [flat(0)], [flat(0, Math.PI)]);
    const found = alignment(s, { band: [60, 100], delays: [0, 0], polarity: 1, offset: 6.0206 });
    expect(found.choices[0].loss_db).toBeCloseTo(9.5424, 3);
    // Full cancellation is no more than 100 dB.
    const none = alignment(s, { band: [60, 100], delays: [0, 0], polarity: 1 });
    expect(none.choices[0].loss_db).toBeCloseTo(100, 6);
  });

  it("counts fills with the mains, and those without phase by their power", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    const loss = (fills: Response) =>
      alignment({ ...s, fills: [fills] }, { band: [60, 100], delays: [0, 0], polarity: 1 });
    // Fills opposed to the mains and twice as loud turn the mains over.
    expect(loss(flat(6.0206, Math.PI)).choices[0].loss_db).toBeGreaterThan(80);
    const blind = loss({ ...flat(0), magnitudeOnly: true });
    expect(blind.choices[0].loss_db).toBeCloseTo(0, 6);
    expect(blind.reasons.join(" ")).toContain("fills have no phase at 1");
    expect(loss(flat(0)).reasons.join(" ")).not.toContain("fills");
  });

  it("leaves out frequencies that are not coherent", () => {
    // Turned over with a coherence of 0.1 between 80 and 100 Hz.
    const bad = (f: number) => f > 80 && f < 100;
    const subs = {
      ...flat(0),
      re: frequency.map((f) => (bad(f) ? -1 : 1)),
      coherence: frequency.map((f) => (bad(f) ? 0.1 : 0.9)),
    };
    const s = survey([position("a")], [flat(0)], [subs]);
    const loss = (coherenceLimit: number) =>
      alignment(s, { band: [60, 100], delays: [0, 0], polarity: 1, coherenceLimit }).choices[0].loss_db;
    expect(loss(0.5)).toBeCloseTo(0, 6);
    expect(loss(0)).toBeGreaterThan(2);
  });

  it("searches up to the ends of its delays, and says polarity as allowed", () => {
    const early = asResponse(filterResponse({ kind: "delay", delay: -0.005 }, frequency));
    const s = survey([position("a")], [flat(0)], [early]);
    const found = alignment(s, { band: [50, 120], delays: [0, 0.003], polarity: 1 });
    expect(found.choices[0].delay_ms).toBeCloseTo(3, 4);
    expect(found.choices.every((c) => c.polarity === 1)).toBe(true);
    const turned = alignment(s, { band: [50, 120], polarity: -1 });
    expect(turned.choices.every((c) => c.polarity === -1)).toBe(true);
    expect(alignment(s, { band: [50, 120] }).choices.length).toBeLessThanOrEqual(6);
  });

  it("takes the least delay among those within a tenth of a decibel, then the least loss", () => {
    const early = asResponse(filterResponse({ kind: "delay", delay: -0.002 }, frequency));
    const s = survey([position("a")], [flat(0)], [early]);
    const { choices } = alignment(s, { band: [70, 90], delays: [-0.03, 0.03], polarity: 1 });
    const least = Math.min(...choices.map((c) => c.loss_db));
    const near = choices.filter((c) => c.loss_db <= least + 0.1);
    const far = choices.slice(near.length);
    expect(choices.slice(0, near.length)).toEqual(near);
    const ascending = (x: readonly number[]) => expect([...x].sort((a, b) => a - b)).toEqual(x);
    ascending(near.map((c) => Math.abs(c.delay_ms)));
    ascending(far.map((c) => c.loss_db));
    expect(far.length).toBeGreaterThan(1);
  });

  it("says what to set in words", () => {
    const words = (ms: number, sign: 1 | -1, options: object = {}) => {
      const chain = [
        { kind: "delay", delay: -ms / 1000 },
        { kind: "polarity", polarity: sign },
      ] as const;
      const s = survey([position("a")], [flat(0)], [asResponse(filterResponse(chain, frequency))]);
      return alignment(s, { band: [50, 120], ...options }).reasons.join("\n");
    };
    expect(words(2, 1)).toContain("delay the subs by 2.00 ms, normal polarity");
    expect(words(-2, -1)).toContain("delay the mains by 2.00 ms, polarity of the subs inverted");
    expect(words(0, 1)).toContain("no delay, normal polarity");
    expect(words(2, 1)).toContain("For the audience");
    expect(words(2, 1, { at: ["a"] })).toContain("For a:");
    expect(words(2, 1)).not.toContain("costs most");
    expect(words(2, 1)).not.toContain("are left out");
    // A period of 80 Hz more is 12.5 ms: as good in a band of one frequency, nothing like it in two octaves.
    expect(words(2, 1, { band: [79.9, 80.1], polarity: 1 })).toMatch(
      /As good on paper: delay the mains by 10\.5/,
    );
    expect(words(2, 1, { polarity: 1 })).not.toContain("Listen to both");
  });

  it("refuses what makes no sense, in words", () => {
    const s = survey([position("a")], [flat(0)], [flat(0)]);
    for (const delays of [
      [0.01, 0],
      [Number.NaN, 0],
      [0, Number.POSITIVE_INFINITY],
    ] as const)
      expect(() => alignment(s, { delays })).toThrow(/delays is .* two numbers in order/);
    expect(() => alignment(s, { offset: Number.NaN })).toThrow(/offset is NaN/);
    for (const band of [
      [0, 80],
      [80, 80],
      [90, 60],
    ] as const)
      expect(() => alignment(s, { band })).toThrow(/two positive frequencies in order/);
    expect(() => alignment(s, { at: [] })).toThrow(/at is empty/);
    for (const [mains, subs] of [
      [1, 0],
      [0, 1],
    ]) {
      const sides = [flat(0), { ...flat(0), magnitudeOnly: true }];
      const unknown = survey([position("a")], [sides[mains]], [sides[subs]]);
      expect(() => crossSpectrum(unknown, [0], { lower: 50, upper: 100 })).toThrow(/"a" has no phase/);
    }
    expect(() => alignment(s, { at: ["b"] })).toThrow(/names "b"/);
    const blind = { ...flat(0), magnitudeOnly: true };
    const half = survey([position("a"), position("b")], [flat(0), blind], [flat(0), flat(0)]);
    expect(() => alignment(half, { at: ["b"] })).toThrow(/"b" has no phase/);
    expect(() => alignment(half, { weights: [0, 1] })).toThrow(
      /no position with a phase stands for any people/,
    );
  });

  it("takes the band of all positions where one position's mains and subs don't meet", () => {
    const s = survey(
      [position("a", {}, 9), position("b", {}, 1)],
      [flat(0), flat(0)],
      [flat(0, 0.4), flat(-40, 0.4)],
    );
    const found = alignment(s, { at: ["b"] });
    expect(found.for).toEqual(["b"]);
    expect(found.band_hz).toEqual(alignment(s).band_hz);
  });

  it("says where half a period and a flip of the polarity are as good", () => {
    // In a band of one frequency 6.25 ms of 80 Hz and a flip are the same; over two octaves they aren't.
    const s = survey([position("a")], [flat(0)], [flat(0, Math.PI / 2)]);
    const words = (band: readonly [number, number]) => alignment(s, { band }).reasons.join("\n");
    expect(words([79.9, 80.1])).toMatch(
      /Half a period and a flip of the polarity come to the same in this band: delay the (subs|mains) by 3\.1\d ms/,
    );
    const early = asResponse(filterResponse({ kind: "delay", delay: -0.002 }, frequency));
    expect(
      alignment(survey([position("a")], [flat(0)], [early]), { band: [40, 160] }).reasons.join("\n"),
    ).not.toContain("flip");
  });

  it("says what is at stake: little over all where each seat wants another setting", () => {
    // Eight positions whose phases at 80 Hz go around the circle: whatever is set, the mean over them stays.
    const turns = Array.from({ length: 8 }, (_, i) => flat(0, (i * Math.PI) / 4));
    const s = survey(
      turns.map((_, i) => position(`${i}`)),
      turns.map(() => flat(0)),
      turns,
    );
    const found = alignment(s, { band: [79.9, 80.1], delays: [0, 0], polarity: "both" });
    // Worst and best alike by symmetry; at 0 and 180° one position may lose all or nothing.
    expect(found.atStake.audience_db).toBeCloseTo(0, 3);
    expect(found.atStake.for_db).toBeCloseTo(0, 3);
    expect(found.atStake.onePosition_db).toBeGreaterThan(3);
    expect(found.reasons.join("\n")).toContain("Little is at stake over all");
    const alike = survey([position("a"), position("b")], [flat(0), flat(0)], [flat(0), flat(0)]);
    expect(alignment(alike).atStake.audience_db).toBeGreaterThan(3);
    expect(alignment(alike).reasons.join("\n")).not.toContain("at stake");
    expect(alignment(s, { band: [79.9, 80.1], delays: [0, 0], at: ["4"] }).reasons.join("\n")).toContain(
      "here it is 100.0 dB",
    );
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

describe("the band in which both count", () => {
  /** Subs over mains by (80 Hz/f)⁴ in amplitude: 24.08 dB for each octave. */
  const low = asResponse(
    filterResponse({ kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: 80 }, frequency),
  );
  const high = asResponse(
    filterResponse({ kind: "linkwitz-riley", type: "highpass", order: 4, frequency: 80 }, frequency),
  );
  const gain = (r: Response, x: number): Response => ({
    ...r,
    re: r.re.map((v) => v * x),
    im: r.im.map((v) => v * x),
  });
  const meet = (s: ReturnType<typeof survey>, weights = Float64Array.of(1), g = 1) =>
    overlapBand(s, weights, { gain: g });

  it("is where they are within ten decibels: (f/80)² of 10^±½ is 80 Hz times 10^±¼, and at few positions an octave at least", () => {
    const step = (16000 / 20) ** (1 / 239);
    const pass = (type: "lowpass" | "highpass", order: 2 | 8) =>
      asResponse(filterResponse({ kind: "linkwitz-riley", type, order, frequency: 80 }, frequency));
    // 48 dB per octave are within ten decibels for two fifths of an octave.
    for (const [order, edge] of [
      [2, 10 ** 0.25],
      [8, 2 ** 0.5],
    ] as const) {
      const found = meet(survey([position("a")], [pass("highpass", order)], [pass("lowpass", order)]));
      expect(Math.abs(Math.log(found.crossover / 80))).toBeLessThan(Math.log(step));
      expect(Math.abs(Math.log((found.lower * edge) / 80))).toBeLessThan(1.5 * Math.log(step));
      expect(Math.abs(Math.log(found.upper / edge / 80))).toBeLessThan(1.5 * Math.log(step));
    }
    const ids = ["a", "b", "c", "d", "e"];
    const many = survey(
      ids.map((id) => position(id)),
      ids.map(() => pass("highpass", 8)),
      ids.map(() => pass("lowpass", 8)),
    );
    const { lower, upper } = meet(many, new Float64Array(5).fill(0.2));
    // (f/80)⁸ of 10^±½.
    expect(upper / lower).toBeLessThan(10 ** 0.125 * step);
  });
  it("is not about a dip of the subs or of the mains, nor about a crossing that is softer than another", () => {
    // A reflection's notch in the subs at 50 Hz, a tenth of an octave wide, and mains that come back up below 40 Hz.
    const cut = (r: Response, f: number, q: number): Response => {
      const notch = filterResponse({ kind: "peak", frequency: f, gain: -40, q }, frequency);
      return { ...r, re: r.re.map((x, i) => x * Math.hypot(notch.re[i], notch.im[i])) };
    };
    const real = (r: Response): Response => ({
      ...r,
      re: r.re.map((x, i) => Math.hypot(x, r.im[i])),
      im: r.im.map(() => 0),
    });
    const rumble = { ...real(high), re: real(high).re.map((x, i) => (frequency[i] < 32 ? 2 : x)) };
    for (const s of [
      survey([position("a")], [real(high)], [cut(real(low), 50, 14)]),
      survey([position("a")], [cut(real(high), 125, 14)], [real(low)]),
      survey([position("a")], [rumble], [real(low)]),
    ])
      expect(Math.abs(Math.log2(meet(s).crossover / 80))).toBeLessThan(0.15);
  });
  it("moves up with louder subs: 12 dB more are half an octave", () => {
    const s = survey([position("a")], [high], [low]);
    const wanted = 80 * 2 ** 0.5;
    for (const found of [meet(s, undefined, 10 ** 0.6), meet({ ...s, subs: [gain(low, 10 ** 0.6)] })])
      expect(Math.abs(Math.log2(found.crossover / wanted))).toBeLessThan(0.03);
  });
  it("is that of the mean power over the people", () => {
    const s = survey([position("a"), position("b")], [high, high], [low, gain(low, 10)]);
    const alone = meet(s, Float64Array.of(1, 0)).crossover;
    expect(Math.abs(Math.log2(alone / 80))).toBeLessThan(0.03);
    // (1 + 100)/2 is 17.03 dB more; on slopes as steep as there a third octave counts its louder end.
    const both = meet(s, Float64Array.of(0.5, 0.5)).crossover;
    expect(Math.abs(Math.log2(both / 80) - 17.03 / 24.08)).toBeLessThan(0.05);
  });
  it("ends where mains and subs are looked at, 25 to 300 Hz", () => {
    const found = meet(survey([position("a")], [flat(0)], [flat(1)]));
    expect(found.lower).toBeGreaterThanOrEqual(25);
    expect(found.lower).toBeLessThan(25.8);
    expect(found.upper).toBeLessThanOrEqual(300);
    expect(found.upper).toBeGreaterThan(291);
  });
  it("is none where they meet far below their level, in a gap", () => {
    const pass = (type: "lowpass" | "highpass", f: number) =>
      asResponse(filterResponse({ kind: "linkwitz-riley", type, order: 8, frequency: f }, frequency));
    const apart = (a: number, b: number) =>
      survey([position("a")], [pass("highpass", b)], [pass("lowpass", a)]);
    // 48 dB per octave: an octave and a half apart they meet some 36 dB down, three quarters apart 18 dB.
    expect(() => meet(apart(60, 170))).toThrow(/a dip, and no overlap/);
    expect(meet(apart(70, 118)).crossover).toBeGreaterThan(70);
  });
});

describe("interference", () => {
  it("is the mean of cos φ for equal sides φ apart, over any number of frequencies", () => {
    const s = survey([position("a"), position("b")], [flat(0), flat(0)], [flat(0, 0.4), flat(6.0206, 2)]);
    const counts = [100, 103, 106, 109, 112, 115].map((upper) => {
      const cross = crossSpectrum(s, [0, 1], { lower: 60, upper });
      const [a, b] = interference(cross, 0, new Float64Array(2));
      expect(a).toBeCloseTo(Math.cos(0.4), 6);
      expect(b).toBeCloseTo(2 * Math.cos(2), 4);
      return cross.frequency.length % 2;
    });
    expect(new Set(counts).size).toBe(2);
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
    expect(found.reasons[0]).toContain("matched: after alignment the sum stays 0.0 dB");
    expect(() => compareCrossovers(s, [])).toThrow(/at least one/);
    expect(() => compareCrossovers(s, [{ name: "bad", mains: [], subs: [] }], { delays: [1, 0] })).toThrow(
      /delays/,
    );
  });
});
