import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { balance } from "../../../lib/decision/balance/balance";
import { spread } from "../../../lib/decision/balance/spread";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { rankReferences } from "../../../lib/decision/reference/rank";
import { balanceOverDistanceFigure } from "../../../lib/lesson/figures/balance-over-distance";
import { comparisonFigure } from "../../../lib/lesson/figures/comparison";
import { impulseFigure } from "../../../lib/lesson/figures/impulse";
import { levelOverDistanceFigure } from "../../../lib/lesson/figures/level-over-distance";
import { linesFigure } from "../../../lib/lesson/figures/lines";
import { offsetFigure } from "../../../lib/lesson/figures/offset";
import { applyTheme } from "../../../lib/lesson/figures/parts/apply-theme";
import type { Figure } from "../../../lib/lesson/figures/parts/figure";
import { referenceFigure } from "../../../lib/lesson/figures/reference";
import { responsesFigure } from "../../../lib/lesson/figures/responses";
import { seatsFigure } from "../../../lib/lesson/figures/seats";
import { spreadFigure } from "../../../lib/lesson/figures/spread";
import { venueFigure } from "../../../lib/lesson/figures/venue";
import { pack } from "../../../lib/lesson/output/pack";
import type { Survey } from "../../../lib/survey/survey";
import { delayedUnit, hall, hallSeats, hallSurvey } from "../hall";

const frequency = logGrid(20, 16000, 120);
const audience = hallSurvey(hallSeats(2), frequency);
const zone = hallSurvey(
  [16, 17, 18].map((x) => ({
    id: `mix ${x}`,
    point: { x, y: 0.5, z: 1.6 },
    area: "front of house",
    people: 0,
  })),
  frequency,
);
const few = hallSurvey(hallSeats(8), frequency);
const measured: Survey = {
  ...few,
  quantity: "ratio",
  subs: few.subs.map((r) => ({
    ...r,
    coherence: frequency.map(() => 0.9),
    averages: frequency.map(() => 16),
  })),
};

const figures: { readonly [name: string]: () => Figure } = {
  "responses of a model": () => responsesFigure(audience),
  "responses of the mains": () => responsesFigure(audience, { group: "mains" }),
  "measured responses with coherence": () => responsesFigure(measured),
  "level over distance": () => levelOverDistanceFigure(audience, { venue: hall }),
  "balance over distance": () => balanceOverDistanceFigure(balance(audience).positions),
  "seats from above": () =>
    seatsFigure(
      hall,
      audience.positions,
      balance(audience).positions.map((p) => p.deviation_db),
    ),
  "seats from the side, by level": () =>
    seatsFigure(
      hall,
      audience.positions,
      balance(audience).positions.map((p) => p.mid_db),
      {
        view: "section",
        scale: "level",
        quantity: "Level (dB)",
      },
    ),
  venue: () => venueFigure(hall, { marked: [{ id: "mix", point: { x: 18, y: 0, z: 1.6 } }] }),
  offset: () => offsetFigure([{ label: "model", result: levelOffset(audience) }]),
  spread: () => spreadFigure(spread(audience)),
  reference: () => referenceFigure(hall, rankReferences(audience, zone)),
  comparison: () => comparisonFigure({ one: few, other: measured }, few.positions[0].id),
  impulse: () => impulseFigure(delayedUnit(0.03), [{ delay: 0.03, label: "first" }]),
  lines: () =>
    linesFigure({
      x: [1, 2, 3],
      xTitle: "Distance (m)",
      curves: { mains: [0, -3, -6], subs: [0, -6, -9] },
      title: "two",
    }),
};

describe.each(Object.entries(figures))("the figure %s", (name, make) => {
  it("has a title, and a text with a number and a unit for those who do not see it", () => {
    const { title, alt } = make();
    expect(title.trim()).not.toBe("");
    expect(alt).toMatch(/\d.*(dB|Hz|ms|places|elements)/);
    expect(`${title} ${alt}`).not.toMatch(/NaN|undefined|Infinity|null/);
  });

  it("names the quantity of each axis with its unit in brackets", () => {
    const { layout } = make();
    const axes = Object.entries(layout).filter(([key]) => /^[xy]axis\d*$/.test(key));
    expect(axes.length).toBeGreaterThanOrEqual(2);
    for (const [, axis] of axes) {
      expect((axis as { title: { text: string } }).title.text).toMatch(
        /\((Hz|dB[^)]*|m|ms|0–1|largest = 1)\)|, rms \(dB\)/,
      );
    }
  });

  it("holds no number that can't be drawn", () => {
    expect(() => pack(make())).not.toThrow();
  });

  it("has for a projector larger letters, marks too where they are not seats drawn to scale, with every quantity and axis as it was", () => {
    const usual = applyTheme(make(), "light", 800);
    const large = applyTheme(make(), "light", make().shape ? 1200 : 1600, 2);
    const letters = (layout: object) => (layout as { font: { size: number } }).font.size;
    expect(letters(large.layout) / letters(usual.layout)).toBe(make().shape ? 1.5 : 2);
    large.data.forEach((trace, i) => {
      expect(Object.keys(trace)).toEqual(Object.keys(usual.data[i]));
      for (const key of ["x", "y", "z"]) expect(trace[key]).toEqual(usual.data[i][key]);
      const [marks, before] = [trace, usual.data[i]].map(
        (one) => one.marker as { size?: number } | undefined,
      );
      const times = make().shape ? 1 : 2;
      if (typeof before?.size === "number") expect(marks?.size).toBe(times * before.size);
    });
    for (const [key, axis] of Object.entries(usual.layout)) {
      if (!/^[xy]axis/.test(key)) continue;
      const { range, tickvals } = axis as { range?: unknown; tickvals?: unknown };
      expect(large.layout[key]).toMatchObject({
        ...(range ? { range } : {}),
        ...(tickvals ? { tickvals } : {}),
      });
    }
  });

  it.each(["light", "dark"] as const)("finds all its colours in the %s style", (theme) => {
    const { data, layout } = applyTheme(make(), theme, 800);
    const strings = JSON.stringify([data, layout]).match(/"@[^"]*"/g);
    expect(strings).toBeNull();
  });

  it.skipIf(name === "reference")("keeps every mark within its axes", () => {
    const { data, layout } = make();
    for (const trace of data) {
      for (const letter of ["x", "y"] as const) {
        const name = `${letter}axis${String(trace[`${letter}axis`] ?? "").replace(/\D/g, "")}`;
        const { range, type } = layout[name] as { range: [number, number]; type?: string };
        const [low, high] = range[0] < range[1] ? range : [range[1], range[0]];
        for (const value of trace[letter] as number[]) {
          const at = type === "log" ? Math.log10(value) : value;
          expect(at).toBeGreaterThanOrEqual(low - 1e-6);
          expect(at).toBeLessThanOrEqual(high + 1e-6);
        }
      }
    }
  });
});

describe("what a figure draws", () => {
  it("puts an impulse that is 30 ms late at 30 ms", () => {
    const { data } = impulseFigure(delayedUnit(0.03), [{ delay: 0.03, label: "first" }]);
    const y = Array.from(data[0].y as Float64Array);
    const at = y.indexOf(Math.max(...y));
    expect((data[0].x as Float64Array)[at]).toBeCloseTo(30, 1);
  });

  it("draws the impulse of a coloured sound as short as that of an even one, where all frequencies count alike", () => {
    const unit = delayedUnit(0.03);
    const { frequency } = unit;
    const coloured = {
      ...unit,
      re: unit.re.map((x, i) => (100 * x) / frequency[i]),
      im: unit.im.map((x, i) => (100 * x) / frequency[i]),
    };
    const arrivals = [{ delay: 0.03, label: "first" }];
    const beside = (even: boolean) => {
      const y = Array.from(impulseFigure(coloured, arrivals, { even }).data[0].y as Float64Array, Math.abs);
      return y.sort((a, b) => b - a)[2]; // the two highest may share an arrival between two samples
    };
    expect(beside(false)).toBeGreaterThan(0.5);
    expect(beside(true)).toBeLessThan(0.25);
  });

  it("drops 12.04 dB over two doublings of distance from one source on the floor (spherical spreading, 20 lg 4)", () => {
    const venue = {
      ...hall,
      sources: [hall.sources[0], { ...hall.sources[2], point: { x: 0, y: 0, z: 1.2 } }],
    };
    const row = [2, 4, 8].map((x) => ({
      id: `row ${x}`,
      point: { x, y: 0, z: 1.2 },
      area: "stalls",
      people: 1,
    }));
    const { data } = levelOverDistanceFigure(hallSurvey(row, frequency, venue), { venue });
    const subs = data[data.length - 1].y as number[];
    expect(subs[2]).toBeCloseTo(-12.04, 1);
    const law = data[1].y as number[];
    expect(law[2]).toBeCloseTo(-12.04, 2);
  });

  it("shows the random error of a transfer function: coherence 0.9 of 16 averages is 0.50 dB (Bendat and Piersol 9.90)", () => {
    // sqrt(1 - 0.9) / (sqrt(0.9) sqrt(2 · 16)) = 0.0589, and 20 lg 1.0589 = 0.497 dB
    const one: Survey = {
      ...measured,
      positions: measured.positions.slice(0, 1),
      mains: measured.mains.slice(0, 1),
      subs: measured.subs.slice(0, 1),
    };
    const { data } = responsesFigure(one);
    const [band, line] = data;
    const up = (band.y as number[])[5] - (line.y as Float64Array)[5];
    expect(up).toBeCloseTo(0.497, 2);
  });

  it("draws the plan to scale with the stage at the top and house left at the left", () => {
    const { layout } = venueFigure(hall);
    const [x, y] = [layout.xaxis, layout.yaxis] as {
      range: number[];
      scaleanchor?: string;
      scaleratio?: number;
    }[];
    expect(y.scaleanchor).toBe("x");
    expect(y.scaleratio).toBe(1);
    expect(x.range[0]).toBeGreaterThan(x.range[1]); // house left is positive
    expect(y.range[0]).toBeGreaterThan(y.range[1]); // the stage has the smallest x
  });

  it("zooms the ranking to the places ranked and keeps all of them within the axes", () => {
    const { data, layout } = referenceFigure(hall, rankReferences(audience, zone));
    const positions = data[data.length - 1];
    const { range } = layout.yaxis as { range: number[] };
    for (const y of positions.y as number[]) {
      expect(y).toBeLessThan(range[0]);
      expect(y).toBeGreaterThan(range[1]);
    }
    expect(range[0] - range[1]).toBeLessThan(8);
  });

  it("refuses an empty survey or a place that is not there by a sentence that names it", () => {
    expect(() => balanceOverDistanceFigure([])).toThrow(/no position/);
    expect(() => comparisonFigure({ model: few }, "row ZZ")).toThrow(/"row ZZ"/);
    expect(() => seatsFigure(hall, few.positions, [1])).toThrow(/1 values for/);
    expect(() => linesFigure({ x: [1], xTitle: "Distance (m)", curves: {}, title: "" })).toThrow(/no curve/);
    expect(() => responsesFigure(few, { group: "fills" })).toThrow(/fills/);
  });

  it("keeps the span of its level axes when the levels inside change, so that a slider moves the marks and not the axis", () => {
    const range = (offset: number) =>
      (balanceOverDistanceFigure(balance(audience, { offset }).positions).layout.yaxis as { range: number[] })
        .range;
    expect(range(-15)).toEqual(range(15));
  });
});
