import { expect, test } from "vitest";
import { groupDips } from "../../../lib/decision/dips/groups";
import type { Dip } from "../../../lib/decision/dips/result";
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
