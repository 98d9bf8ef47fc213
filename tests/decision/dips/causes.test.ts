/**
 * Causes of dips whose truth is a closed form: sources in the open and their mirror images. In rooms, and with drawings that are wrong,
 * `scripts/causes-truth.ts` judges (tests/README.md, Causes).
 */
import { describe, expect, test } from "vitest";
import { type DipCauseOptions, explainDips } from "../../../lib/decision/dips/causes";
import { findDips } from "../../../lib/decision/dips/dips";
import { acousticCentre } from "../../../lib/venue/centre";
import type { Boundary, Source, Venue } from "../../../lib/venue/venue";
import { box, HARD, source, venue, wall } from "../../field/venues";
import { frequency, pointSource, position, silent, survey } from "../synthetic";

const SPEED = 343.2;
const at = (x: number, y: number, z: number) => ({ x, y, z });
const ground = wall("z", 0);
const behind: Boundary = { ...wall("x", -1.3), name: "container wall" };
const sub = (y: number): Source => source(at(0.6, y, 0.3), { id: `sub ${y}` });
const places = [at(6, 1, 1.6), at(8, -2, 1.6), at(11, 2.5, 1.6), at(14, -1, 1.6), at(17, 3, 1.6)];
const open = (sources: readonly Source[], boundaries: readonly Boundary[]): Venue =>
  venue({
    sources,
    boundaries,
    audience: [
      {
        name: "field",
        corners: [at(4, 5, 0), at(4, -5, 0), at(18, -5, 0), at(18, 5, 0)],
        earHeight: 1.6,
        density: 1,
      },
    ],
  });

/** Subs and their images in the ground, and in a wall at x where there is one. */
function heard(sources: readonly Source[], x?: number) {
  const positions = places.map((p, i) => position(`p${i}`, p));
  const centres = sources.map(acousticCentre).flatMap((c) => [c, { ...c, z: -c.z }]);
  const all = x === undefined ? centres : centres.flatMap((c) => [c, { ...c, x: 2 * x - c.x }]);
  const subs = places.map((p) => {
    const each = all.map((from) => pointSource(from, p, 0, SPEED));
    const sum = (of: "re" | "im") => frequency.map((_, f) => each.reduce((s, r) => s + r[of][f], 0));
    return { frequency, re: sum("re"), im: sum("im") };
  });
  return survey(
    positions,
    positions.map(() => silent()),
    subs,
  );
}

function explain(drawn: Venue, real: ReturnType<typeof heard>, options?: DipCauseOptions, to = 90) {
  const search = findDips(real, { parts: ["subs"], range: { subs: [28, to] } });
  return { search, explained: explainDips(search, drawn, real, options) };
}

describe("in the open", () => {
  test("a wall behind the subs is named: it fills the dip, nothing else does, and an equaliser can't", () => {
    const { explained } = explain(open([sub(0)], [ground, behind]), heard([sub(0)], -1.3));
    const [first] = explained;
    // 86 over the metres from the wall to the acoustic centre, common practice: c/4d.
    const d = acousticCentre(sub(0)).x + 1.3;
    expect(Math.abs(Math.log2(first.group.frequency_hz / (SPEED / (4 * d))))).toBeLessThan(0.1);
    expect(first).toMatchObject({ verdict: "one element", named: ["container wall"] });
    expect(first.causes[0]).toMatchObject({ kind: "wall behind the subs", name: "container wall" });
    expect(first.causes[0].filled_fraction).toBeGreaterThan(0.9);
    expect(first.confidence_fraction).toBeGreaterThan(0.85);
    expect(first.advice.equalisation).toBe("can't help");
    expect(first.advice.remedies.join(" ")).toMatch(/nearer to the wall/);
    expect(first.reasons.join(" ")).toMatch(/Likely: container wall|Very likely: container wall/);
    for (const { predicted_hz, found_hz, left_db } of first.causes[0].positions) {
      expect(Math.abs(Math.log2(predicted_hz / found_hz))).toBeLessThan(0.1);
      expect(left_db).toBeLessThan(2);
    }
  });

  test("of a wall that nobody drew the model knows no dip: nothing is named, and the chance of it is higher", () => {
    const real = heard([sub(0)], -1.3);
    const [first] = explain(open([sub(0)], [ground]), real).explained;
    expect(first.named).toEqual([]);
    expect(["not in the file", "undecided"]).toContain(first.verdict);
    expect(first.advice.equalisation).toBe("not before the cause is known");
    const [left] = explain(open([sub(0)], [ground, behind]), real, {
      leaveOut: ["wall behind the subs"],
    }).explained;
    expect(left.causes.map((c) => c.kind)).not.toContain("wall behind the subs");
    expect(left.named).toEqual([]);
  });

  test("two subs that take each other away are named as such", () => {
    const pair = [sub(-4), sub(4)];
    const { explained } = explain(open(pair, [ground]), heard(pair), {}, 160);
    for (const { verdict, causes, group } of explained.filter((e) => e.group.dips.length > 1)) {
      expect([verdict, causes[0].kind, group.part]).toEqual(["one element", "other source", "subs"]);
    }
    expect(explained.some((e) => e.group.dips.length > 1)).toBe(true);
  });
});

test("what is said is plain data in the order of the groups, named elements first, chances from 0 to 1", () => {
  const { search, explained } = explain(open([sub(0)], [ground, behind]), heard([sub(0)], -1.3));
  expect(explained.map((e) => e.group)).toEqual(search.groups);
  for (const { causes, named, confidence_fraction } of explained) {
    expect(causes.slice(0, named.length).map((c) => c.name)).toEqual(named);
    for (const chance of [confidence_fraction, ...causes.map((c) => c.confidence_fraction)]) {
      expect(chance).toBeGreaterThanOrEqual(0);
      expect(chance).toBeLessThanOrEqual(1);
    }
  }
  expect(JSON.parse(JSON.stringify(explained))).toEqual(explained);
});

test("a room without waves, and a dip above what waves carry, are left undecided", () => {
  // A room of which only the floor is drawn: too little for waves.
  const bare: Venue = {
    ...open([sub(0)], [ground, behind]),
    room: { volume: 3000, surface: 1400, reverberationTime: { frequency: [100], value: [1] } },
  };
  const [first] = explain(bare, heard([sub(0)], -1.3)).explained;
  expect(first).toMatchObject({ verdict: "undecided", confidence_fraction: 0, causes: [], named: [] });
  expect(first.reasons.join(" ")).toContain("not computed by waves");
  const walls = box([20, 14, 7], { west: 0.2, east: 0.2, south: 0.2, north: 0.2, floor: 0.1, ceiling: 0.2 });
  const room: Venue = { ...bare, boundaries: walls };
  const notch = heard([sub(0)], 0.1);
  const search = findDips(notch, { parts: ["subs"], range: { subs: [160, 300] } });
  const [above] = explainDips(search, room, notch);
  expect(above).toMatchObject({ verdict: "undecided", causes: [] });
  expect(above.reasons.join(" ")).toContain("above 141 Hz");
});

test("a search of another survey is refused", () => {
  const real = heard([sub(0)], -1.3);
  const other = { ...real, positions: real.positions.map((p) => ({ ...p, id: `x ${p.id}` })) };
  expect(() => explainDips(findDips(real), open([sub(0)], [ground]), other)).toThrow(/not of survey/);
});

test("hard ground under subs that stand on it is no suspect of theirs", () => {
  const { explained } = explain(
    open([sub(0)], [{ ...ground, absorption: HARD }, behind]),
    heard([sub(0)], -1.3),
  );
  expect(explained.flatMap((e) => e.causes.map((c) => c.kind))).not.toContain("floor");
});
