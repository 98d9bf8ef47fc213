import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import type { Figure } from "../../../lib/lesson/figures/parts/figure";
import { guessedOn } from "../../../lib/lesson/figures/parts/guessed";
import { type GuessName, guess, guesses } from "../../../lib/lesson/guesses/guess";
import { answers, type Question, typedNumber, verdict } from "../../../lib/lesson/guesses/question";
import { questions } from "../../../lib/lesson/guesses/questions";

const folder = path.resolve(__dirname, "../../../notebooks");
const names = Object.keys(questions) as GuessName[];
const lessons = readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
const cellsOf = (name: string) =>
  (
    JSON.parse(readFileSync(path.join(folder, name), "utf8")) as {
      cells: { cell_type: string; source: string[] }[];
    }
  ).cells.map(({ cell_type, source }) => ({ cell_type, text: source.join("") }));

describe.each(lessons.filter((name) => names.some((one) => one.startsWith(name.slice(0, 2)))))(
  "the predictions of %s",
  (name) => {
    const cells = cellsOf(name);
    const asked = cells.flatMap(({ text }, at) =>
      Array.from(text.matchAll(/\*\*Predict(\.\*\*|:\*\*)/g), () => at),
    );
    const entered = cells.flatMap(({ text }, at) =>
      Array.from(text.matchAll(/course\.guess\("([^"]+)"/g), ([, id]) => ({ at, id })),
    );

    it("are each entered in a cell below, before the next one is asked, under a name of this lesson", () => {
      expect(entered.map(({ id }) => id)).toEqual(names.filter((one) => one.startsWith(name.slice(0, 2))));
      expect(entered).toHaveLength(asked.length);
      asked.forEach((at, i) => {
        expect(entered[i].at, entered[i].id).toBeGreaterThan(at);
        expect(entered[i].at, entered[i].id).toBeLessThan(asked[i + 1] ?? Number.POSITIVE_INFINITY);
      });
    });

    it("have explanations that are folded, and a list at the end", () => {
      for (const { at, id } of entered) {
        const next = cells.slice(at + 1).find(({ text }) => /\*\*Explain\.|<details>|^## /.test(text));
        expect(next?.text, id).not.toMatch(/\*\*Explain\.\*\*/);
      }
      expect(cells.at(-2)?.text).toContain(`course.guesses(${Number(name.slice(0, 2))})`);
    });
  },
);

describe("a guess", () => {
  const level: Question = { asks: "Level", unit: "dB", near: 1 };
  const row: Question = { asks: "Row", choices: ["A", "B"] };

  it.each([
    [level, -4, -6.04, "−4 dB", "−6 dB", "2 dB too high"],
    [level, -6.5, -6.04, "−6.5 dB", "−6 dB", "right"],
    [level, 0, 12.34, "0 dB", "12.3 dB", "12.3 dB too low"],
    [level, null, 3, "no guess", "3 dB", "–"],
    [row, "A", "B", "A", "B", "another answer"],
    [row, "B", "B", "B", "B", "right"],
  ] as const)("%o of %s where it is %s", (question, said, truth, shownSaid, shownTruth, off) => {
    expect(verdict(question, said, truth)).toMatchObject({ said: shownSaid, truth: shownTruth, off });
  });

  it.each([
    ["−4", -4],
    ["-4,5 dB", -4.5],
    ["+3", 3],
    [".5", 0.5],
    ["", undefined],
    ["four", undefined],
    ["1e9", undefined],
    ["<img src=x>", undefined],
  ])("typed as %o is read as %o", (text, value) => {
    expect(typedNumber(text, "dB")).toBe(value);
  });

  const curve: Question = {
    asks: "Levels",
    unit: "dB",
    near: 3,
    points: [
      { name: "row A", x: 1 },
      { name: "row B", x: 2 },
      { name: "row C", x: 3 },
    ],
    low: -20,
    high: 10,
    step: 0.5,
    tick: 10,
  };

  it("as a curve is judged by its mean distance, and by where it is farthest off", () => {
    expect(verdict(curve, [0, -3, -6], [0, -5, -12])).toEqual({
      said: "a curve",
      truth: "as the figure shows",
      off: "2.7 dB on average, farthest off at row C: 6 dB too high",
      right: true,
    });
    expect(verdict(curve, [0, 0, 0], [0, 4, -8])).toMatchObject({ right: false });
    expect(verdict(curve, null, [0, 4, -8])).toMatchObject({ said: "no guess", right: false });
  });

  it.each([
    [curve, [0, 1, 2], true],
    [curve, [0, 1], false],
    [curve, [0, 1, Number.NaN], false],
    [curve, [0, 1, 1e300], false],
    [curve, ["0", "1", "2"], false],
    [curve, { length: 3 }, false],
    [curve, "0,1,2", false],
    [level, [3], false],
    [level, "3", false],
    [level, 3, true],
    [row, 3, false],
    [row, "A", true],
    [row, undefined, false],
  ])("%o may have the answer %o: %s", (question, answer, may) => {
    expect(answers(question, answer)).toBe(may);
  });

  it("stands in the figure that has an axis for it, and in no other", () => {
    const figure: Figure = {
      title: "",
      alt: "",
      height: 300,
      data: [],
      layout: { xaxis: { type: "log" }, yaxis: { range: [-10, 5] } },
    };
    const sketched = guessedOn(figure, curve, [0, -30, 2]);
    expect(sketched.data.at(-1)).toMatchObject({ x: [1, 2, 3], y: [0, -30, 2] });
    expect(sketched.layout.yaxis).toEqual({ range: [-31, 5] });
    const upright = guessedOn(figure, { ...level, on: "x" }, 100);
    expect(upright.layout.shapes).toMatchObject([{ x0: 100, x1: 100 }]);
    expect(upright.layout.annotations).toMatchObject([{ x: 2 }]);
    expect(guessedOn(figure, level, 3)).toBe(figure);
    expect(guessedOn(figure, curve, null)).toBe(figure);
  });

  it("holds what follows it, and says in one sentence what it needs", () => {
    const { before } = guess("01 drift", -6);
    expect(before("<p>figure</p>")).toMatch(/evenground-behind"><p>figure<\/p><\/div>/);
    expect(() => guess("01 drift")).toThrow(/needs what is true: a number in dB/);
    expect(() => guess("01 front row", "both")).toThrow(/"too much bass" or "too little bass"/);
    expect(() => guess("constructor" as never)).toThrow(/no prediction "constructor"/);
    expect(() => guesses(99)).toThrow(/lesson 99 has no predictions/);
  });

  it("has a right answer among its choices", () => {
    for (const [name, question] of Object.entries<Question>(questions))
      if ("choices" in question) {
        expect(new Set(question.choices).size, name).toBe(question.choices.length);
        if (question.right !== undefined) expect(question.choices, name).toContain(question.right);
      } else expect(question.near, name).toBeGreaterThan(0);
  });

  it("as a curve has points in order, and zero among what its steps reach", () => {
    for (const [name, question] of Object.entries<Question>(questions))
      if ("points" in question) {
        const xs = question.points.map(({ x }) => x);
        expect(xs, name).toEqual([...xs].sort((a, b) => a - b));
        expect(Number.isInteger(-question.low / question.step), name).toBe(true);
        expect(Number.isInteger((question.high - question.low) / question.tick), name).toBe(true);
      }
  });
});
