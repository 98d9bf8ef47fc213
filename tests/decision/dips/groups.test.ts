import fc from "fast-check";
import { expect, test } from "vitest";
import { groupDips } from "../../../lib/decision/dips/groups";
import type { Dip } from "../../../lib/decision/dips/result";
import { evenly } from "../../evenly";
import { position } from "../synthetic";

const dip = (row: number, frequency_hz: number): Dip => ({
  part: "subs",
  row,
  position: `p${row}`,
  frequency_hz,
  depth_db: 8,
  width_octaves: 0.2,
  coherence: null,
  doubtful: false,
});

test("a dip that moves on from row to row is one track, in whatever order the positions stand in the survey", () => {
  const metres = [16, 4, 28, 12, 20, 8, 24];
  const positions = metres.map((x, i) => position(`p${i}`, { x, y: 0, z: 0 }));
  // A sixth of an octave up from each row to the next: a musical second, 2^(1/6).
  const dips = metres.map((x, row) => dip(row, 40 * 2 ** (x / 4 / 6)));
  const groups = groupDips(dips, positions);
  expect(groups.map((g) => g.behaviour)).toEqual(["wanders"]);
  expect(groups[0].dips.map((d) => metres[d.row])).toEqual([4, 8, 12, 16, 20, 24, 28]);
  // From 40 · 2^(1/6) to 40 · 2^(7/6) Hz, their mean in octaves 40 · 2^(4/6).
  expect(groups[0].lowest_hz).toBeCloseTo(44.9, 1);
  expect(groups[0].highest_hz).toBeCloseTo(89.8, 1);
  expect(groups[0].frequency_hz).toBeCloseTo(63.5, 1);
});

test("dips of one frequency at positions far apart, with others between that have none, are each alone", () => {
  const metres = [4, 8, 12, 16, 20, 24, 28];
  const positions = metres.map((x, i) => position(`p${i}`, { x, y: 0, z: 0 }));
  const groups = groupDips([dip(0, 50), dip(6, 52)], positions);
  expect(groups.map((g) => g.behaviour)).toEqual(["alone", "alone"]);
});

const inRows = (metres: readonly number[]) => metres.map((x, i) => position(`p${i}`, { x, y: 0, z: 0 }));
const seven = inRows([4, 8, 12, 16, 20, 24, 28]);

test("a dip that half of the positions have at one frequency, over half of the depth, stays put", () => {
  const behaviours = (rows: readonly number[], f: (row: number) => number = () => 50) =>
    groupDips(
      rows.map((row) => dip(row, f(row))),
      seven,
    ).map((g) => g.behaviour);
  expect(behaviours([0, 1, 3, 6])).toEqual(["stays put"]);
  expect(behaviours([0, 1, 2, 3, 4, 5, 6])).toEqual(["stays put"]);
  // Four rows of seven, but of the front only: 12 m of 24 are half, 8 m are not.
  expect(behaviours([0, 1, 2, 3])).toEqual(["stays put"]);
  expect(
    groupDips(
      [0, 1, 2].map((row) => dip(row, 50)),
      seven,
    ).map((g) => g.behaviour),
  ).not.toContain("stays put");
  // An eighth of an octave to either side is the same frequency, a quarter is not.
  expect(behaviours([0, 2, 4, 6], (row) => 50 * 2 ** (row % 4 === 0 ? 0 : 0.125))).toEqual(["stays put"]);
  expect(behaviours([0, 2, 4, 6], (row) => 50 * 2 ** (row % 4 === 0 ? 0 : 0.25))).not.toContain("stays put");
});

test("of three positions all must have it, however few half of them are", () => {
  const three = inRows([4, 8, 12]);
  expect(groupDips([dip(0, 50), dip(2, 50)], three).map((g) => g.behaviour)).not.toContain("stays put");
  expect(groupDips([dip(0, 50), dip(1, 50), dip(2, 50)], three).map((g) => g.behaviour)).toEqual([
    "stays put",
  ]);
});

test("of two dips at one position the nearer one belongs to the frequency that stays, the other is by itself", () => {
  const near = [0, 1, 2, 3, 4, 5, 6].map((row) => dip(row, 50));
  const dips = [...near, dip(3, 54)];
  const groups = groupDips(dips, seven);
  expect(groups.map((g) => [g.behaviour, g.dips.length])).toEqual([
    ["stays put", 7],
    ["alone", 1],
  ]);
  expect(groups[0].dips[3].frequency_hz).toBe(50);
  const turned = groupDips([...near.slice(0, 3), dip(3, 54), ...near.slice(3)], seven);
  expect(turned[0].dips[3].frequency_hz).toBe(50);
});

test("two frequencies that stay are two groups, the one with more decibels first", () => {
  const deeper = (d: Dip): Dip => ({ ...d, depth_db: 12 });
  const dips = [0, 2, 4, 6].flatMap((row) => [dip(row, 40), deeper(dip(row, 90))]);
  const groups = groupDips(dips, seven);
  expect(groups.map((g) => Math.round(g.frequency_hz))).toEqual([90, 40]);
  expect(groups.map((g) => g.depth_db)).toEqual([12, 8]);
  expect(groups[0].positions_fraction).toBeCloseTo(4 / 7, 12);
});

test("a track holds one dip of a position, and steps of more than 0.3 octaves break it", () => {
  const chain = groupDips([dip(0, 40), dip(1, 48), dip(2, 70)], seven);
  expect(chain.map((g) => g.dips.map((d) => d.row))).toEqual([[0, 1], [2]]);
  expect(chain[0].behaviour).toBe("wanders");
  const fork = groupDips([dip(0, 50), dip(1, 52), dip(1, 47)], seven);
  expect(fork.map((g) => g.dips.map((d) => d.frequency_hz))).toEqual([[50, 52], [47]]);
  expect(fork[0].behaviour).toBe("alone");
});

test("every dip is in exactly one group, whatever the dips", () => {
  const some = fc.array(fc.tuple(fc.integer({ min: 0, max: 6 }), evenly(30, 150)), { maxLength: 25 });
  fc.assert(
    fc.property(some, (list) => {
      const dips = list.map(([row, f]) => dip(row, f));
      const groups = groupDips(dips, seven);
      expect(groups.reduce((sum, g) => sum + g.dips.length, 0)).toBe(dips.length);
      expect(new Set(groups.flatMap((g) => g.dips)).size).toBe(dips.length);
      for (const g of groups) {
        expect(new Set(g.dips.map((d) => d.row)).size).toBe(g.dips.length);
        expect(g.lowest_hz).toBeLessThanOrEqual(g.frequency_hz * (1 + 1e-12));
        expect(g.highest_hz).toBeGreaterThanOrEqual(g.frequency_hz * (1 - 1e-12));
      }
    }),
  );
});
