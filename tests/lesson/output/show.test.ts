import { afterEach, describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import { alignment } from "../../../lib/decision/alignment/alignment";
import { balance } from "../../../lib/decision/balance/balance";
import { findDips } from "../../../lib/decision/dips/dips";
import { levelOffset } from "../../../lib/decision/offset/offset";
import { example } from "../../../lib/lesson/examples/example";
import { linesFigure } from "../../../lib/lesson/figures/lines";
import { rows } from "../../../lib/lesson/output/rows";
import { show } from "../../../lib/lesson/output/show";
import { dataFrame, table } from "../../../lib/lesson/output/table";
import { hallSeats, hallSurvey } from "../hall";

const scope = globalThis as { __tslab__?: unknown };
const written: string[] = [];
const kernel = { require: () => ({ display: { html: (text: string) => written.push(text) } }) };
afterEach(() => {
  delete scope.__tslab__;
  written.length = 0;
});
const figure = linesFigure({
  x: [1, 2],
  xTitle: "Distance (m)",
  curves: { mains: [0, -6] },
  title: "one line",
});

describe("show", () => {
  it("writes figures, tables and data frames as HTML under the cell, in their order", async () => {
    scope.__tslab__ = kernel;
    show(
      figure,
      table([{ "delay (ms)": 2.0612 }]),
      await dataFrame([{ position: "row A", "level (dB)": -3.25 }]),
    );
    expect(written).toHaveLength(3);
    expect(written[0]).toContain('data-kind="figure"');
    expect(written[1]).toContain("2.1<");
    expect(written[2]).toMatch(/row A[\s\S]*−3\.3|row A[\s\S]*−3\.2/);
  });

  it("says in one sentence what to do where there is nothing to show or no notebook", () => {
    expect(() => show(figure)).toThrow(/works in a notebook: elsewhere a figure is data/);
    scope.__tslab__ = kernel;
    expect(() => show(undefined as never)).toThrow(/nothing to show: run the cell that makes the figure/);
    expect(() => show(42 as never)).toThrow(/no figure, panel or table/);
  });
});

describe("table", () => {
  it("escapes headings and cells, and says – where a value is missing", () => {
    const { html } = table([{ "<b>": "<img src=x>", level: null }]);
    expect(html).not.toMatch(/<b>|<img/);
    expect(html).toContain("–");
  });

  it("refuses no rows and rows that differ in their columns", () => {
    expect(() => table([])).toThrow(/no row/);
    expect(() => table([{ a: 1 }, { b: 1 } as never])).toThrow(/row 2 has no "a"/);
  });
});

describe("the rows of a result", () => {
  const survey = hallSurvey(hallSeats(4), logGrid(20, 16000, 60));

  it("say what all together and each alone would set, with the share that the library finds for it", () => {
    const result = levelOffset(survey);
    const [all, ...alone] = rows(result);
    expect(all["subs (dB)"]).toBe(result.offset_db);
    const fraction = balance(survey, { offset: result.offset_db }).audience.within3dB_fraction;
    expect(all["within 3 dB (of 100 people)"]).toBe(Math.round(fraction * 100));
    expect(alone.map((row) => row["who decides"])).toEqual(["front row", "middle", "back row"]);
  });

  it("are known for each decision: settings, positions, dips, layouts, in the result's own order and numbers", () => {
    const found = alignment(survey);
    const settings = rows(found);
    expect(settings.map((row) => row["subs later (ms)"])).toEqual(
      [found.current, ...found.choices].map((c) => c.delay_ms),
    );
    expect(new Set(settings.map((row) => row.polarity))).toEqual(new Set(["normal", "inverted"]));
    const balanced = balance(survey);
    expect(rows(balanced).map((row) => row["off target (dB)"])).toEqual(
      balanced.positions.map((p) => p.deviation_db),
    );
    const dips = findDips(survey);
    expect(rows(dips)).toHaveLength(dips.groups.length);
    expect(rows([{ own: 1 }])).toEqual([{ own: 1 }]);
    expect(() => rows({ survey: "x" } as never)).toThrow(/no table of this/);
  });

  it("show the second arrival where there is one, and – where there is none", () => {
    const candidate = (time: number, strength: number) => ({
      time,
      strength,
      sharpness: 30,
      uncertainty: 1e-4,
      polarity: 1 as const,
      reliable: true,
    });
    const [first, second] = [candidate(0.0438, 0), candidate(0.0469, -5.3)];
    const delays = [
      {
        position: "row L",
        playing: "mains" as const,
        result: { candidates: [first, second], chosen: first, manual: false },
      },
      {
        position: "row T",
        playing: "mains" as const,
        result: { candidates: [first], chosen: first, manual: false },
      },
      {
        position: "row T",
        playing: "subs" as const,
        result: { candidates: [first], chosen: first, manual: false },
      },
    ];
    const [l, t, ...more] = rows(delays);
    expect(l).toMatchObject({ position: "row L", "next is weaker by (dB)": 5.3 });
    expect(l["next (ms)"]).toBeCloseTo(46.9, 6);
    expect(t["next (ms)"]).toBeNull();
    expect(more).toMatchObject([{ position: "row T", playing: "subs" }]);
  });
});

describe("example", () => {
  it("finds the course's shows and names them where one is not there", () => {
    expect(example("harbour-theatre")).toMatch(/data.shows.harbour-theatre$/);
    expect(() => example("../.." as never)).toThrow(/no show "\.\.\/\.\.".*"harbour-theatre"/);
  });
});
