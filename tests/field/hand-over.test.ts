// Where waves stand for the room, what they leave to the paths, and what of a venue's sources costs no new run.
import { describe, expect, it } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { levelInBand, power, type Response } from "../../lib/acoustics/response";
import { modelFamily } from "../../lib/field/model-family";
import { modelSurvey } from "../../lib/field/model-survey";
import type { FieldOptions } from "../../lib/field/options";
import { multiply } from "../../lib/numeric/complexes";
import type { Source, Venue } from "../../lib/venue/venue";
import { at, box, source, venue, wall } from "./venues";

const size = [9, 6.5, 3.5];
const surfaces = { west: 0.2, east: 0.3, south: 0.15, north: 0.1, floor: 0.1, ceiling: 0.3 };
const sub = source({ x: 0.9, y: 2, z: 0.4 }, { id: "sub" });
const other = source({ x: 0.9, y: 4.9, z: 0.4 }, { id: "other", delay: 0.002 });
const main = source({ x: 0.8, y: 3, z: 3 }, { id: "main", group: "mains" });
const hall = venue({
  sources: [sub, other, main],
  boundaries: box(size, surfaces),
  room: { volume: 205, surface: 225, reverberationTime: { frequency: [100], value: [0.7] } },
});
const positions = [at(3.1, 2.2, 1.2), at(5.3, 4.4, 1.6), at(8.2, 1.1, 1.2)];
const frequency = logGrid(22, 700, 60);
const of = (v: Venue, options: FieldOptions = {}) => modelSurvey(v, positions, { frequency, ...options });
const withSubs = (change: (s: Source) => Partial<Source>): Venue => ({
  ...hall,
  sources: hall.sources.map((s) => (s.group === "subs" ? { ...s, ...change(s) } : s)),
});
const below = (limit: number) => frequency.findIndex((f) => f > limit);
const above = (limit: number) => frequency.length - below(limit);

/** Largest difference relative to the largest value, over the first frequencies. */
function apart(a: Response, b: { re: Float64Array; im: Float64Array }, count: number): number {
  const sizes = Array.from(a.re.subarray(0, count), (re, f) => Math.hypot(re, a.im[f]));
  const off = sizes.map((_, f) => Math.hypot(a.re[f] - b.re[f], a.im[f] - b.im[f]));
  return Math.max(...off) / Math.max(...sizes);
}

describe("a hall's low band", () => {
  const whole = of(hall);
  const paths = of(hall, { lowBand: "paths" });

  it("holds all of the room below the hand-over, where nothing is left to the diffuse field", () => {
    for (const { diffuse, coherence } of [...whole.subs, ...whole.mains]) {
      expect(Array.from(diffuse as Float64Array).slice(0, below(141))).toEqual(Array(below(141)).fill(0));
      expect(Array.from(coherence as Float64Array).slice(0, below(141))).toEqual(Array(below(141)).fill(1));
    }
    expect(Math.max(...paths.subs.map((r, i) => apart(r, whole.subs[i], below(141))))).toBeGreaterThan(0.3);
  });

  it("is that of the paths above it, to the last digit", () => {
    for (const group of ["mains", "subs"] as const) {
      whole[group].forEach((r, i) => {
        for (const part of ["re", "im", "diffuse"] as const)
          expect(r[part]?.slice(-above(178))).toEqual(paths[group][i][part]?.slice(-above(178)));
      });
    }
  });

  it("goes from the one to the other without a hole: no power is less than the lesser of the two", () => {
    // Waves alone, where their band ends.
    const fine = logGrid(142, 177, 30);
    const joined = modelSurvey(hall, positions, { frequency: fine }).subs.map(power);
    const alone = modelSurvey(hall, positions, { frequency: fine, lowBand: "paths" }).subs.map(power);
    const mean = (p: Float64Array) => p.reduce((a, b) => a + b, 0) / p.length;
    joined.forEach((p, i) => {
      expect(Math.min(...p)).toBeGreaterThan(0);
      // By as much as a few modes within a third of an octave may differ from their mean.
      expect(Math.abs(10 * Math.log10(mean(p) / mean(alone[i])))).toBeLessThan(6);
    });
  });

  it("is asked of the paths by what only they can do", () => {
    for (const options of [
      { order: 2 },
      { finiteSize: true },
      { obstruction: true },
      { diffuse: "barron" },
    ] as const)
      expect(of(hall, options).subs[0].re).toEqual(of(hall, { ...options, lowBand: "paths" }).subs[0].re);
  });

  it("is by paths where walls are not drawn, or where the venue is too large, and says so", () => {
    const bare = { ...hall, boundaries: hall.boundaries.slice(4, 5) };
    const huge = venue({ ...hall, boundaries: box([130, 90, 30], surfaces) });
    for (const [v, why] of [
      [bare, "lacks too many walls in its drawing"],
      [huge, "is too large"],
    ] as const) {
      const found = of(v);
      expect(found.warnings).toEqual([expect.stringContaining(why)]);
      expect(found.subs[0].re).toEqual(of(v, { lowBand: "paths" }).subs[0].re);
      expect(of(v, { lowBand: "paths" }).warnings).toBeUndefined();
    }
    expect(whole.warnings).toBeUndefined();
  });

  it("takes level, polarity, delay and filter that a group shares as factors", () => {
    const changed = of(withSubs((s) => ({ gain: s.gain + 6, polarity: -1, delay: s.delay + 0.005 })));
    whole.subs.forEach((r, i) => {
      const expected = { re: r.re.slice(), im: r.im.slice() };
      const g = -(10 ** (6 / 20));
      const angle = frequency.map((f) => -2 * Math.PI * f * 0.005);
      multiply(expected, { re: angle.map((a) => g * Math.cos(a)), im: angle.map((a) => g * Math.sin(a)) });
      expect(apart(changed.subs[i], expected, below(141))).toBeLessThan(1e-5);
    });
  });

  it("of two subs is the sum of each one's", () => {
    const alone = [sub, other].map((s) => of({ ...hall, sources: [s, main] }).subs);
    whole.subs.forEach((r, i) => {
      const sum = {
        re: alone[0][i].re.map((x, f) => x + alone[1][i].re[f]),
        im: alone[0][i].im.map((x, f) => x + alone[1][i].im[f]),
      };
      // Of a recording's end, where the hall still rings, more is heard of the one that sounds first.
      expect(apart(r, sum, below(141))).toBeLessThan(1e-2);
    });
  });

  it("is the same where a source and an ear change places", () => {
    const ear = positions[1];
    const back = { ...hall, sources: [{ ...sub, point: ear.point }, main] };
    const [there] = of({ ...hall, sources: [sub, main] }).subs.slice(1);
    const [here] = modelSurvey(back, [{ ...ear, point: sub.point }], { frequency }).subs;
    expect(apart(there, here, below(141))).toBeLessThan(0.02);
  });

  it("is symmetric in a symmetric hall", () => {
    const mirror = (y: number) => size[1] - y;
    const even = { ...hall, boundaries: box(size, { ...surfaces, north: 0.15 }), sources: [sub, main] };
    const turned = {
      ...even,
      sources: even.sources.map((s) => ({ ...s, point: { ...s.point, y: mirror(s.point.y) } })),
    };
    const there = modelSurvey(
      turned,
      positions.map(({ point: p }) => at(p.x, mirror(p.y), p.z)),
      { frequency },
    );
    of(even).subs.forEach((r, i) => {
      expect(apart(r, there.subs[i], below(141))).toBeLessThan(1e-3);
    });
  });

  it("of a hollow stage without its hollow is that of a closed front", () => {
    const opening = [
      { x: 0, y: 1, z: 0 },
      { x: 0, y: 5, z: 0 },
      { x: 0, y: 5, z: 1 },
      { x: 0, y: 1, z: 1 },
    ] as const;
    const hollow = {
      ...hall,
      cavities: [
        { name: "under the stage", opening, depth: 3, absorption: { frequency: [100], value: [0.05] } },
      ],
      audience: [
        {
          name: "floor",
          corners: [at(3, 1, 0), at(3, 5, 0), at(8, 5, 0), at(8, 1, 0)].map((p) => p.point) as never,
          earHeight: 1.2,
          density: 1,
        },
      ],
    };
    const closed = of({ ...hollow, cavities: [] });
    expect(of(hollow, { cavities: false }).subs[0].re).toEqual(closed.subs[0].re);
    expect(apart(closed.subs[0], of(hollow).subs[0], below(141))).toBeGreaterThan(0.05);
  });
});

describe("the low band in the open", () => {
  // A hollow that is too small and too far away to be heard makes it be computed by waves.
  const far = {
    name: "box",
    opening: [at(-4, -6, 0), at(-4, -5.5, 0), at(-4, -5.5, 0.3), at(-4, -6, 0.3)].map(
      (p) => p.point,
    ) as never,
  };
  const open = (more: Partial<Source>) =>
    venue({
      sources: [source({ x: 0, y: 0, z: 0.4 }, more)],
      boundaries: [wall("z", 0, 40)],
      cavities: [{ ...far, depth: 0.5, absorption: { frequency: [100], value: [0.3] } }],
      audience: [
        {
          name: "green",
          corners: [at(-6, -2, 0), at(-6, 2, 0), at(6, 2, 0), at(6, -2, 0)].map((p) => p.point) as never,
          earHeight: 1.2,
          density: 1,
        },
      ],
    });
  const ears = [at(5, 0, 1.2), at(-5, 0, 1.2), at(3.5, 1.8, 1.2)];
  const lows = logGrid(30, 120, 13);
  const heard = (more: Partial<Source>) =>
    modelSurvey(open(more), ears, { frequency: lows }).subs.map((r) => levelInBand(r, 30, 120, 1));

  it("is a sub and its mirror image on the hard ground", () => {
    // 1 Pa at 1 m; two coherent arrivals, mean of the square over log frequency.
    ears.forEach(({ point: { x, y, z } }, i) => {
      const [r, s] = [Math.hypot(x, y, z - 0.4), Math.hypot(x, y, z + 0.4)];
      const squares = lows.map(
        (f) => 1 / (r * r) + 1 / (s * s) + (2 / (r * s)) * Math.cos((2 * Math.PI * f * (s - r)) / 343.2),
      );
      expect(heard({})[i]).toBeCloseTo(
        10 * Math.log10(squares.reduce((a, b) => a + b, 0) / squares.length),
        0,
      );
    });
  });

  it("has the pattern of a cardioid: before it as without, behind it next to nothing (Olson, from memory)", () => {
    const [omni, cardioid] = [heard({}), heard({ pattern: { kind: "first-order", a: 0.5 } })];
    expect(Math.abs(cardioid[0] - omni[0])).toBeLessThan(0.7);
    expect(cardioid[1] - omni[1]).toBeLessThan(-14);
  });

  it("has the pattern of a box: what the paths have of it, before, behind and beside", () => {
    const of = (lowBand: "waves" | "paths", more: Partial<Source>) =>
      modelSurvey(open(more), [...ears, at(0, 1.9, 1.2)], { frequency: lows, lowBand }).subs.map((r) =>
        levelInBand(r, 60, 120, 1),
      );
    const box = { pattern: { kind: "sphere", radius: 0.5 }, centre: 0.3 } as const;
    const [waves, paths] = [of("waves", box), of("paths", box)];
    waves.forEach((level, i) => {
      expect(Math.abs(level - paths[i]), `ear ${i}`).toBeLessThan(1);
    });
    expect(waves[1]).toBeLessThan(waves[0] - 2);
  });
});

describe("a run of waves", () => {
  // Of its own air, so that nothing is known of it yet.
  const fresh: Venue = { ...hall, air: { ...hall.air, temperature: hall.air.temperature + 3 } };

  it("tells how far it is, can be ended, is whole when asked again, and tells nothing of what is known", () => {
    const told: number[] = [];
    const ended = () => of(fresh, { progress: (done) => told.push(done) < 3 });
    expect(ended).toThrow(/was ended/);
    expect(told).toHaveLength(3);
    expect(() => of(fresh, { progress: 1 as never })).toThrow(/progress is 1, expected a function/);
    const shares: number[] = [];
    const progress = (done: number) => shares.push(done) > 0;
    const whole = of(fresh, { progress });
    expect(shares.length).toBeGreaterThan(10);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(shares.at(-1)).toBeGreaterThan(0.9);
    expect(shares.at(-1)).toBeLessThanOrEqual(1);
    const before = shares.length;
    expect(of(fresh, { progress }).subs).toEqual(whole.subs);
    expect(shares).toHaveLength(before);
  });
});

describe("a family of halls", () => {
  const family = modelFamily(hall, positions, { frequency });

  it("is the model for its own venue", () => {
    const [own, alone] = [family(hall), of(hall)];
    own.subs.forEach((r, i) => {
      expect(apart(r, alone.subs[i], frequency.length)).toBeLessThan(1e-6);
    });
  });

  it("foretells most of what walls that take more do to the low band's level", () => {
    const dead: Venue = {
      ...hall,
      boundaries: box(size, Object.fromEntries(Object.entries(surfaces).map(([k, a]) => [k, 2 * a]))),
      room: { volume: 205, surface: 225, reverberationTime: { frequency: [100], value: [0.35] } },
    };
    const level = (r: Response) => levelInBand(r, 35, 130);
    const [before, now, foretold] = [of(hall), of(dead), family(dead)];
    const mean = (a: readonly Response[], b: readonly Response[]) =>
      a.reduce((sum, r, i) => sum + level(r) - level(b[i]), 0) / a.length;
    const real = mean(now.subs, before.subs);
    expect(real).toBeLessThan(-1);
    expect(mean(foretold.subs, before.subs) / real).toBeGreaterThan(0.5);
    expect(mean(foretold.subs, before.subs) / real).toBeLessThan(1.5);
  });
});
