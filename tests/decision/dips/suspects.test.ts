/** What in a venue is suspected of what, and how suspects are weighed: rooms of a few walls, curves of one dip. */
import { describe, expect, test } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { type Response, sumResponses } from "../../../lib/acoustics/response";
import { type DipCauseOptions, explainDips } from "../../../lib/decision/dips/causes";
import { findDips } from "../../../lib/decision/dips/dips";
import { likelihood, logSum } from "../../../lib/decision/dips/likelihood";
import { PREDICTION_GRID, type Prediction } from "../../../lib/decision/dips/prediction";
import type { Dip } from "../../../lib/decision/dips/result";
import { type CauseKind, stacksOf, suspects } from "../../../lib/decision/dips/suspects";
import { weigh } from "../../../lib/decision/dips/weighing";
import type { Boundary, Source } from "../../../lib/venue/venue";
import { box, HARD, source, venue, wall } from "../../field/venues";
import { flat, pointSource, position, silent, survey } from "../synthetic";

const at = (x: number, y: number, z: number) => ({ x, y, z });
const quad = (name: string, corners: [number, number, number][]): Boundary => ({
  name,
  corners: corners.map(([x, y, z]) => at(x, y, z)) as unknown as Boundary["corners"],
  absorption: HARD,
});
const seats = [
  {
    name: "stalls",
    corners: [at(6, 12, 0), at(6, 2, 0), at(16, 2, 0), at(16, 12, 0)] as const,
    earHeight: 1.2,
    density: 1,
  },
];
/** 20 m long, 14 m wide, 7 m high; x = 0 behind the source. */
const room = (sources: Source[], more: Boundary[] = []) =>
  venue({
    sources,
    audience: seats,
    boundaries: [
      ...box([20, 14, 7], { west: 0, east: 0, south: 0, north: 0, floor: 0, ceiling: 0 }),
      ...more,
    ],
  });
const sub = (x: number, y: number, z = 0.3) => source(at(x, y, z), { id: `sub ${x} ${y}` });
const kinds = (v: ReturnType<typeof room>, groups: Source["group"][] = ["subs"]) =>
  Object.fromEntries(suspects(v, groups).map((s) => [s.name, s.kind]));

describe("suspects", () => {
  test("of a room are its surfaces by what they are to the subs and the audience, and the ways across", () => {
    expect(kinds(room([sub(2, 7)]))).toEqual({
      west: "wall behind the subs",
      east: "rear wall",
      south: "side wall",
      north: "side wall",
      floor: "floor",
      ceiling: "ceiling",
      "between west and east": "room mode",
      "between south and north": "room mode",
    });
  });
  test("of mains have no wall behind the subs", () => {
    const mains = source(at(2, 7, 4), { id: "mains", group: "mains" });
    expect(kinds(room([mains]), ["mains"]).west).toBe("other surface");
    expect(kinds(room([mains]), ["mains"])["between west and east"]).toBeUndefined();
    expect(suspects(room([mains]), ["subs"])).toEqual([]);
  });
  test("between the source and the listener, or askew, are other surfaces", () => {
    const screen = quad("screen", [
      [5, 4, 0],
      [5, 10, 0],
      [5, 10, 2],
      [5, 4, 2],
    ]);
    const askew = quad("askew", [
      [15, 0, 0],
      [20, 5, 0],
      [20, 5, 7],
      [15, 0, 7],
    ]);
    const found = kinds(room([sub(2, 7)], [screen, askew]));
    expect(found.screen).toBe("other surface");
    expect(found.askew).toBe("other surface");
  });
  test("that lie in one plane are one, a step of half a metre apart two; floors are one at any height", () => {
    const door = (x: number) =>
      quad("door", [
        [x, 5, 0],
        [x, 9, 0],
        [x, 9, 3],
        [x, 5, 3],
      ]);
    expect(kinds(room([sub(2, 7)], [door(19.8)])).door).toBeUndefined();
    expect(kinds(room([sub(2, 7)], [door(19.4)])).door).toBe("rear wall");
    const pit = quad("pit", [
      [5, 4, -0.6],
      [8, 4, -0.6],
      [8, 9, -0.6],
      [5, 9, -0.6],
    ]);
    const names = suspects(room([sub(2, 7)], [pit]), ["subs"]).filter((s) => s.kind === "floor");
    expect(names).toHaveLength(1);
    expect(names[0].venue.boundaries).toHaveLength(2);
  });
  test("each stand alone with the ground and the sources, beside the same without them", () => {
    for (const s of suspects(room([sub(2, 7)]), ["subs"])) {
      const names = (b: readonly Boundary[]) => b.map((x) => x.name).sort();
      const own = s.kind === "room mode" ? s.name.replace("between ", "").split(" and ") : [s.name];
      expect(names(s.venue.boundaries)).toEqual([...new Set([...own, "floor"])].sort());
      expect(names(s.base.boundaries)).toEqual(s.kind === "floor" ? [] : ["floor"]);
      expect(s.venue.sources).toHaveLength(1);
    }
  });
  test("are other sources that stand more than 2.2 m apart", () => {
    const apart = suspects(room([sub(2, 3), sub(2, 5), sub(2, 11)]), ["subs"]).find(
      (s) => s.kind === "other source",
    );
    expect(apart?.name).toBe("the other subs");
    expect(apart?.venue.sources).toHaveLength(3);
    expect(apart?.base.sources.length).toBeLessThan(3);
    expect(Object.values(kinds(room([sub(2, 6), sub(2, 8)])))).not.toContain("other source");
    const two = [
      source(at(2, 3, 4), { group: "mains" }),
      source(at(2, 11, 4), { group: "mains" }),
      sub(2, 7),
    ];
    expect(kinds(room(two), ["mains", "subs"])["the other mains"]).toBe("other source");
  });
  test("are cavities with the wall that they open in, beside that wall without them", () => {
    const mouth = [at(0, 5, 0), at(0, 9, 0), at(0, 9, 1), at(0, 5, 1)] as const;
    const cavity = { name: "pit", opening: mouth, depth: 2, absorption: HARD };
    const v = { ...room([sub(2, 7)]), cavities: [cavity] };
    const found = suspects(v, ["subs"]).filter((s) => s.kind === "cavity");
    expect(found.map((s) => s.name)).toEqual(["pit"]);
    const walls = (x: { boundaries: readonly Boundary[] }) => x.boundaries.map((b) => b.name).sort();
    expect(found[0].venue.cavities).toEqual([cavity]);
    expect(found[0].base.cavities).toEqual([]);
    expect(walls(found[0].venue)).toEqual(["floor", "west"]);
    expect(walls(found[0].base)).toEqual(["floor", "west"]);
    expect(found[0].base.sources).toHaveLength(1);
  });
  test("have no way across between walls less than 3 m apart", () => {
    const close = venue({
      sources: [sub(1, 0)],
      audience: seats,
      boundaries: [wall("x", 0), wall("x", 2.9)],
    });
    expect(Object.values(kinds(close))).not.toContain("room mode");
    const far = { ...close, boundaries: [wall("x", 0), wall("x", 18)] };
    expect(Object.values(kinds(far))).toContain("room mode");
  });
  test("stack what stands together, neighbour to neighbour, in whatever order", () => {
    const sizes = (ys: readonly number[]) =>
      stacksOf(ys.map((y) => sub(0, y)))
        .map((s) => s.length)
        .sort();
    expect(sizes([0, 2, 4])).toEqual([3]);
    expect(sizes([0, 4, 2])).toEqual([3]);
    expect(sizes([0, 2.3])).toEqual([1, 1]);
    expect(sizes([0, 2, 9, 11, 20])).toEqual([1, 2, 2]);
  });
});

describe("a likelihood", () => {
  const n = 97;
  const heard = Float64Array.from({ length: n }, (_, i) => 5 * Math.sin(i / 5));
  const other = Float64Array.from({ length: n }, (_, i) => 4 * Math.cos(i / 9));
  const ones = new Float64Array(n).fill(1);
  const one = ones.map((_, i) => Number(i === 48));
  const level = (x: number) => new Float64Array(n).fill(x);

  test("is greatest where what was heard is what was predicted", () => {
    expect(likelihood(heard, heard, ones, 24)).toBeGreaterThan(likelihood(heard, other, ones, 24) + 1);
    expect(likelihood(heard, heard, ones, 24)).toBeGreaterThan(likelihood(heard, level(0), ones, 24) + 1);
  });
  test("of one datum 3.1 dB off falls as Student's t of 6 degrees from 0 to 1 (scipy.stats.t: −0.539527)", () => {
    // Four data to the octave, as many as count for themselves; constants do not mind being moved.
    const at = (x: number) => likelihood(level(x), level(0), one, 4);
    expect(at(3.1) - at(0)).toBeCloseTo(-0.539527, 5);
    expect(at(-3.1)).toBeCloseTo(at(3.1), 12);
    expect(likelihood(level(1), level(-2.1), one, 4)).toBeCloseTo(at(3.1), 12);
  });
  test("minds neither the direction of frequency nor which side is heard", () => {
    const back = (x: Float64Array) => x.slice().reverse();
    const weight = ones.map((_, i) => (i > 20 && i < 70 ? 1 : 0));
    expect(likelihood(back(heard), back(other), back(weight), 24)).toBeCloseTo(
      likelihood(heard, other, weight, 24),
      9,
    );
  });
  test("forgives a shift of a twentieth of an octave more than one of a fifth", () => {
    const moved = (by: number) => Float64Array.from({ length: n }, (_, i) => 5 * Math.sin((i - by) / 5));
    const at = (by: number) => likelihood(heard, moved(by), ones, 24);
    expect(at(1)).toBeGreaterThan(at(5) + 1);
    expect(at(0)).toBeGreaterThan(at(1));
    expect(at(1)).toBeCloseTo(at(-1), 0);
  });
  test("takes every dip and peak beyond a depth as one of that depth, and what has no weight as not there", () => {
    expect(likelihood(level(40), level(6), ones, 24)).toBeCloseTo(
      likelihood(level(0), level(0), ones, 24),
      9,
    );
    expect(likelihood(level(-40), level(-6), ones, 24)).toBeCloseTo(
      likelihood(level(0), level(0), ones, 24),
      9,
    );
    expect(likelihood(heard, other, level(0), 24)).toBeCloseTo(
      likelihood(level(0), level(3), level(0), 24),
      12,
    );
  });
  test("adds up by logarithms: ln 2 and ln 3 to ln 5, and numbers that no exponential holds", () => {
    expect(logSum([Math.log(2), Math.log(3)])).toBeCloseTo(Math.log(5), 12);
    expect(logSum([2000, 2000])).toBeCloseTo(2000 + Math.LN2, 9);
    expect(logSum([-2000, -2001])).toBeCloseTo(-2000 + Math.log(1 + 1 / Math.E), 9);
  });
});

describe("weighing", () => {
  const bell = (f: number, depth: number) =>
    PREDICTION_GRID.map((x) => depth * 0.5 ** ((8 * Math.log2(x / f)) ** 2));
  const flatBase = new Float64Array(PREDICTION_GRID.length);
  const predicts = (depth: Float64Array, dips: Prediction["dips"] = []): Prediction => ({
    dips,
    depth,
    base: flatBase,
  });
  const dip = (row: number, f = 50): Dip => ({
    part: "subs",
    position: `p${row}`,
    row,
    frequency_hz: f,
    depth_db: 5,
    width_octaves: 0.25,
    coherence: null,
    doubtful: false,
  });
  const range = [25, 160] as const;
  const rows = [0, 1, 2, 3];
  const heard = rows.map(() => bell(50, 5));
  const group = rows.map((r) => dip(r));
  const suspect = (depth: Float64Array, kind: CauseKind = "side wall") => ({
    kind,
    prediction: rows.map(() => predicts(depth)),
  });
  const weighed = (list: ReturnType<typeof suspect>[], part: "subs" | "sum" = "subs", own = group) => {
    const [found] = weigh([own], heard, list, range, part);
    expect(found.suspects.reduce((sum, x) => sum + x, found.none)).toBeCloseTo(1, 9);
    return found;
  };

  test("believes the suspect that makes the dip, and nobody where none does", () => {
    const { suspects: found, none } = weighed([
      suspect(bell(50, 5)),
      suspect(bell(90, 5)),
      suspect(flatBase),
    ]);
    expect(found[0]).toBeGreaterThan(0.9);
    expect(found[1]).toBeLessThan(found[2]);
    expect(none).toBeGreaterThan(found[2]);
    expect(weighed([suspect(bell(90, 5))]).none).toBeGreaterThan(0.9);
    expect(weighed([]).none).toBe(1);
  });
  test("takes two that say the same for the same, but a mode, which needs two walls, for less", () => {
    const { suspects: found } = weighed([
      suspect(bell(50, 5)),
      suspect(bell(50, 5)),
      suspect(bell(50, 5), "room mode"),
    ]);
    expect(found[0]).toBeCloseTo(found[1], 12);
    expect(found[2]).toBeLessThan(found[0]);
  });
  test("minds what a suspect makes elsewhere in a part, but not in a sum", () => {
    const more = bell(50, 5).map((x, i) => x + bell(130, 5)[i]);
    const ratio = (part: "subs" | "sum") => {
      const { suspects: found } = weighed([suspect(bell(50, 5)), suspect(more)], part);
      return found[0] / found[1];
    };
    expect(ratio("subs")).toBeGreaterThan(2);
    expect(ratio("sum")).toBeGreaterThan(0.9);
    expect(ratio("sum")).toBeLessThan(1.2);
  });
  test("asks a suspect for half of a dip's depth, over what is there without it", () => {
    const made = (own: number, base: number) => {
      const depth = bell(50, own);
      return {
        kind: "ceiling" as const,
        prediction: rows.map(() => ({ dips: [], depth, base: bell(50, base) })),
      };
    };
    const { suspects: found } = weighed([made(5, 0), made(5, 5), made(3, 0)]);
    expect(found[0]).toBeGreaterThan(found[2]);
    expect(found[2]).toBeGreaterThan(found[1]);
  });
  test("believes that mains and subs oppose each other where they are found to, and not where not", () => {
    const found = (f: number) => {
      const near = [{ frequency_hz: f, depth_db: 5, width_octaves: 0.2 }];
      const crossover = {
        kind: "mains against subs" as const,
        prediction: rows.map(() => predicts(flatBase, near)),
      };
      return weighed([crossover, suspect(bell(50, 5))], "sum").suspects[0];
    };
    expect(found(50)).toBeGreaterThan(0.9);
    expect(found(51)).toBeGreaterThan(0.9);
    expect(found(60)).toBeLessThan(1e-6);
  });
});

describe("the wall behind a sub in the open, 1.65 m away, heard as its mirror image says", () => {
  const places = [4, 8, 12, 16, 20].map((x) => position(`row at ${x} m`, { x, y: 0, z: 0 }));
  const heard = places.map(({ point }) =>
    sumResponses(pointSource(at(0, 0, 0), point), pointSource(at(-3.3, 0, 0), point), { re: 0.8, im: 0 }),
  );
  const s = survey(
    places,
    places.map(() => silent()),
    heard,
  );
  const search = () => findDips(s, { parts: ["subs"], range: { subs: [25, 120] }, leastDepth: 2 });
  // What reflects 0.8 of the amplitude absorbs 0.36 of the energy.
  const drawn = (metres: number, absorbed = 0.36) =>
    venue({
      sources: [source(at(0, 0, 0))],
      audience: seats,
      boundaries: [wall("x", -metres, 200, { frequency: [1000], value: [absorbed] })],
    });
  const explain = (metres: number, absorbed?: number, options?: DipCauseOptions) =>
    explainDips(search(), drawn(metres, absorbed), s, options)[0];

  test("is found out, at every position, as deep as found", () => {
    const found = explain(1.65);
    const [cause] = found.causes;
    expect(found.verdict).toBe("wall behind the subs");
    expect(found.confidence_fraction).toBeGreaterThan(0.9);
    expect(cause).toMatchObject({ name: "x = -1.65", agreeing_count: 5 });
    expect(cause.frequencyError_octaves).toBeLessThan(0.02);
    expect(Math.abs(cause.depthError_db as number)).toBeLessThan(1);
    expect(cause.reason).toMatch(/^X = -1.65 predicts .* at 5 of 5 positions, off by \d %.*as deep as found/);
    expect(found.reasons[1]).toMatch(/^Very likely: x = -1.65 \((over )?\d+ %\)/);
    expect(cause.positions.map((p) => p.position)).toEqual(places.map((p) => p.id));
    for (const p of cause.positions) {
      expect(Math.abs(Math.log2((p.predicted_hz as number) / 52))).toBeLessThan(0.05);
      expect(Math.abs(Math.log2(p.found_hz / 52))).toBeLessThan(0.05);
      expect(p.found_db - (p.predicted_db as number)).toBeCloseTo(0, 0);
    }
    // A quarter and an eighth of the wavelength at 52 Hz and 343 m/s: 1.65 and 0.82 m.
    expect(found.advice.remedies[0]).toMatch(/1\.6 m; at 0\.8 m|1\.7 m; at 0\.8 m/);
  });
  test("drawn harder or softer predicts the dip deeper or shallower", () => {
    const deeper = explain(1.65, 0.02).causes[0];
    expect(deeper.depthError_db).toBeLessThan(-2);
    expect(deeper.reason).toContain("dB deeper than found");
    const shallower = explain(1.65, 0.75).causes[0];
    expect(shallower.depthError_db).toBeGreaterThan(2);
    expect(shallower.reason).toContain("dB shallower than found");
  });
  test("drawn 2 m away is off by a quarter of an octave: no dip near those found", () => {
    const cause = explain(2.1).causes.find((c) => c.kind === "wall behind the subs");
    expect(cause).toMatchObject({ agreeing_count: 0, frequencyError_octaves: null, depthError_db: null });
    expect(cause?.reason).toContain("predicts no dip near those found");
    expect(cause?.positions.every((p) => p.predicted_hz !== null)).toBe(true);
  });
  test("left out, it is none of these, with a caution about equalisation", () => {
    const found = explain(1.65, 0.36, { leaveOut: ["wall behind the subs"] });
    expect(found.causes.map((c) => c.kind)).toEqual(["none of these"]);
    expect(found.confidence_fraction).toBe(1);
    expect(found.advice.equalisation).toBe("not before the cause is known");
    expect(found.advice.remedies).toHaveLength(2);
    expect(found.reasons[1]).not.toContain("next is");
  });
});

describe("mains against subs", () => {
  const places = [4, 8, 12, 16].map((x) => position(`row at ${x} m`, { x, y: 0, z: 0 }));
  const f = logGrid(20, 1000, 400);
  const pass = (from: number, to: number, sign: number): Response => {
    const level = f.map((x) => sign / Math.sqrt(1 + (from > 0 ? (from / x) ** 8 : (x / to) ** 8)));
    return { frequency: f, re: level, im: new Float64Array(level.length) };
  };
  const v = venue({
    sources: [source(at(0, 0, 0)), source(at(0, 0, 3), { id: "mains", group: "mains" })],
    audience: seats,
  });
  const s = survey(
    places,
    places.map(() => pass(90, 0, 1)),
    places.map(() => pass(0, 90, -1)),
  );

  test("are the cause where they oppose each other, exactly where it was found", () => {
    const [found] = explainDips(findDips(s), v, s);
    expect(found.verdict).toBe("mains against subs");
    expect(found.causes[0].name).toContain("crossover");
    for (const p of found.causes[0].positions) expect(p.predicted_hz).toBe(p.found_hz);
    expect(found.causes[0].frequencyError_octaves).toBe(0);
    expect(found.advice.remedies[0]).toContain("delay and polarity");
    expect(found.advice.equalisation).toBe("can't help");
  });
  test("are not where they lack a phase, have another level, or are left out", () => {
    const sum = places.map((_, i) => sumResponses(s.mains[i], s.subs[i]));
    const verdict = (x: typeof s, options?: DipCauseOptions) =>
      explainDips(findDips(x, { parts: ["sum"] }), v, x, options)[0].verdict;
    const both = { ...s, both: sum };
    expect(verdict(both)).toBe("mains against subs");
    expect(verdict({ ...both, subs: s.subs.map((r) => ({ ...r, magnitudeOnly: true })) })).not.toBe(
      "mains against subs",
    );
    expect(verdict({ ...both, mains: s.mains.map((r) => ({ ...r, magnitudeOnly: true })) })).not.toBe(
      "mains against subs",
    );
    expect(verdict({ ...both, subs: s.subs.map((r) => ({ ...r, re: r.re.map((x) => x / 10) })) })).not.toBe(
      "mains against subs",
    );
    expect(verdict({ ...both, subs: s.subs.map((r) => ({ ...r, re: r.im, im: r.re })) })).not.toBe(
      "mains against subs",
    );
    expect(verdict(s, { leaveOut: ["mains against subs"] })).not.toBe("mains against subs");
  });
});

test("flat loudspeakers in the open have no dips to explain", () => {
  const places = [position("a"), position("b", { x: 20 })];
  const s = survey(places, [flat(0), flat(0)], [flat(0), flat(0)]);
  expect(explainDips(findDips(s), venue({ sources: [source(at(0, 0, 0))] }), s)).toEqual([]);
});
