/**
 * Dips against the comb of one reflection in closed form: with a path difference Δ the first notch lies at c/(2Δ), and a
 * reflection weaker by r leaves 20 lg((1 + r)/(1 − r)) between peak and notch (Everest, Master Handbook of Acoustics, from memory).
 */
import { describe, expect, test } from "vitest";
import type { Point } from "../../../lib/acoustics/point";
import type { Response } from "../../../lib/acoustics/response";
import { sumResponses } from "../../../lib/acoustics/response";
import { findDips } from "../../../lib/decision/dips/dips";
import { flat, frequency, pointSource, position, silent, survey } from "../synthetic";

const positions = [4, 8, 12, 16, 20].map((x) => position(`row at ${x} m`, { x, y: 0, z: 0 }));

/** A source at 0 and its mirror image in a wall `behind` it, heard along the axis: the path difference is twice that everywhere. */
function beforeWall(behind: number): Response[] {
  return positions.map(({ point }) =>
    sumResponses(
      pointSource({ x: 0, y: 0, z: 0 }, point),
      pointSource({ x: -2 * behind, y: 0, z: 0 }, point),
      { re: 0.8, im: 0 },
    ),
  );
}

function withImage(image: Point, strength = 0.8): Response[] {
  return positions.map(({ point }) =>
    sumResponses(pointSource({ x: 0, y: 0, z: 0 }, point), pointSource(image, point), {
      re: strength,
      im: 0,
    }),
  );
}

/** Up to below the second notch of these walls. */
const lows = { parts: ["subs"], range: { subs: [25, 120] }, leastDepth: 2 } as const;

const quiet = positions.map(() => silent());

describe("dips across positions", () => {
  test("a sub 1.65 m before a wall dips at 52 Hz in every row (common practice, no source)", () => {
    const { groups } = findDips(survey(positions, quiet, beforeWall(1.65)), lows);
    expect(groups[0].behaviour).toBe("stays put");
    expect(groups[0].dips).toHaveLength(positions.length);
    for (const dip of groups[0].dips) expect(Math.abs(dip.frequency_hz - 52)).toBeLessThan(1.6);
  });

  test("the notch lies where the closed form puts it, for distances of a metre to two and a half", () => {
    for (const behind of [1, 1.3, 1.8, 2.5]) {
      const { groups } = findDips(survey(positions, quiet, beforeWall(behind)), lows);
      const notch = 343 / (4 * behind);
      const near = groups
        .flatMap((g) => g.dips)
        .filter((d) => Math.abs(Math.log2(d.frequency_hz / notch)) < 0.05);
      expect(near).toHaveLength(positions.length);
    }
  });

  test("a stronger reflection dips deeper", () => {
    const depths = [0.4, 0.6, 0.9].map((strength) => {
      const heard = withImage({ x: -3.3, y: 0, z: 0 }, strength);
      return findDips(survey(positions, quiet, heard), { parts: ["subs"], leastDepth: 1 }).groups[0].depth_db;
    });
    expect(depths[0]).toBeGreaterThan(1);
    expect(depths[1]).toBeGreaterThan(depths[0] + 1);
    expect(depths[2]).toBeGreaterThan(depths[1] + 2);
  });

  test("the dip of a wall at the back wanders, and is found at c/(2Δ) in the rows next to it", () => {
    const heard = withImage({ x: 48, y: 0, z: 0 });
    const { groups } = findDips(survey(positions, quiet, heard), { parts: ["subs"] });
    expect(groups.every((g) => g.behaviour !== "stays put")).toBe(true);
    const last = groups.flatMap((g) => g.dips).filter((d) => d.row === positions.length - 1);
    // At 20 m the image at 48 m is 28 m away, 8 m more than the source: odd multiples of 343/16.
    const odd = [21.4, 64.3, 107.2].filter((f) =>
      last.some((d) => Math.abs(Math.log2(d.frequency_hz / f)) < 0.06),
    );
    expect(odd.length).toBeGreaterThanOrEqual(2);
  });

  test("a roll-off is no dip", () => {
    const slope = positions.map(() => {
      const level = frequency.map((f) => 1 / (1 + (f / 85) ** 4));
      return { frequency, re: level, im: new Float64Array(level.length) };
    });
    expect(findDips(survey(positions, quiet, slope), { parts: ["subs"] }).groups).toEqual([]);
  });

  test("what mains and subs take from each other is found in their sum alone", () => {
    const overlap = (from: number, to: number, sign: number): Response => {
      const level = frequency.map((f) => sign / Math.sqrt(1 + (from > 0 ? (from / f) ** 8 : (f / to) ** 8)));
      return { frequency, re: level, im: new Float64Array(level.length) };
    };
    const { groups } = findDips(
      survey(
        positions,
        positions.map(() => overlap(90, 0, 1)),
        positions.map(() => overlap(0, 90, -1)),
      ),
    );
    expect(groups.map((g) => g.part)).toEqual(["sum"]);
    expect(groups[0].frequency_hz).toBeGreaterThan(86);
    expect(groups[0].frequency_hz).toBeLessThan(94);
  });

  test("a dip without coherence is doubtful and is said to be", () => {
    const heard = beforeWall(1.65).map((r) => ({
      ...r,
      coherence: r.frequency.map((f) => (f > 45 && f < 60 ? 0.2 : 0.95)),
    }));
    const found = findDips(survey(positions, quiet, heard), lows);
    expect(found.groups[0].dips.every((d) => d.doubtful && d.coherence === 0.2)).toBe(true);
    expect(found.reasons.join(" ")).toMatch(/doubtful/);
  });

  test("nothing is found in a flat response, and that is said", () => {
    const found = findDips(
      survey(
        positions,
        quiet,
        positions.map(() => flat(0)),
      ),
    );
    expect(found.groups).toEqual([]);
    expect(found.reasons[0]).toMatch(/No dip/);
  });

  test("a least depth that is no number above 0 is refused", () => {
    expect(() => findDips(survey(positions, quiet, quiet), { leastDepth: 0 })).toThrow("least depth is 0");
  });
});
