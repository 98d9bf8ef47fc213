import { describe, expect, it } from "vitest";
import { compareLayouts, standingLayout } from "../../../lib/decision/layouts/compare";
import type { Position } from "../../../lib/survey/survey";
import * as layouts from "../../../lib/venue/layouts";
import type { Venue } from "../../../lib/venue/venue";
import { cabinet, indoors, openAir, source } from "./venue";

const seat = (id: string, x: number, y = 0, z = 0): Position => ({
  id,
  point: { x, y, z },
  area: "green",
  people: 1,
});

const one = (x: number, y: number, z = 0, more = {}) => ({
  sources: [source("sub", "subs", { x, y, z }, more)],
});

/** Only the third octave around 63 Hz: exactly 10^1.8 Hz, from 10^1.75 to 10^1.85. */
const narrow = { lowBand: [63, 63] } as const;
const speed = 343.2;
const quarterWave = speed / 10 ** 1.8 / 4;

/** Far away on the axis, so that rays are parallel: seats 400 m before, stage 400 m behind. */
const far: Venue = {
  ...openAir,
  stage: {
    corners: [
      { x: -400, y: 0.2, z: 0 },
      { x: -400, y: -0.2, z: 0 },
      { x: -401, y: -0.2, z: 0 },
      { x: -401, y: 0.2, z: 0 },
    ],
    earHeight: 0,
  },
};
const farSeats = [seat("near", 399), seat("far", 401)];

describe("known pairs (gradient: Olson; end-fire: Balanis; both from memory)", () => {
  const common = { cabinet, speedOfSound: speed };
  const { layouts: found } = compareLayouts(
    far,
    {
      single: one(0, 0),
      gradient: layouts.gradient({
        ...common,
        position: { x: quarterWave / 2, y: 0, z: 0 },
        spacing: quarterWave,
      }),
      "end-fire": layouts.endFire({
        ...common,
        position: { x: quarterWave / 2, y: 0, z: 0 },
        spacing: quarterWave,
        count: 2,
      }),
      "close gradient": layouts.gradient({
        ...common,
        position: { x: quarterWave / 6, y: 0, z: 0 },
        spacing: quarterWave / 3,
      }),
    },
    { ...narrow, positions: farSeats },
  );
  const [single, gradient, endFire, close] = found;

  it("are 6.02 dB over one cabinet in front, the end-fire at every frequency, the gradient where d = λ/4", () => {
    expect(endFire.level_db - single.level_db).toBeCloseTo(6.02, 1);
    // Mean of 4 sin²(kd) over the third octave: 5.97 dB by numerical integration.
    expect(gradient.level_db - single.level_db).toBeCloseTo(5.97, 1);
  });

  it("is as loud as one cabinet where the gradient's spacing is λ/12", () => {
    expect(close.level_db - single.level_db).toBeCloseTo(0, 1);
  });

  it("send nothing straight behind: the gradient at every frequency, the end-fire where d = λ/4", () => {
    expect(single.spill_db).toBeCloseTo(0, 1);
    expect(gradient.spill_db).toBeLessThan(-40);
    expect(close.spill_db).toBeLessThan(-35);
    // Mean of cos²(kd) over the third octave: −19.63 dB by numerical integration; four steps to the third see it within 0.5 dB.
    expect(Math.abs((endFire.spill_db as number) + 19.63)).toBeLessThan(0.5);
  });
});

describe("distance alone", () => {
  const row = [seat("a", 4), seat("b", 8), seat("c", 16), seat("d", 32)];

  it("takes 18.06 dB from a sub over three doublings", () => {
    const { layouts: found } = compareLayouts(openAir, { one: one(0, 0) }, { positions: row });
    expect(found[0].subsFrontToBack_db).toBeCloseTo(18.06, 1);
  });

  it("gives the front row 4.79 dB over the audience's power mean (4 : 1 + 1/4 + 1/16 + 1/64, by hand)", () => {
    const apart: Venue = {
      ...openAir,
      sources: openAir.sources.map((s) => (s.group === "mains" ? { ...s, gain: -80 } : s)),
    };
    const { layouts: found } = compareLayouts(
      apart,
      { one: one(0, 0, 0, { gain: 0 }) },
      { positions: row, targetTilt: 80 },
    );
    expect(found[0].frontRow_db).toBeCloseTo(4.79, 1);
  });

  it("leaves an even balance where mains and subs stand in one place", () => {
    const together: Venue = { ...openAir, sources: [source("mains", "mains", { x: 0, y: 0, z: 0 })] };
    const { layouts: found } = compareLayouts(together, { one: one(0, 0) }, { positions: row });
    // The air takes 0.2 dB from the mid band on the way to the last seat.
    expect(found[0].deviation_db).toBeLessThan(0.1);
    expect(found[0].audience.within3dB_fraction).toBe(1);
    expect(found[0].sideToSide_db).toBeNull();
  });

  it("is 6.85 dB from side to side of a row whose ends are 5 m and 11 m from the sub", () => {
    const sides = [seat("left", 10, 3), seat("right", 10, -3)];
    const { layouts: found } = compareLayouts(openAir, { one: one(10, 8) }, { positions: sides });
    expect(found[0].subsSideToSide_db).toBeCloseTo(6.85, 2);
  });
});

describe("a comparison", () => {
  const options = { positions: [seat("a", 4, 2, 1.2), seat("b", 8, -2, 1.2), seat("c", 14, 0, 1.2)] };

  it("counts the gain of the loudest cabinet against its level: 6 dB less is 6 dB more to turn up", () => {
    const { layouts: found } = compareLayouts(
      indoors,
      { loud: one(1, 0, 0.3), soft: one(1, 0, 0.3, { gain: -6 }) },
      options,
    );
    const [loud, soft] = found;
    expect(soft.offset_db - loud.offset_db).toBeCloseTo(6, 3);
    expect(soft.loudest_db).toBeCloseTo(loud.loudest_db, 3);
    expect(soft.level_db).toBeCloseTo(loud.level_db, 6);
    expect(soft.deviation_db).toBeCloseTo(loud.deviation_db, 6);
  });

  it("gives a layout and its mirror image the same figures in a symmetric venue", () => {
    const positions = [...options.positions, seat("a'", 4, -2, 1.2), seat("b'", 8, 2, 1.2)];
    const { layouts: found } = compareLayouts(
      indoors,
      { left: one(1, 3, 0.3), right: one(1, -3, 0.3) },
      { positions },
    );
    const [left, right] = found;
    expect(left.deviation_db).toBeCloseTo(right.deviation_db, 2);
    expect(left.frontRow_db).toBeCloseTo(right.frontRow_db, 2);
    expect(left.spill_db).toBeCloseTo(right.spill_db as number, 2);
    expect(left.beatenBy.concat(right.beatenBy)).toEqual([]);
  });

  it("says who is beaten in all aims, by whom, and nothing of two that each do something better", () => {
    const cases = { "as it stands": standingLayout(indoors), far: one(1, 6, 0.3), behind: one(-3, 0, 0.3) };
    const { layouts: found } = compareLayouts(indoors, cases, options);
    for (const a of found) {
      for (const b of found) {
        const aims = (l: typeof a) => [l.deviation_db, l.frontRow_db, l.spill_db as number];
        const nowhereWorse = aims(b).every((x, k) => x <= aims(a)[k]);
        // A drawing tells less than 0.3 dB from nothing: scripts/causes-truth.ts layouts.
        const somewhereBetter = aims(b).some((x, k) => x <= aims(a)[k] - 0.3);
        expect(a.beatenBy.includes(b.name)).toBe(nowhereWorse && somewhereBetter);
        const apart = Math.abs(a.deviation_db - b.deviation_db);
        expect(a.tiedWith.includes(b.name)).toBe(a !== b && apart < 0.3);
      }
    }
  });

  it("keeps a limit on the headroom and says that it decides", () => {
    const free = compareLayouts(indoors, { one: one(1, 0, 0.3) }, options).layouts[0];
    const { layouts: found, reasons } = compareLayouts(
      indoors,
      { one: one(1, 0, 0.3) },
      { ...options, limits: { headroom: free.offset_db - 4 } },
    );
    expect(found[0].limited).toBe(true);
    expect(found[0].offset_db).toBeCloseTo(free.offset_db - 4, 6);
    expect(reasons.join(" ")).toMatch(/held back by a limit/);
  });

  it("leaves what hangs to people qualified in rigging, and levels to the protection of hearing", () => {
    const { reasons } = compareLayouts(indoors, { hung: one(1, 0, 5), floor: one(1, 0, 0.3) }, options);
    expect(reasons.join(" ")).toMatch(/"hung" has cabinets overhead.*qualified in rigging/);
    expect(reasons.join(" ")).toMatch(/protect hearing, local law rules/);
    const grounded = compareLayouts(indoors, { floor: one(1, 0, 0.3) }, options);
    expect(grounded.reasons.join(" ")).not.toMatch(/rigging/);
  });

  it("judges no spill where there is no stage", () => {
    const { stage: _, ...venue } = indoors;
    const { layouts: found, reasons } = compareLayouts(venue, { floor: one(1, 0, 0.3) }, options);
    expect(found[0].spill_db).toBeNull();
    expect(reasons.join(" ")).toMatch(/no stage/);
    expect(JSON.stringify(found)).not.toMatch(/NaN|Infinity/);
  });

  it("refuses nothing to compare, in words", () => {
    expect(() => compareLayouts(indoors, {}, options)).toThrow(/layouts is empty/);
    expect(() => compareLayouts(indoors, { none: { sources: [] } }, options)).toThrow(
      /"none" has no cabinets/,
    );
  });
});
