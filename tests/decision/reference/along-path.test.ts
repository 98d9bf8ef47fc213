/** What is said of a path is what its levels are, worked by hand. */
import { describe, expect, it } from "vitest";
import { alongPath, type PathPoint } from "../../../lib/decision/reference/along-path";

/** Each metre from 2 m on: the mid band at 0 dB, the low band as given. */
const path = (low: readonly number[]): PathPoint[] =>
  low.map((low_db, i) => ({
    way_m: i,
    point: { x: 2 + i, y: 0, z: 1.2 },
    low_db,
    mid_db: 0,
    error_db: 0.2,
  }));

describe("a path", () => {
  const points = path([12, 10.5, 9, 7, 6, 6, 6, 5, 3.5, 2]);
  const audience = { balance_db: [9, 6, 4], people: [10, 100, 10], by: "three microphones" };

  it("is held against the middle of the audience, person by person", () => {
    const { audience_db, points: judged } = alongPath(points, audience);
    expect(audience_db).toBe(6);
    expect(judged.map(({ difference_db }) => difference_db)).toEqual([6, 4.5, 3, 1, 0, 0, 0, -1, -2.5, -4]);
  });

  it("parts where more than 3 dB lie between, too much and too little apart", () => {
    expect(alongPath(points, audience).parted).toEqual([
      { from_m: 2, to_m: 3, difference_db: 6 },
      { from_m: 11, to_m: 11, difference_db: -4 },
    ]);
  });

  it("is best where the balance is the audience's and stays so for a metre to either side", () => {
    const { best, reasons } = alongPath(points, audience);
    expect(best).toMatchObject({ point: { x: 7 }, difference_db: 0, change_db_per_m: 0 });
    expect(reasons[1]).toBe(
      "They part by more than 3 dB from 2.0 m to 3.0 m (up to 6.0 dB too much bass), from 11.0 m to 11.0 m (up to 4.0 dB too little bass).",
    );
    expect(reasons[2]).toMatch(
      /best place to stop is 7\.0 m .* differs by 0\.0 dB from the audience's, by three microphones/,
    );
  });

  it("without an audience is held against its own middle", () => {
    const { audience_db, by } = alongPath(points);
    expect([audience_db, by]).toEqual([6, null]);
  });

  it("of one point is none", () => {
    expect(() => alongPath(points.slice(0, 1))).toThrow(/1 points make no path/);
  });
});
