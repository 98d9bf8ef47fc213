import { describe, expect, it } from "vitest";
import type { Response } from "../../../lib/acoustics/response";
import { jointOffset, searchTogether } from "../../../lib/decision/alignment/joint";
import { prepareBalance } from "../../../lib/decision/balance/balance";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { flat, frequency, pointSource, position, ratios, survey } from "../synthetic";

const sum = (a: Response, b: Response): Response => ({
  frequency,
  re: a.re.map((x, i) => x + b.re[i]),
  im: a.im.map((x, i) => x + b.im[i]),
});

function room(ySub: number) {
  const positions = Array.from({ length: 24 }, (_, i) =>
    position(`p${i}`, { x: 3 + 3 * (i % 8), y: -6 + 6 * Math.floor(i / 8) }, 1 + (i % 3)),
  );
  return survey(
    positions,
    positions.map(({ point }) =>
      sum(pointSource({ x: 0, y: 5, z: 7 }, point, 20), pointSource({ x: 60, y: 5, z: 7 }, point, 17)),
    ),
    positions.map(({ point }) =>
      sum(pointSource({ x: 0, y: ySub, z: 0 }, point, 16), pointSource({ x: 60, y: ySub, z: 0 }, point, 14)),
    ),
  );
}

describe("offset, polarity and delay together", () => {
  for (const [criterion, ySub] of [
    ["least mean square", 0],
    ["least mean", 3],
    ["least worst", -4],
  ] as const) {
    it(`by ${criterion} are as good as the best of trying everything`, () => {
      const s = room(ySub);
      const options = { criterion, delays: [-0.006, 0.006] } as const;
      const [found] = searchTogether(s, options);
      const people = s.positions.map((p) => p.people);
      const total = people.reduce((a, b) => a + b, 0);
      // Every quarter of a millisecond, both polarities, every decibel; costs written out from the deviations.
      let least = Number.POSITIVE_INFINITY;
      for (let delay = -0.006; delay <= 0.00601; delay += 0.00025) {
        for (const polarity of [1, -1] as const) {
          const seats = prepareBalance(s, { delay, polarity });
          for (let offset = -12; offset <= 24; offset += 1) {
            const d = Array.from(seats.deviations(offset), Math.abs);
            const cost =
              criterion === "least worst"
                ? Math.max(...d)
                : criterion === "least mean"
                  ? d.reduce((a, x, i) => a + people[i] * x, 0) / total
                  : Math.sqrt(d.reduce((a, x, i) => a + people[i] * x * x, 0) / total);
            least = Math.min(least, cost);
          }
        }
      }
      expect(found.cost_db).toBeLessThan(least + 1e-6);
      // And not better than a finer grid could be: half a step off in delay and level is worth less than this.
      expect(found.cost_db).toBeGreaterThan(least - 0.3);
      expect(found.cost_db).toBeLessThanOrEqual(levelOffset(s, { criterion }).cost_db + 1e-6);
    });
  }
  it("leave delay and polarity alone where they gain nothing", () => {
    // Subs below the crossover, mains above: the phase between them changes no level.
    const found = jointOffset(ratios([3, -1, 4]));
    expect([found.delay_ms, found.polarity]).toEqual([0, 1]);
    expect(found.reasons[0]).toContain("leave both as measured");
  });
  it("find the delay and polarity that bring subs back in phase with the mains", () => {
    // Mains 20 dB over the target, subs opposed and early by 3 ms: only in phase and later by 3 ms is the sum known.
    const f = frequency;
    const early = (x: number, sign: number): Response => ({
      frequency: f,
      re: f.map((hz) => sign * Math.cos(2 * Math.PI * hz * x)),
      im: f.map((hz) => sign * Math.sin(2 * Math.PI * hz * x)),
    });
    const positions = [position("a"), position("b", { x: 20 })];
    // Out of phase the two meet the target with less than they have; a target of 6.02 dB is 1 + 1.
    const s = survey(positions, [flat(0), flat(0)], [early(0.003, -1), early(0.003, -1)]);
    const found = jointOffset(s, { targetTilt: 6.0206, range: [-3, 0] });
    expect(found.polarity).toBe(-1);
    expect(found.delay_ms).toBeCloseTo(3, 1);
    expect(found.offset.offset_db).toBeCloseTo(0, 1);
    expect(found.offset.cost_db).toBeLessThan(0.02);
    expect(found.currentCost_db).toBeGreaterThan(1);
    expect(found.reasons[0]).toContain("later by 3.00 ms and inverted");
    expect(found.reasons.join(" ")).not.toContain("end of the range searched: a longer");
    const mirrored = jointOffset(
      { ...s, subs: [early(-0.003, 1), early(-0.003, 1)] },
      { targetTilt: 6.0206, range: [-3, 0] },
    );
    expect(mirrored.polarity).toBe(1);
    expect(mirrored.delay_ms).toBeCloseTo(-3, 1);
    expect(mirrored.reasons[0]).toContain("earlier by 3.00 ms the");
    const cut = jointOffset(s, { targetTilt: 6.0206, range: [-3, 0], delays: [0, 0.002] });
    expect(cut.delay_ms).toBeCloseTo(2, 1);
    expect(cut.reasons.join(" ")).toContain("a longer one may be better still");
  });
  it("come with others, best first, each another setting, none beyond what is searched", () => {
    const choices = searchTogether(room(0), { delays: [-0.006, 0.006], range: [-10, 10] });
    expect(choices.length).toBeGreaterThan(1);
    expect(choices.map((c) => c.cost_db)).toEqual(choices.map((c) => c.cost_db).sort((a, b) => a - b));
    choices.forEach((c, i) => {
      expect(Math.abs(c.delay_ms)).toBeLessThanOrEqual(6 + 1e-9);
      expect(Math.abs(c.offset_db)).toBeLessThanOrEqual(10);
      for (const d of choices.slice(0, i))
        expect(d.polarity !== c.polarity || Math.abs(d.delay_ms - c.delay_ms) >= 0.05).toBe(true);
    });
    const { others, delay_ms, polarity } = jointOffset(room(0), { delays: [-0.006, 0.006] });
    expect(others.some((o) => o.delay_ms === delay_ms && o.polarity === polarity)).toBe(false);
  });
  it("cost what the offset's own decision says of that delay and polarity, whoever has no phase or no people", () => {
    const whole = room(3);
    const s = {
      ...whole,
      positions: whole.positions.map((p, i) => ({ ...p, people: i === 5 ? 0 : p.people })),
      subs: whole.subs.map((r, i) => (i === 2 || i === 23 ? { ...r, magnitudeOnly: true } : r)),
    };
    for (const choice of searchTogether(s, { delays: [-0.004, 0.004] }).slice(0, 2)) {
      const own = levelOffset(s, { delay: choice.delay_ms / 1000, polarity: choice.polarity });
      expect(choice.cost_db).toBeCloseTo(own.cost_db, 3);
      expect(choice.offset_db).toBeCloseTo(own.offset_db, 1);
    }
  });
  it("of many seats are those of few of which each stands for many", () => {
    const few = room(2);
    // 24 positions twenty times over: more than the search looks at in its first round.
    const many = <T>(list: readonly T[]): T[] => Array.from({ length: 480 }, (_, i) => list[i % 24]);
    const s = { ...few, positions: many(few.positions), mains: many(few.mains), subs: many(few.subs) };
    const options = { delays: [-0.004, 0.004] } as const;
    const [one] = searchTogether(few, options);
    const [all] = searchTogether(s, options);
    expect(all.polarity).toBe(one.polarity);
    expect(all.delay_ms).toBeCloseTo(one.delay_ms, 1);
    expect(all.cost_db).toBeCloseTo(one.cost_db, 3);
  });
  it("stay within the range of offsets where the best lies beyond it", () => {
    const offsets = (level: number) =>
      searchTogether(survey([position("a")], [flat(0)], [flat(level)]), { range: [-5, 5] }).map(
        (c) => c.offset_db,
      );
    expect(Math.min(...offsets(30))).toBeCloseTo(-5, 3);
    expect(Math.max(...offsets(-30))).toBeCloseTo(5, 3);
  });
  it("refuse delays that are none", () => {
    for (const delays of [
      [0.01, 0],
      [Number.NaN, 0],
      [0, Number.POSITIVE_INFINITY],
    ] as const)
      expect(() => searchTogether(room(0), { delays })).toThrow(/delays is/);
  });
  it("need a phase", () => {
    const s = ratios([3, 4]);
    expect(() => jointOffset({ ...s, subs: s.subs.map((r) => ({ ...r, magnitudeOnly: true })) })).toThrow(
      /no phase/,
    );
  });
});
