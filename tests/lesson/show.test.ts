import { afterEach, describe, expect, it } from "vitest";
import { example } from "../../lib/lesson/example";
import { linesFigure } from "../../lib/lesson/figures/lines";
import { show } from "../../lib/lesson/show";
import { dataFrame, table } from "../../lib/lesson/table";

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
      await dataFrame([{ place: "row A", "level (dB)": -3.25 }]),
    );
    expect(written).toHaveLength(3);
    expect(written[0]).toContain('data-kind="figure"');
    expect(written[1]).toContain("2.1<");
    expect(written[2]).toMatch(/row A[\s\S]*−3\.3|row A[\s\S]*−3\.2/);
  });

  it("says in one sentence what to do where there is nothing to show or no notebook", () => {
    expect(() => show(figure)).toThrow(/works in a notebook: elsewhere use figureHtml/);
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

describe("example", () => {
  it("finds the course's shows and names them where one is not there", () => {
    expect(example("harbour-theatre")).toMatch(/data.shows.harbour-theatre$/);
    expect(() => example("../..")).toThrow(/no show "\.\.\/\.\.".*"harbour-theatre"/);
  });
});
