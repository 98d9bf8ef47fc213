import { describe, expect, test } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { checkSum } from "../../../lib/measurement/health/sum-check";
import { at, changed, sum } from "../hall";

const frequency = logGrid(20, 1000, 60);
const { mains, subs } = at(
  {
    mainsDelay: 0.03,
    subsDelay: 0.032,
    mainsLevel: 1,
    subsLevel: 2,
    reflection: { delay: 0.007, gain: 0.3 },
  },
  frequency,
);
const check = (both: Response, options = {}) => checkSum("row F", [mains], subs, both, options);
const db = (level: number) => 10 ** (level / 20);

describe("mains and subs together, without error", () => {
  test("are their sum", () => {
    const { agrees, outside, residual, fault, message } = check(sum(mains, subs));
    expect([agrees, outside, residual, fault]).toEqual([true, 0, 0, undefined]);
    expect(message).toBe('position "row F": mains and subs together are the sum of the two within the error');
    // Mains in two parts are the sum of these.
    const [half, rest] = [changed(mains, 0.25), changed(mains, 0.75)];
    expect(checkSum("x", [half, rest], subs, sum(mains, subs)).residual).toBeLessThan(1e-12);
  });

  const cases: [string, Response, object, RegExp][] = [
    [
      "subs inverted",
      sum(mains, changed(subs, -1)),
      { kind: "polarity", part: "subs" },
      /polarity of the subs is/,
    ],
    [
      "mains inverted",
      sum(changed(mains, -1), subs),
      { kind: "polarity", part: "mains" },
      /polarity of the mains is/,
    ],
    [
      "all inverted",
      changed(sum(mains, subs), -1),
      { kind: "polarity", part: "both" },
      /polarity of everything is/,
    ],
    [
      "subs 3 dB down",
      sum(mains, changed(subs, db(-3))),
      { kind: "level", part: "subs", levelDb: expect.closeTo(-3, 2) },
      /the subs are 3\.0 dB lower than alone; a limiter is likely holding/,
    ],
    [
      "mains 4 dB up",
      sum(changed(mains, db(4)), subs),
      { kind: "level", part: "mains", levelDb: expect.closeTo(4, 2) },
      /the mains are 4\.0 dB higher than alone; a gain was likely raised in between, such as a preamp's/,
    ],
    [
      "all 2 dB up",
      changed(sum(mains, subs), db(2)),
      { kind: "level", part: "both", levelDb: expect.closeTo(2, 2) },
      /everything is 2\.0 dB higher than alone/,
    ],
    [
      "subs 5 ms late",
      sum(mains, changed(subs, 1, 0.005)),
      { kind: "delay", part: "subs", delay: expect.closeTo(0.005, 5) },
      /the subs are 5\.00 ms later than alone; compare delay settings/,
    ],
    [
      "mains 3 ms early",
      sum(changed(mains, 1, -0.003), subs),
      { kind: "delay", part: "mains", delay: expect.closeTo(-0.003, 5) },
      /the mains are 3\.00 ms earlier than alone/,
    ],
    [
      "all 4 ms late",
      changed(sum(mains, subs), 1, 0.004),
      { kind: "delay", part: "both", delay: expect.closeTo(0.004, 5) },
      /everything is 4\.00 ms later than alone; fix the microphone's position/,
    ],
    [
      "subs 5 dB down and 4 ms late",
      sum(mains, changed(subs, db(-5), 0.004)),
      {
        kind: "level and delay",
        part: "subs",
        levelDb: expect.closeTo(-5, 2),
        delay: expect.closeTo(0.004, 5),
      },
      /the subs are 5\.0 dB lower and 4\.00 ms later than alone; compare the processing/,
    ],
    [
      "mains 4 dB up and 3 ms early",
      sum(changed(mains, db(4), -0.003), subs),
      {
        kind: "level and delay",
        part: "mains",
        levelDb: expect.closeTo(4, 2),
        delay: expect.closeTo(-0.003, 5),
      },
      /the mains are 4\.0 dB higher and 3\.00 ms earlier than alone/,
    ],
    [
      "all 3 dB down and 5 ms late",
      changed(sum(mains, subs), db(-3), 0.005),
      {
        kind: "moved microphone",
        part: "both",
        levelDb: expect.closeTo(-3, 2),
        delay: expect.closeTo(0.005, 5),
      },
      /everything is 3\.0 dB lower and 5\.00 ms later than alone; the microphone has likely moved/,
    ],
    [
      "mains 2 ms late, subs 3 ms early and 2 dB up",
      sum(changed(mains, 1, 0.002), changed(subs, db(2), -0.003)),
      { kind: "moved microphone", levelDb: expect.closeTo(2, 0), delay: expect.closeTo(-0.003, 3) },
      /mains \(\+[12]\.\d\d ms\) and subs \(−[23]\.\d\d ms\) arrive each at another time/,
    ],
    [
      "something else",
      changed(
        at(
          {
            mainsDelay: 0.01,
            subsDelay: 0.07,
            mainsLevel: 0.2,
            subsLevel: 0.1,
            reflection: { delay: 0.003, gain: -3 },
          },
          frequency,
        ).mains,
        9,
      ),
      { kind: "unknown" },
      /no change of level, delay or polarity explains it/,
    ],
  ];
  test.each(cases)("are not it with %s, which is told by how much", (_, both, fault, words) => {
    const found = check(both);
    expect(found.agrees).toBe(false);
    expect(found.fault).toMatchObject(fault);
    expect(found.message).toMatch(words);
    expect(found.message).toMatch(
      /^position "row F": mains and subs together are not the sum of the two at \d+ %/,
    );
  });
});

describe("the residual of a sum", () => {
  const flat = (value: number, more: Partial<Response> = {}): Response => ({
    frequency: Float64Array.of(50, 100, 200, 400, 800),
    re: new Float64Array(5).fill(value),
    im: new Float64Array(5),
    ...more,
  });
  const of = (both: Response, options = {}) => checkSum("x", [flat(1)], flat(1), both, options);

  test("is relative to both sizes, and may be √(−ln 0.05) = 1.731 times the tolerance", () => {
    // 0.1 of 2 is 0.05; the tolerance of 0.05 of 2 allows 0.1731.
    expect(of(flat(2.1)).residual).toBeCloseTo(0.05, 12);
    expect([of(flat(2.173)).agrees, of(flat(2.174)).agrees]).toEqual([true, false]);
    expect([
      of(flat(2.034), { tolerance: 0.01 }).agrees,
      of(flat(2.035), { tolerance: 0.01 }).agrees,
    ]).toEqual([true, false]);
  });

  test("may lie outside at 15 % of the log axis, or what is said", () => {
    // Of four octaves the last point stands for half of one, 12.5 %, the one before for a whole one, 25 %.
    const odd = (at: number) => ({ ...flat(2), re: flat(2).re.map((v, i) => (i === at ? 3 : v)) });
    expect([of(odd(4)).outside, of(odd(3)).outside]).toEqual([
      expect.closeTo(0.125, 12),
      expect.closeTo(0.25, 12),
    ]);
    expect([of(odd(4)).agrees, of(odd(3)).agrees]).toEqual([true, false]);
    expect(of(odd(3), { outsideAllowed: 0.26 }).agrees).toBe(true);
    expect(of(odd(4), { outsideAllowed: 0.12 }).agrees).toBe(false);
  });

  test("may be as large as coherence and averages leave it", () => {
    // γ² = 0.5 of n averages: relative errors of √(0.5 / (2 · 0.5 · n)) in either part leave v² / n in the mean of squares.
    const doubtful = (value: number, averages?: number) =>
      flat(value, {
        coherence: new Float64Array(5).fill(0.5),
        averages: averages === undefined ? undefined : new Float64Array(5).fill(averages),
      });
    // Without tolerance (v − 2)² may be −ln 0.05 = 2.996 times that: for 16 averages up to v = 3.526.
    const none = { tolerance: 0 };
    expect([of(doubtful(3.5, 16), none).agrees, of(doubtful(3.55, 16), none).agrees]).toEqual([true, false]);
    // 16 are assumed where none are told, or as many as are said.
    expect([of(doubtful(3.5), none).agrees, of(doubtful(3.55), none).agrees]).toEqual([true, false]);
    expect(of(doubtful(3.5), { ...none, assumedAverages: 64 }).agrees).toBe(false);
    expect(of(doubtful(3.5, 0), none).agrees).toBe(true);
    // Larger than half of what plays, 2² / n > 1, it tells nothing.
    expect(of(doubtful(2, 4.1)).agrees).toBe(true);
    expect(of(doubtful(2, 3.9)).agrees).toBeUndefined();
    expect(of(flat(2, { coherence: new Float64Array(5) })).agrees).toBeUndefined();
  });

  test("can't be told without phase, or where nothing plays", () => {
    const levels = of(flat(2, { magnitudeOnly: true }));
    expect([levels.agrees, levels.residual, levels.outside]).toEqual([undefined, 0, 0]);
    expect(levels.message).toMatch(/not all have phase/);
    expect(checkSum("x", [flat(0)], flat(0), flat(0)).agrees).toBeUndefined();
  });
});
