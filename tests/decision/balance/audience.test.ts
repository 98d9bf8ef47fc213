/** Who sits where, and whose positions count: small audiences that one can count out. */
import { describe, expect, it } from "vitest";
import { audienceParts, audienceWeights, rowsByDepth } from "../../../lib/decision/balance/audience";
import { summarise, weightedMedian } from "../../../lib/decision/balance/summary";
import { voting } from "../../../lib/decision/balance/voting";
import { flat, frequency, position, ratios } from "../synthetic";

const rowsOf = (depths: readonly number[]) => depths.map((x, i) => position(`p${i}`, { x }));
const alike = (n: number) => new Float64Array(n).fill(1 / n);

describe("shares of the audience", () => {
  it("are the people of each position over all, or the weights that are given", () => {
    const s = ratios([0, 0, 0], [1, 3, 0]);
    expect([...audienceWeights(s)]).toEqual([0.25, 0.75, 0]);
    expect([...audienceWeights(s, [0, 1, 1])]).toEqual([0, 0.5, 0.5]);
  });
  it("are refused where they are no shares", () => {
    const s = ratios([0, 0], [1, 1]);
    expect(() => audienceWeights(s, [1])).toThrow(/1 values, expected one per position \(2\)/);
    for (const bad of [-1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => audienceWeights(s, [1, bad])).toThrow(/"p1" stands for/);
    expect(() => audienceWeights(s, [0, 0])).toThrow(/any people/);
  });
  it("are refused where responses are missing or of other frequencies", () => {
    const s = ratios([0, 0]);
    const [first, second] = s.mains;
    const short = (r: typeof first, part: "re" | "im") => ({ ...r, [part]: r[part].slice(1) });
    expect(() => audienceWeights({ ...s, positions: [] })).toThrow(/no positions/);
    expect(() => audienceWeights({ ...s, subs: [first] })).toThrow(/1 responses of the subs/);
    expect(() => audienceWeights({ ...s, fills: [first, second, second] })).toThrow(
      /3 responses of the fills/,
    );
    for (const part of ["re", "im"] as const)
      expect(() => audienceWeights({ ...s, mains: [first, short(second, part)] })).toThrow(/mains at "p1"/);
  });
});

describe("front, middle and back", () => {
  it("are a tenth of the people each: of twenty rows alike two at either end and the two in the middle", () => {
    const depths = Array.from({ length: 20 }, (_, i) => 2 + i);
    const parts = audienceParts(rowsOf(depths), alike(20));
    expect(parts).toEqual({ front: [0, 1], middle: [9, 10], back: [18, 19] });
  });
  it("take whole rows, by people: a full front row is the front, a thin one takes the next along", () => {
    const positions = rowsOf([2, 2, 4, 6, 8]);
    const people = (n: readonly number[]) => Float64Array.from(n, (x) => x / n.reduce((a, b) => a + b));
    expect(audienceParts(positions, people([5, 5, 80, 5, 5])).front).toEqual([0, 1]);
    expect(audienceParts(positions, people([4, 5, 81, 5, 5])).front).toEqual([0, 1, 2]);
    expect(audienceParts(positions, people([5, 5, 80, 5, 5])).back).toEqual([3, 4]);
    expect(audienceParts(positions, people([5, 5, 80, 6, 4])).middle).toEqual([2]);
  });
  it("hold as much as is asked for, whatever the order of the positions", () => {
    const parts = audienceParts(rowsOf([10, 4, 2, 8, 6]), alike(5), 0.3);
    expect(parts.front).toEqual([2, 1]);
    // From 35 to 65 % of the people: the second fifth, the third and the fourth.
    expect(parts.middle).toEqual([1, 4, 3]);
    expect(parts.back).toEqual([3, 0]);
  });
  it("leave out seats that are empty", () => {
    const parts = audienceParts(rowsOf([1, 2, 3]), Float64Array.of(0, 0.5, 0.5));
    expect([...parts.front, ...parts.middle, ...parts.back]).not.toContain(0);
  });
  it("count as one row what lies within a quarter of a metre of its first position", () => {
    const positions = rowsOf([2, 2.2, 2.25, 2.3, 2.5]);
    expect(rowsByDepth(positions, [0, 1, 2, 3, 4])).toEqual([
      [0, 1, 2],
      [3, 4],
    ]);
  });
});

describe("a summary over the people", () => {
  it("is that of the deviations, by hand", () => {
    // 5, 3, −1, −6 and −7 dB for 1, 2, 4, 2, 1 of 10 people; 40 dB where nobody sits.
    const people = Float64Array.of(1, 2, 4, 2, 1, 0).map((x) => x / 10);
    const found = summarise(rowsOf([1, 2, 3, 4, 5, 6]), people, Float64Array.of(5, 3, -1, -6, -7, 40));
    expect(found.mean_db).toBeCloseTo((5 + 6 - 4 - 12 - 7) / 10, 12);
    expect(found.median_db).toBe(-1);
    expect(found.meanAbsolute_db).toBeCloseTo((5 + 6 + 4 + 12 + 7) / 10, 12);
    expect(found.rms_db).toBeCloseTo(Math.sqrt((25 + 18 + 4 + 72 + 49) / 10), 12);
    expect(found.worst_db).toBe(7);
    expect(found.within3dB_fraction).toBeCloseTo(0.6, 12);
    expect(found.within6dB_fraction).toBeCloseTo(0.9, 12);
    expect([found.front_db, found.middle_db, found.back_db]).toEqual([5, -1, -7]);
    expect(found.frontToBack_db).toBe(12);
    // The largest is the largest wherever it stands.
    expect(summarise(rowsOf([1, 2, 3]), alike(3), Float64Array.of(2, -7, 5)).worst_db).toBe(7);
  });
  it.each([
    [[4, 1, 3, 2], [1, 1, 1, 1], 2.5],
    [[3, 1, 2], [1, 1, 1], 2],
    [[1, 2, 3], [1, 1, 2], 2.5],
    [[1, 2, 3], [1, 1, 3], 3],
    [[1, 2, 90], [1, 1, 0], 1.5],
    [[7], [2], 7],
  ])("has the median %j by people %j: %f", (values, people, median) => {
    expect(weightedMedian(values, people)).toBe(median);
  });
});

describe("who votes", () => {
  const fill = (x: (f: number) => number) => frequency.map(x);
  const low = [31.5, 80] as const;
  /** Coherent from a frequency up; the low band reaches from 28.2 to 89.1 Hz in five thirds. */
  const from = (edges: readonly number[], people?: readonly number[]) => {
    const s = ratios(
      edges.map(() => 0),
      people,
    );
    return {
      ...s,
      subs: s.subs.map((r, i) => ({ ...r, coherence: fill((f) => (f >= edges[i] ? 0.9 : 0.1)) })),
    };
  };
  it("is everyone where no limit is set", () => {
    const found = voting(from([60, 500]), low, 0);
    expect([...found.weights]).toEqual([0.5, 0.5]);
    expect([...found.trusted]).toEqual([1, 1]);
    expect(found.leftOut).toEqual([]);
  });
  it("is whoever hears a quarter of the low band: two thirds of an octave of five are 40 %, one is 20 %", () => {
    const found = voting(from([56.2, 70.8, 20], [1, 5, 3]), low, 0.5);
    expect(found.trusted[0]).toBeCloseTo(0.4, 1);
    expect(found.trusted[1]).toBeCloseTo(0.2, 1);
    expect(found.trusted[2]).toBeCloseTo(1, 9);
    expect([...found.weights]).toEqual([0.25, 0, 0.75]);
    expect(found.leftOut).toEqual(["p1"]);
  });
  it("names nobody as left out who is not there", () => {
    expect(voting(from([20, 500], [1, 0]), low, 0.5).leftOut).toEqual([]);
  });
  it("trusts what has no coherence of its own", () => {
    expect([...voting(ratios([0]), low, 0.5).trusted]).toEqual([1]);
  });
  it("minds no coherence of mains that are more than ten decibels below the subs", () => {
    const mains = (level: number) => ({ ...flat(level), coherence: fill(() => 0.1) });
    const s = { ...ratios([0, 0]), mains: [mains(-10.5), mains(-9.5)], subs: [flat(0), flat(0)] };
    expect([...voting(s, low, 0.5).trusted].map((x) => Math.round(x))).toEqual([1, 0]);
    const turned = { ...s, mains: s.subs, subs: s.mains };
    expect([...voting(turned, low, 0.5).trusted].map((x) => Math.round(x))).toEqual([1, 0]);
  });
  it("is refused for a limit that is no share", () => {
    for (const limit of [-0.1, 1.1, Number.NaN])
      expect(() => voting(ratios([0]), low, limit)).toThrow(/expected 0 to 1/);
    expect(() => voting(ratios([0]), low, 1)).not.toThrow();
  });
});
