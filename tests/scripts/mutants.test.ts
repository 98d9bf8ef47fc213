/** What is ours about mutants: which are tried, and what is said of them. */
import path from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isSampled, keyOf } from "../../scripts/mutants/sample.mjs";
import { interval, tell } from "../../scripts/mutants/tell";

const fileName = path.join(__dirname, "../../lib/acoustics/level/decibel.ts");
const mutants = Array.from({ length: 4000 }, (_, line) => ({
  fileName,
  location: { start: { line, column: 3 }, end: { line, column: 9 } },
  replacement: "a - b",
}));
const taken = (share_percent: number, seed: number) =>
  mutants.filter((mutant) => isSampled(mutant, { share_percent, seed }));

describe("a sample of mutants", () => {
  it("has the size that was asked for, within chance", () => {
    const chance = fc.record({ share: fc.integer({ min: 1, max: 99 }), seed: fc.nat() });
    fc.assert(
      fc.property(chance, ({ share, seed }) => {
        const sigma = Math.sqrt(mutants.length * (share / 100) * (1 - share / 100));
        const off = taken(share, seed).length - (mutants.length * share) / 100;
        expect(Math.abs(off)).toBeLessThan(5 * sigma + 1);
      }),
      { numRuns: 40 },
    );
  });

  it("is all of them at 100 percent", () => expect(taken(100, 3)).toEqual(mutants));

  it("is part of each larger one of the same seed, and another one with another seed", () => {
    const large = new Set(taken(40, 1));
    const small = taken(10, 1);
    expect(small.filter((mutant) => !large.has(mutant))).toEqual([]);
    expect(taken(10, 2)).not.toEqual(small);
  });

  it("is nothing but those named, where some are", () => {
    const { location, replacement } = mutants[7];
    const only = [keyOf("lib/acoustics/level/decibel.ts", location, replacement)];
    expect(mutants.filter((mutant) => isSampled(mutant, { share_percent: 1, seed: 1, only }))).toEqual([
      mutants[7],
    ]);
  });

  it("tells two changes of one place apart", () => {
    const changes = Array.from({ length: 1000 }, (_, n) => ({ ...mutants[0], replacement: `a - ${n}` }));
    const some = changes.filter((mutant) => isSampled(mutant, { share_percent: 50, seed: 1 }));
    expect(some.length).toBeGreaterThan(400);
    expect(some.length).toBeLessThan(600);
  });
});

describe("the interval of a share", () => {
  // Newcombe, Two-sided confidence intervals for the single proportion, Stat. Med. 17 (1998), table I, method 3 (from memory),
  // and scipy.stats.binomtest(k, n).proportion_ci(method="wilson"), which agrees.
  it.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])("%i of %i", (noticed, tried, least, most) => {
    const found = interval(noticed, tried);
    expect(found[0]).toBeCloseTo(least, 4);
    expect(found[1]).toBeCloseTo(most, 4);
  });
});

describe("what is told of a run", () => {
  const source = "const a = b + c;\nreturn a\n  > 0;\n";
  const at = (line: number, from: number, to: number, endLine = line) => ({
    start: { line, column: from },
    end: { line: endLine, column: to },
  });
  const killed = { status: "Killed", location: at(1, 11, 16), replacement: "b - c" };
  const report = (...all: (typeof killed)[]) => ({ files: { "lib/x.ts": { source, mutants: all } } });

  it("names line, the text as it stands and what it became, of each that nothing noticed", () => {
    const survived = { status: "Survived", location: at(1, 11, 16), replacement: "b * c" };
    const bare = { status: "NoCoverage", location: at(2, 8, 6, 3), replacement: "a > 1" };
    const timed = { ...killed, status: "Timeout" };
    expect(tell(report(bare, killed, timed, survived), false).split("\n")).toEqual([
      "lib/x.ts:1  b + c  →  b * c",
      "lib/x.ts:2  a > 0  →  a > 1  (no test comes here)",
      "2 of 4 mutants noticed, 50.0 %",
    ]);
  });

  it("counts those apart that were not tried, and gives an interval where there is a sample", () => {
    const loading = { ...killed, status: "Ignored" };
    const left = { ...killed, status: "CompileError" };
    expect(tell(report(killed, loading), false)).toBe(
      "1 of 1 mutants noticed, 100.0 %; 1 at loading, never tried",
    );
    expect(tell(report(...Array(20).fill({ ...killed, status: "Survived" }), left), true)).toMatch(
      /^0 of 20 mutants noticed, 0\.0 %; of all, 95 %: 0\.0 to 16\.1 %; 1 not tried$/m,
    );
  });
});
