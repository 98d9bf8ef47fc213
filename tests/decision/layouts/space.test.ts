/** Limits as lists to choose from, frequencies and stage, figures by hand, and what is said of them. */
import { describe, expect, it } from "vitest";
import { thirdOctaves } from "../../../lib/acoustics/bands/bands";
import { compareLayouts } from "../../../lib/decision/layouts/compare";
import { layoutReasons } from "../../../lib/decision/layouts/compare-reasons";
import type { LayoutFigures } from "../../../lib/decision/layouts/compare-result";
import { layoutFrequencies, stagePositions } from "../../../lib/decision/layouts/context";
import { crossed, type Gene, keyOf, mutated } from "../../../lib/decision/layouts/genes";
import { type LayoutLimits, layoutSpace, usualLimits } from "../../../lib/decision/layouts/limits";
import { searchLayouts } from "../../../lib/decision/layouts/search";
import { searchReasons, standing } from "../../../lib/decision/layouts/search-reasons";
import type {
  ChosenCabinet,
  LayoutChoice,
  LayoutSearchResult,
} from "../../../lib/decision/layouts/search-result";
import { lowFrequencies } from "../../../lib/decision/layouts/transfer";
import { uniform } from "../../../lib/numeric/random";
import type { Position } from "../../../lib/survey/survey";
import { cabinet, openAir, source } from "./venue";

const at = (x: number, y: number, z = 0) => ({ x, y, z });
const line = (from: number, to: number, spacing?: number) =>
  ({ name: "line", from: at(1, from), to: at(1, to), ...(spacing ? { spacing } : {}) }) as const;
const placesOf = (limits: LayoutLimits) => layoutSpace(openAir, limits).units.map((u) => u.sources[0].point);
const ys = (limits: LayoutLimits) => placesOf(limits).map((p) => p.y);

describe("where cabinets may stand", () => {
  it("is a point, a line with both ends, or an area, a metre apart unless told", () => {
    expect(placesOf({ positions: [{ name: "p", point: at(2, 3, 0.5) }] })).toEqual([at(2, 3, 0.5)]);
    expect(ys({ positions: [line(-1, 1)] })).toEqual([-1, 0, 1]);
    // As near to the spacing as whole steps allow, never closer.
    expect(ys({ positions: [line(0, 3, 2)] })).toEqual([0, 3]);
    expect(ys({ positions: [line(0, 4, 2)] })).toEqual([0, 2, 4]);
    // A line too short for a step has its middle.
    expect(ys({ positions: [line(1, 2, 3)] })).toEqual([1.5]);
    const corners = [at(0, 2), at(0, -2), at(-3, -2), at(-3, 2)] as const;
    expect(placesOf({ positions: [{ name: "area", corners, spacing: 2 }] })).toEqual([
      at(0, 2),
      at(0, 0),
      at(0, -2),
      at(-3, 2),
      at(-3, 0),
      at(-3, -2),
    ]);
  });
  it("counts a place of two zones once, by the first, and knows what hangs", () => {
    const zones = [
      { ...line(-1, 1), name: "a" },
      { name: "b", point: at(1, 0), flown: true },
      { name: "c", point: at(1, 9), flown: true },
    ];
    const { units } = layoutSpace(openAir, { positions: zones });
    expect(units.map((u) => [u.zone, u.flown])).toEqual([
      ["a", false],
      ["a", false],
      ["a", false],
      ["c", true],
    ]);
  });
  it("with mirror images is one side, house left, and whatever has no twin; not so near the middle that two overlap", () => {
    const pairs = (limits: LayoutLimits) =>
      layoutSpace(openAir, limits).units.map((u) => u.sources.map((s) => s.point.y));
    expect(pairs({ positions: [line(-2, 2)], mirror: true })).toEqual([[0], [1, -1], [2, -2]]);
    expect(pairs({ positions: [{ name: "right", point: at(1, -3) }], mirror: true })).toEqual([[-3, 3]]);
    // A cabinet is 1 m wide.
    expect(pairs({ positions: [{ name: "close", point: at(1, 0.5) }, line(2, 2)], mirror: true })).toEqual([
      [0.5, -0.5],
      [2, -2],
    ]);
    expect(pairs({ positions: [{ name: "close", point: at(1, 0.4) }, line(2, 2)], mirror: true })).toEqual([
      [2, -2],
    ]);
    const turned = { name: "out", cabinet, axis: at(0, 1), up: at(0, 0, 1) };
    const [one, image] = layoutSpace(openAir, { positions: [line(2, 2)], mirror: true, kinds: [turned] })
      .units[0].sources;
    expect([one.axis.y, image.axis.y]).toEqual([1, -1]);
  });
  it("holds no two cabinets that overlap, whichever way they are turned: 1 m wide, 0.8 m deep, 0.6 m high", () => {
    const clash = (b: ReturnType<typeof at>, kinds?: LayoutLimits["kinds"]) =>
      layoutSpace(openAir, {
        positions: [
          { name: "a", point: at(1, 2) },
          { name: "b", point: b },
        ],
        ...(kinds ? { kinds } : {}),
      }).clash;
    expect([...clash(at(1, 2.9))]).toEqual([1, 1, 1, 1]);
    expect([...clash(at(1, 3))]).toEqual([1, 0, 0, 1]);
    expect([...clash(at(1.7, 2))]).toEqual([1, 1, 1, 1]);
    expect([...clash(at(1.8, 2))]).toEqual([1, 0, 0, 1]);
    expect([...clash(at(1, 2, 0.5))]).toEqual([1, 1, 1, 1]);
    expect([...clash(at(1, 2, 0.6))]).toEqual([1, 0, 0, 1]);
    // Turned sideways it is a metre deep, for all one knows.
    expect([...clash(at(1.9, 2), [{ name: "side", cabinet, axis: at(0, 1) }])]).toEqual([1, 1, 1, 1]);
    const images = layoutSpace(openAir, {
      positions: [
        { name: "a", point: at(1, 3) },
        { name: "b", point: at(1, -3.5) },
      ],
      mirror: true,
    });
    expect([...images.clash]).toEqual([1, 1, 1, 1]);
  });
  it("knows the four nearest places", () => {
    const { neighbours } = layoutSpace(openAir, { positions: [line(-3, 3)] });
    expect(neighbours[0]).toEqual([1, 2, 3, 4]);
    expect([...neighbours[3]].sort()).toEqual([1, 2, 4, 5]);
    expect(neighbours.every((n, i) => !n.includes(i))).toBe(true);
  });
});

describe("what they may be set to", () => {
  it("is every step from end to end", () => {
    const space = layoutSpace(openAir, { positions: [line(0, 0)] });
    expect(space.delays).toHaveLength(25);
    expect(space.delays[24]).toBeCloseTo(0.012, 12);
    expect(space.gains).toEqual([-6, -3, 0]);
    expect(space.polarities).toEqual([1, -1]);
    expect([space.count, space.headroom]).toEqual([[1, 8], 6]);
    const other = layoutSpace(openAir, {
      positions: [line(0, 0)],
      delays: [0.001, 0.002],
      delayStep: 0.0004,
      gains: [0, 0],
      inverted: false,
    });
    expect(other.delays.map((d) => Number((1000 * d).toFixed(6)))).toEqual([1, 1.4, 1.8]);
    expect(other.gains).toEqual([0]);
    expect(other.polarities).toEqual([1]);
  });
  it("takes cabinet and filters of the venue's sub where none are given", () => {
    const filters = [{ kind: "butterworth", type: "highpass", order: 2, frequency: 30 }] as const;
    const own = {
      ...openAir,
      sources: openAir.sources.map((s) => (s.group === "subs" ? { ...s, filters, axis: at(0, 1) } : s)),
    };
    const [one] = layoutSpace(own, { positions: [line(2, 2)] }).units[0].sources;
    expect([one.filters, one.axis, one.gain, one.delay, one.polarity]).toEqual([filters, at(0, 1), 0, 0, 1]);
    const none = { ...openAir, sources: openAir.sources.filter((s) => s.group !== "subs") };
    expect(() => layoutSpace(none, { positions: [line(0, 0)] })).toThrow(/kinds is empty/);
    const kind = { name: "omni", cabinet };
    expect(layoutSpace(none, { positions: [line(2, 2)], kinds: [kind] }).units[0].sources[0]).toMatchObject({
      axis: at(1, 0),
      up: at(0, 0, 1),
      filters: [],
    });
  });
  it.each([
    [{ positions: [line(0, 1, 0)].map((z) => ({ ...z, spacing: 0 })) }, /spacing is 0/],
    [{ delays: [0, 1], delayStep: 0.00005 }, /20001 steps/],
    [{ delays: [0, Number.NaN] }, /delays is 0 to NaN/],
    [{ headroom: 70 }, /headroom/],
    [{ count: [0, 3] }, /count/],
  ])("that makes no sense is refused: %j", (wrong, message) => {
    expect(() => layoutSpace(openAir, { positions: [line(0, 1)], ...wrong } as LayoutLimits)).toThrow(
      message,
    );
  });
  it("starts from the strip where the subs stand, as wide as the audience or the subs, at most thirty places", () => {
    const [strip] = usualLimits(openAir).positions as [ReturnType<typeof line>];
    // The first row reaches 6 m to either side; a cabinet is 1 m wide, a thirtieth of 12 m is less.
    expect(strip).toMatchObject({ from: at(1, -6), to: at(1, 6), spacing: 1 });
    expect(usualLimits(openAir)).toMatchObject({ count: [2, 8], mirror: true });
    const wide = {
      ...openAir,
      sources: [...openAir.sources, source("outer", "subs", at(1, 9)), source("hung", "subs", at(1, 40, 5))],
    };
    expect((usualLimits(wide).positions[0] as typeof strip).to.y).toBe(9);
    const vast = { ...openAir, sources: [...openAir.sources, source("outer", "subs", at(1, 30))] };
    expect((usualLimits(vast).positions[0] as typeof strip).spacing).toBe(2);
    const hung = { ...openAir, sources: [source("hung", "subs", at(1, 0, 5))] };
    expect(() => usualLimits(hung)).toThrow(/no subs on the floor/);
  });
});

describe("a candidate's genes", () => {
  const space = layoutSpace(openAir, { positions: [line(-4, 4, 2)], count: [1, 3] });
  const gene = (position: number, gain = 2, delay = 0): Gene => ({
    position,
    kind: 0,
    delay,
    gain,
    polarity: 0,
  });
  it("come from either parent at each place, or not at all", () => {
    const a = [gene(0), gene(2, 2, 5)];
    const b = [gene(2, 1, 7), gene(4)];
    for (let seed = 1; seed <= 40; seed++) {
      for (const g of crossed(a, b, space, uniform(seed))) {
        const from = [...a, ...b].filter((x) => x.position === g.position);
        const known = from.some((x) => x.delay === g.delay && x.polarity === g.polarity);
        // A child of nothing is made anew: a cabinet as plain as can be.
        expect(known || (g.delay === 0 && g.polarity === 0)).toBe(true);
      }
    }
  });
  it("stand in the order of places, with the loudest at full, whatever changed", () => {
    const seen = new Set<string>();
    for (let seed = 1; seed <= 200; seed++) {
      const genes = mutated([gene(0), gene(2)], space, uniform(seed));
      seen.add(keyOf(genes));
      expect(genes.map((g) => g.position)).toEqual(genes.map((g) => g.position).sort((x, y) => x - y));
      expect(Math.max(...genes.map((g) => g.gain))).toBe(2);
      for (const g of genes) {
        expect(g.delay).toBeGreaterThanOrEqual(0);
        expect(g.delay).toBeLessThan(space.delays.length);
        expect(g.gain).toBeGreaterThanOrEqual(0);
        expect(space.polarities[g.polarity]).toBeDefined();
      }
    }
    // Moved, added, taken away, later, softer, turned over: a change of any kind.
    const all = [...seen].map((key) => key.split(" ").map((g) => g.split(",").map(Number)));
    expect(all.some((l) => l.length === 1)).toBe(true);
    expect(all.some((l) => l.length === 3)).toBe(true);
    expect(all.some((l) => l.length === 2 && l.some((g) => g[0] !== 0 && g[0] !== 2))).toBe(true);
    for (const [column, usual] of [
      [2, 0],
      [3, 2],
      [4, 0],
    ])
      expect(all.some((l) => l.some((g) => g[column] !== usual))).toBe(true);
  });
});

describe("frequencies and stage", () => {
  it("are four to the third in the low and the mid band, edges included, one to the third between", () => {
    const f = layoutFrequencies();
    // 28.18 to 89.13 Hz in 20 steps, 89.13 to 446.7 Hz in 7, to 2239 Hz in 28.
    expect(f).toHaveLength(20 + 7 + 28 + 1);
    expect(f[0]).toBeCloseTo(28.18, 2);
    expect(f[20]).toBeCloseTo(89.13, 2);
    expect(f[27]).toBeCloseTo(446.7, 1);
    expect(f[55]).toBeCloseTo(2238.7, 1);
    expect(f[4] / f[0]).toBeCloseTo(10 ** 0.1, 9);
    expect([...lowFrequencies(thirdOctaves(31.5, 80))].map((x) => Number(x.toFixed(6)))).toEqual(
      [...f.slice(0, 21)].map((x) => Number(x.toFixed(6))),
    );
    // One third each: that at 63 Hz ends where that at 80 Hz begins.
    const next = layoutFrequencies({ lowBand: [63, 63], midBand: [80, 80] });
    expect(next).toHaveLength(9);
    for (let i = 1; i < next.length; i++) expect(next[i]).toBeGreaterThan(next[i - 1]);
  });
  it("are 24 places in the middles of six by four fields, at ears' height; none without a stage", () => {
    const places = stagePositions(openAir);
    expect(places).toHaveLength(24);
    expect(places[0].point).toEqual({ x: -1.5, y: expect.closeTo(4 - 8 / 12, 9), z: 2.6 });
    expect(places[23].point).toEqual({ x: -4.5, y: expect.closeTo(-4 + 8 / 12, 9), z: 2.6 });
    expect([places[0].id, places[5].id, places[23].id]).toEqual(["stage 1-1", "stage 1-6", "stage 4-6"]);
    const { stage: _, ...bare } = openAir;
    expect(stagePositions(bare)).toEqual([]);
  });
});

describe("figures of rows of seats", () => {
  const seat = (id: string, x: number, y: number, people = 1): Position => ({
    id,
    point: at(x, y),
    area: "green",
    people,
  });
  it("from side to side are means over rows by their people, of rows with two or more", () => {
    // From (10, 8): 5 and 11 m are 6.85 dB apart; at x = 14 from 6.4 and 11.7 m: 5.24 dB, twice the people.
    const positions = [
      seat("a", 10, 3),
      seat("b", 10, -3),
      seat("c", 14, 3, 2),
      seat("d", 14, -3, 2),
      seat("e", 18, 0),
      seat("f", 10, -50, 0),
    ];
    const layouts = { one: { sources: [source("s", "subs", at(10, 8))] } };
    const [found] = compareLayouts(openAir, layouts, { positions }).layouts;
    const second = 10 * Math.log10((16 + 121) / (16 + 25));
    expect(found.subsSideToSide_db).toBeCloseTo((6.848 + 2 * second) / 3, 2);
    expect(found.cabinets).toBe(1);
  });
});

describe("a comparison in words", () => {
  const figures = (name: string, more: Partial<LayoutFigures> = {}): LayoutFigures => ({
    name,
    cabinets: 1,
    offset_db: 0,
    limited: false,
    deviation_db: 2,
    audience: { within3dB_fraction: 0.8, frontToBack_db: 3 } as LayoutFigures["audience"],
    sideToSide_db: 1,
    thirdOctaveSpread_db: 1,
    subsFrontToBack_db: 5,
    subsSideToSide_db: 1,
    frontRow_db: 4,
    frontRowLevel_db: 100,
    spill_db: -5,
    level_db: 95,
    loudest_db: 0,
    tiedWith: [],
    beatenBy: [],
    warnings: [],
    ...more,
  });
  const words = (...layouts: LayoutFigures[]) =>
    layoutReasons({ venue: "v", lowBand_hz: [31.5, 80], targetTilt_db: 6, seats: 9, layouts }, []).join("\n");
  it("names the best, what is as good within 0.3 dB, and the last", () => {
    const told = words(figures("a"), figures("b", { deviation_db: 2.2 }), figures("c", { deviation_db: 4 }));
    expect(told).toMatch(/Most even: "a", .*, in a tie with "?b"?; last is "c"/);
    expect(told).toContain("Least on stage: a tie");
    expect(words(figures("a"), figures("b", { deviation_db: 2.4 }))).not.toMatch(/Most even.*tie with/);
    expect(words(figures("a", { level_db: 90 }), figures("b"))).toMatch(/Loudest: "b".*last is "a"/);
    expect(words(figures("a", { frontRow_db: 6 }), figures("b"))).toMatch(/Least at the front row: "b"/);
    expect(words(figures("a"))).toMatch(/Most even: "a", [^;]*\.$/m);
  });
  it("says who is beaten, by one or by more, who is held back, and each warning", () => {
    expect(words(figures("a"), figures("b", { beatenBy: ["a"] }))).toMatch(
      /Nothing speaks for "b".* is at least as good/,
    );
    expect(words(figures("a"), figures("c"), figures("b", { beatenBy: ["a", "c"] }))).toMatch(
      /are at least as good/,
    );
    expect(words(figures("a"))).not.toContain("Nothing speaks");
    expect(words(figures("a", { limited: true }))).toContain('"a" is held back');
    expect(words(figures("a", { warnings: ["too close"] }))).toContain('"a": too close.');
  });
  it("leaves out what is not known: spill without a stage, sides without rows", () => {
    expect(words(figures("a"), figures("b", { spill_db: null }))).toContain("no stage");
    expect(words(figures("a", { sideToSide_db: null }))).not.toContain("side to side");
    expect(words(figures("a"))).toContain("side to side 1.0 dB");
  });
});

describe("a search of a few places in the open", () => {
  const seat = (x: number, y: number): Position => ({
    id: `${x} ${y}`,
    point: at(x, y, 1.2),
    area: "green",
    people: 1,
  });
  const positions = [seat(5, 1), seat(9, -2), seat(13, 0)];
  const limits: LayoutLimits = {
    positions: [line(-4, 4, 4)],
    count: [1, 2],
    delays: [0, 0.004],
    delayStep: 0.004,
  };

  it("gives layouts by letters, the most even first, each as it can be put up", () => {
    const { choices, found, tried } = searchLayouts(openAir, limits, {
      positions,
      candidates: 80,
      generation: 20,
      keep: 4,
    });
    expect(tried).toBe(80);
    expect(choices.length).toBe(Math.min(4, found));
    expect(choices.map((c) => c.name)).toEqual(["A", "B", "C", "D"].slice(0, choices.length));
    const evenness = choices.map((c) => c.deviation_db);
    expect(evenness).toEqual([...evenness].sort((a, b) => a - b));
    for (const { name, cabinets, layout } of choices) {
      expect(layout.sources.map((s) => s.id)).toEqual(cabinets.map((_, i) => `${name} ${i + 1}`));
      expect(layout.warnings).toEqual([]);
      layout.sources.forEach((s, i) => {
        expect(cabinets[i]).toMatchObject({
          zone: "line",
          flown: false,
          kind: "sub",
          point: s.point,
          gain_db: s.gain,
          polarity: s.polarity,
        });
        expect(cabinets[i].delay_ms).toBeCloseTo(1000 * s.delay, 9);
      });
    }
  });
  it.each([
    [{ candidates: 0 }, /candidates is 0/],
    [{ generation: 3 }, /generation is 3/],
    [{ keep: 3 }, /keep is 3/],
    [{ candidates: 1.5 }, /candidates is 1.5/],
    [{ aims: [] }, /aims is empty/],
    [{ aims: ["bass"] }, /aims names "bass", expected "evenness"/],
  ])("refuses %j", (wrong, message) => {
    expect(() => searchLayouts(openAir, limits, { positions, ...wrong } as never)).toThrow(message);
  });
  it("judges no spill where there is no stage, and refuses to aim at it", () => {
    const { stage: _, ...bare } = openAir;
    const found = searchLayouts(bare, limits, { positions, candidates: 10, generation: 5 });
    expect(found.aims).toEqual(["evenness", "front row"]);
    for (const c of found.choices) expect(c.spill_db).toBeNull();
    expect(() => searchLayouts(bare, limits, { positions, aims: ["stage"] })).toThrow(/has none/);
    expect(searchLayouts(openAir, limits, { positions, candidates: 10, generation: 5 }).aims).toContain(
      "stage",
    );
  });
});

describe("a search in words", () => {
  const chosen = (more: Partial<ChosenCabinet> = {}): ChosenCabinet => ({
    zone: "floor",
    flown: false,
    kind: "sub",
    point: at(1, -2.5, 0.3),
    gain_db: 0,
    delay_ms: 0,
    polarity: 1,
    ...more,
  });
  const choice = (name: string, more: Partial<LayoutChoice> = {}): LayoutChoice =>
    ({
      name,
      cabinets: [chosen()],
      deviation_db: 2,
      frontRow_db: 3,
      spill_db: -4,
      level_db: 90,
      audience: { within3dB_fraction: 0.7 },
      ...more,
    }) as LayoutChoice;
  const words = (choices: LayoutChoice[], more: Partial<LayoutSearchResult> = {}, within = true) =>
    searchReasons(
      {
        venue: "v",
        aims: ["evenness", "stage"],
        seed: 1,
        seats: 9,
        tried: 50,
        finished: true,
        found: choices.length,
        choices,
        ...more,
      },
      { within, headroom: 6 },
    ).join("\n");

  it("says where each cabinet stands and how it is set", () => {
    expect(standing([chosen()])).toBe("One cabinet (x, y, z): at 1.0, −2.5, 0.3 m.");
    expect(standing([chosen({ flown: true }), chosen({ gain_db: -3, delay_ms: 4.5, polarity: -1 })])).toBe(
      "2 cabinets (x, y, z): hanging at 1.0, −2.5, 0.3 m; at 1.0, −2.5, 0.3 m, −3.0 dB, 4.5 ms later, polarity inverted.",
    );
  });
  it("names the best in each aim, and how many were found and are shown", () => {
    const told = words([choice("A"), choice("B", { spill_db: -9, deviation_db: 3 })], { found: 5 });
    expect(told).toMatch(/Most even is A: 2\.0 dB/);
    expect(told).toMatch(/Least on stage is B: 3\.0 dB/);
    expect(told).not.toContain("Loudest is");
    expect(told).toContain("5 are not beaten");
    expect(told).toContain("2 of them are shown");
    expect(words([choice("A")])).toContain(
      "1 is not beaten by another in evenness and spill on stage all at once.",
    );
    expect(words([choice("A")], { aims: ["level"] })).toMatch(/in level all at once/);
    expect(words([choice("A"), choice("B", { level_db: 95 })], { aims: ["level"] })).toContain(
      "Loudest is B",
    );
    expect(words([choice("A"), choice("B", { frontRow_db: 1 })], { aims: ["front row"] })).toContain(
      "front row is B",
    );
    expect(words([choice("A", { spill_db: null })])).not.toContain("of the subs on stage");
  });
  it("says when it was stopped, found nothing, or keeps no headroom, and what hangs", () => {
    expect(words([choice("A")], { finished: false })).toContain("stopped early");
    expect(words([], { found: 0 })).toMatch(/none are not beaten[^\n]*$/);
    expect(words([choice("A")], {}, false)).toContain("at most 6 dB more");
    expect(words([choice("A")])).not.toContain("None of them reaches");
    expect(words([choice("A")])).not.toContain("rigging");
    expect(words([choice("A", { cabinets: [chosen(), chosen({ flown: true })] })])).toContain(
      "qualified in rigging",
    );
  });
});
