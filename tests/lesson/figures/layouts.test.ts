import { describe, expect, it } from "vitest";
import { layoutFigure, layoutsFigure } from "../../../lib/lesson/figures/layouts";
import { applyTheme } from "../../../lib/lesson/figures/parts/apply-theme";
import { pack } from "../../../lib/lesson/output/pack";
import { hall } from "../hall";

const judged = [
  { name: "pair", deviation_db: 2.2, frontRow_db: 3.4, spill_db: -0.8 },
  { name: "gradient", deviation_db: 3.2, frontRow_db: 4.6, spill_db: -6.3 },
  { name: "block", deviation_db: 2.8, frontRow_db: 3.1, spill_db: 0.1 },
];
const cabinets = [
  { flown: false, point: { x: 0.5, y: 3, z: 0.3 }, gain_db: 0, delay_ms: 0, polarity: 1 as const },
  { flown: true, point: { x: 1.5, y: -2, z: 5 }, gain_db: -3, delay_ms: 4, polarity: -1 as const },
];

describe("layouts against each other", () => {
  it("stand at their deviation across and their spill upward, with their names", () => {
    const [{ x, y, text }] = layoutsFigure(judged).data;
    expect(x).toEqual([2.2, 3.2, 2.8]);
    expect(y).toEqual([-0.8, -6.3, 0.1]);
    expect(text).toEqual(["pair", "gradient", "block"]);
  });

  it("stand at their front row upward where there is no stage", () => {
    const { data, layout } = layoutsFigure(judged.map((l) => ({ ...l, spill_db: null })));
    expect(data[0].y).toEqual([3.4, 4.6, 3.1]);
    expect(JSON.stringify(layout.yaxis)).toMatch(/front row.*\(dB\)/);
  });

  it("are told in words: the best of each, with its figure", () => {
    const { alt } = layoutsFigure(judged);
    expect(alt).toMatch(/Most even: pair, 2\.2 dB/);
    expect(alt).toMatch(/Least on stage: gradient, −6\.3 dB/);
    expect(alt).toMatch(/Least at the front row: block, \+3\.1 dB/);
  });

  it("need at least one", () => {
    expect(() => layoutsFigure([])).toThrow(/no layout to draw/);
  });
});

describe("a layout where it stands", () => {
  it("shows the cabinets as driven filled and those inverted open, from above with x downward", () => {
    const subs = layoutFigure(hall, cabinets).data.slice(-2);
    expect(subs.map((t) => [t.x, t.y])).toEqual([
      [[3], [0.5]],
      [[-2], [1.5]],
    ]);
    expect(subs.map((t) => (t.marker as { symbol: string }).symbol)).toEqual(["square", "square-open"]);
  });

  it("leaves out the venue's own subs and says each setting in words", () => {
    const { data, alt } = layoutFigure(hall, cabinets);
    expect(JSON.stringify(data)).not.toMatch(/sub left/);
    expect(alt).toMatch(/at 0\.5, 3\.0, 0\.3 m .*hanging at 1\.5, −2\.0, 5\.0 m −3\.0 dB, 4\.0 ms, inverted/);
  });
});

describe.each([
  ["layouts against each other", () => layoutsFigure(judged)],
  ["one layout from above", () => layoutFigure(hall, cabinets)],
  ["one layout from the side", () => layoutFigure(hall, cabinets, { view: "section" })],
])("%s", (_, make) => {
  it("keeps every mark within its axes and finds its colours in both styles", () => {
    const figure = make();
    expect(() => pack(figure)).not.toThrow();
    for (const theme of ["light", "dark"] as const) {
      expect(JSON.stringify(applyTheme(figure, theme, 800).data)).not.toMatch(/"@[^"]*"/);
    }
    for (const trace of figure.data) {
      for (const letter of ["x", "y"] as const) {
        const { range } = figure.layout[`${letter}axis`] as { range: [number, number] };
        for (const value of trace[letter] as number[]) {
          expect(value).toBeGreaterThanOrEqual(Math.min(...range));
          expect(value).toBeLessThanOrEqual(Math.max(...range));
        }
      }
    }
  });
});
