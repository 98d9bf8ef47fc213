import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fronts, survivors, tournament } from "../../lib/numeric/nsga2";
import { addToPareto, crowdingDistance, dominates } from "../../lib/numeric/pareto";
import { uniform } from "../../lib/numeric/random";

const choices = fc.array(
  fc.record({
    aims: fc.tuple(
      fc.integer({ min: 0, max: 8 }),
      fc.integer({ min: 0, max: 8 }),
      fc.integer({ min: 0, max: 8 }),
    ),
    effort: fc.integer({ min: 1, max: 4 }),
  }),
  { minLength: 1, maxLength: 60 },
);

describe("dominance", () => {
  it.each([
    [[1, 2], [1, 3], true],
    [[1, 2], [2, 1], false],
    [[1, 2], [1, 2], false],
    [[0, 0], [1, 1], true],
    [[1, 1], [0, 0], false],
  ])("of %j over %j is %s", (a, b, expected) => {
    expect(dominates(a, b)).toBe(expected);
  });
});

describe("a Pareto set filled one by one", () => {
  const filled = (all: { aims: [number, number, number]; effort: number }[]) => {
    const set: typeof all = [];
    for (const one of all) addToPareto(set, one);
    return set;
  };
  const worseOrSame = (a: number[], b: number[]) => a.every((x, k) => x >= b[k]);

  it("holds no member that another one is nowhere worse than", () => {
    fc.assert(
      fc.property(choices, (all) => {
        const set = filled(all);
        for (const a of set)
          for (const b of set) if (a !== b) expect(worseOrSame(a.aims, b.aims)).toBe(false);
      }),
    );
  });

  it("leaves out nothing that no member matches", () => {
    fc.assert(
      fc.property(choices, (all) => {
        const set = filled(all);
        for (const one of all) expect(set.some((m) => worseOrSame(one.aims, m.aims))).toBe(true);
      }),
    );
  });

  it("has the same aims whatever the order they come in, and of equals the one with least effort", () => {
    fc.assert(
      fc.property(choices, (all) => {
        const read = (set: typeof all) => set.map((m) => `${m.aims} ${m.effort}`).sort();
        expect(read(filled([...all].reverse()))).toEqual(read(filled(all)));
      }),
    );
  });
});

describe("non-dominated sorting and crowding", () => {
  it("puts a choice one front behind the last front that holds something better", () => {
    fc.assert(
      fc.property(choices, (all) => {
        const ranked = fronts(all.map((c) => ({ ...c, violation: 0 })));
        const before = (rank: number) => ranked.slice(0, rank).flat();
        expect(ranked.flat().length).toBe(all.length);
        ranked.forEach((front, rank) => {
          for (const one of front) {
            expect(front.some((other) => dominates(other.aims, one.aims))).toBe(false);
            if (rank > 0) expect(before(rank).some((other) => dominates(other.aims, one.aims))).toBe(true);
          }
        });
      }),
    );
  });

  it("puts whatever breaks a limit behind all that keep it, the worse the farther", () => {
    const one = (violation: number, aim: number) => ({ aims: [aim], violation });
    const ranked = fronts([one(2, 0), one(0, 9), one(1, 0), one(0, 8)]);
    expect(ranked).toEqual([[one(0, 8)], [one(0, 9)], [one(1, 0)], [one(2, 0)]]);
  });

  it("adds the gaps between neighbours over the span, aim by aim (Deb et al. 2002, III-B, worked by hand)", () => {
    // Spans 10 and 20: the second has (4 − 0)/10 + (20 − 6)/20, the third (10 − 1)/10 + (10 − 0)/20.
    const distances = crowdingDistance([
      [0, 20],
      [1, 10],
      [4, 6],
      [10, 0],
    ]);
    expect(distances[0]).toBe(Number.POSITIVE_INFINITY);
    expect(distances[1]).toBeCloseTo(1.1, 12);
    expect(distances[2]).toBeCloseTo(1.4, 12);
    expect(distances[3]).toBe(Number.POSITIVE_INFINITY);
  });

  it("finds Schaffer's set: x² and (x − 2)² can't both be made smaller just for 0 ≤ x ≤ 2 (Deb et al. 2002, table I, SCH)", () => {
    const chance = uniform(3);
    const one = (x: number) => ({ x, aims: [x * x, (x - 2) ** 2], violation: 0 });
    let parents = survivors(
      Array.from({ length: 40 }, () => one(2000 * chance() - 1000)),
      40,
    );
    for (let generation = 0; generation < 250; generation++) {
      const children = Array.from({ length: 40 }, () => {
        const a = tournament(parents, chance).x;
        const b = tournament(parents, chance).x;
        const fraction = 1.5 * chance() - 0.25;
        return one(a + fraction * (b - a) + (chance() < 0.2 ? (chance() - 0.5) * 0.2 : 0));
      });
      parents = survivors([...parents.map((p) => p.one), ...children], 40);
    }
    const found = parents.map((p) => p.one.x).sort((a, b) => a - b);
    expect(found[0]).toBeGreaterThan(-0.05);
    expect(found[39]).toBeLessThan(2.05);
    // Spread over all of it, not heaped up somewhere.
    expect(found[0]).toBeLessThan(0.1);
    expect(found[39]).toBeGreaterThan(1.9);
    const gaps = found.slice(1).map((x, i) => x - found[i]);
    expect(Math.max(...gaps)).toBeLessThan(0.25);
  });
});
