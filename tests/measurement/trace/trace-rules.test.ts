import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { columnOf } from "../../../lib/measurement/trace/columns";
import { fromPolar, shortestPolar, toPolar } from "../../../lib/measurement/trace/polar";
import { readTrace, traceAt } from "../../../lib/measurement/trace/read";
import { readTraceTable, show } from "../../../lib/measurement/trace/table";
import { writeTrace } from "../../../lib/measurement/trace/write";
import { evenly } from "../../evenly";

const read = (text: string) => readTrace(text, "a.csv");
const plain = "frequency_hz,magnitude_db,phase_deg\n";

describe("level and phase", () => {
  test("are 20 lg of the magnitude and the angle, and quarters of a turn come out exact", () => {
    const level = 20; // ten times
    for (const [phase, re, im] of [
      [0, 10, 0],
      [90, 0, 10],
      [180, -10, 0],
      [270, 0, -10],
      [-90, 0, -10],
      [450, 0, 10],
      [-720, 10, 0],
    ]) {
      const z = fromPolar(level, phase);
      expect(Math.abs(z.re - re) + Math.abs(z.im - im)).toBe(0);
    }
    // cos 60° = 1/2, sin 30° = 1/2, whole turns more or less.
    expect(fromPolar(0, 780).re).toBeCloseTo(0.5, 12);
    expect(fromPolar(0, -330).im).toBeCloseTo(0.5, 12);
    expect(fromPolar(-Infinity, 33)).toEqual({ re: 0, im: 0 });
    expect(toPolar(0, -0.1).magnitudeDb).toBeCloseTo(-20, 12);
    expect(toPolar(0, -0.1).phaseDeg).toBe(-90);
    expect(toPolar(-3, 0).phaseDeg).toBe(180);
  });

  test("give the complex number back, in the fewest digits where they can exactly", () => {
    fc.assert(
      fc.property(evenly(-100, 100), evenly(-360, 360), (level, phase) => {
        const z = fromPolar(level, phase);
        const back = toPolar(z.re, z.im);
        expect(back.magnitudeDb).toBeCloseTo(level, 9);
        const found = shortestPolar(z.re, z.im);
        if (found) expect(fromPolar(found.magnitudeDb, found.phaseDeg)).toEqual(z);
      }),
    );
    expect(shortestPolar(0.1, 0)).toEqual({ magnitudeDb: -20, phaseDeg: 0 });
    expect(shortestPolar(0, 0)).toEqual({ magnitudeDb: -Infinity, phaseDeg: 0 });
    const z = fromPolar(-12.3, 45.5);
    expect(shortestPolar(z.re, z.im)).toEqual({ magnitudeDb: -12.3, phaseDeg: 45.5 });
  });
});

describe("the heading of a column", () => {
  test("means the same in capitals, with blanks or its unit in brackets, and nothing where it is another word", () => {
    for (const heading of ["Phase (deg)", "phase_degrees", "PHASE", " [phase] ", "phase / deg"])
      expect(columnOf(heading)).toBe("phase_deg");
    for (const heading of ["", "phases", "constructor", "deg", "phase deg deg"])
      expect(columnOf(heading)).toBeUndefined();
  });

  test("is found behind any separator: semicolon before tab, tab before comma", () => {
    expect(read("note, if any\told;frequency;level\n;100;-6\n").frequency[0]).toBe(100);
    expect(read("frequency\tlevel\tnote, if any\n100\t-20\t\n").re[0]).toBeCloseTo(0.1, 12);
  });

  test("may stand beside 63 others", () => {
    const columns = (count: number) =>
      `frequency_hz,magnitude_db${",x".repeat(count - 2)}\n100,0${",1".repeat(count - 2)}\n`;
    expect(read(columns(64)).re[0]).toBe(1);
    expect(() => read(columns(65))).toThrow(/line 1 has more than 64 columns/);
  });
});

describe("the rows of a trace", () => {
  test("may end in separators, but not have more values than the header, nor fewer", () => {
    expect(read(`${plain}100,0,0,,\n`).re[0]).toBe(1);
    expect(() => read(`${plain}100,0,0,,1\n`)).toThrow(/line 2 has 5 values, expected 3 .*semicolons/);
    expect(() => read("frequency;level\n100;0;1\n")).toThrow(/has 3 values, expected 2 .*give every column/);
    expect(read("mood,frequency,level\n,100,0\n").re[0]).toBe(1);
  });

  test("are counted over every kind of line end, comments and blank lines", () => {
    const lines = ["# a", "", "frequency_hz,magnitude_db", "  ", "100,0", "#", "200,x"];
    for (const end of ["\n", "\r", "\r\n"])
      expect(() => read(lines.join(end))).toThrow(/line 7, magnitude_db is "x"/);
    expect(() => read(`\ufeff${lines.join("\n")}`)).toThrow(/line 7/);
  });

  test("are 300,000 at most", () => {
    const table = (rows: number) => readTraceTable(`x\n${"1\n".repeat(rows)}`, "a.csv", () => false);
    expect(table(300_000).lines.length).toBe(300_000);
    expect(() => table(300_001)).toThrow(/line 300002 is row 300001, too many/);
  });

  test("hold numbers as people and programs write them, and nothing else", () => {
    for (const [text, value] of [
      ["20", 20],
      ["+20", 20],
      ["20.", 20],
      ["2e1", 20],
      [".2E+2", 20],
      ["2000e-2", 20],
      ["-inf", -Infinity],
      ["-Infinity", -Infinity],
    ] as const)
      expect(read(`${plain}100,${text},0\n`).re[0]).toBeCloseTo(10 ** (value / 20), 12);
    for (const text of [
      "2e",
      ".",
      "--2",
      "1.2.3",
      "0x10",
      "1_0",
      "Infinity",
      "inf",
      "2 0",
      "e2",
      "-inf.",
      "+-1",
      "x-inf",
    ])
      expect(() => read(`${plain}100,${text},0\n`)).toThrow(`magnitude_db is "${text}", expected a number`);
    expect(() => read(`${plain}100,0,-inf\n`)).toThrow(/phase_deg is -Infinity, expected degrees/);
    expect(() => read("frequency;level\n100,5;1\n200.5;1\n")).toThrow(
      /frequency is "200.5", but .* decimal commas/,
    );
    expect(() => read("frequency;level\n100.5;1\n200,5;1\n")).toThrow(
      /but the file began with decimal points/,
    );
  });

  test("hold nothing beyond a column's limits, which are allowed themselves", () => {
    const header = "frequency_hz,magnitude_db,phase_deg,coherence,averages,diffuse\n";
    const good = [100, 0, 0, 1, 1, 1];
    const limits: [number, number[], number[]][] = [
      [0, [1e-3, 1e6], [-1, 1_000_001]],
      [1, [-1000, 1000], [-1001, 1001]],
      [2, [-1e9, 1e9], [-1.1e9, 1.1e9]],
      [3, [0, 1], [-0.01, 1.01]],
      [4, [0, 1e12], [-1, 1.1e12]],
      [5, [0, 1e100], [-1e-9, 1.1e100]],
    ];
    for (const [column, within, outside] of limits) {
      const row = (value: number) => `${header}${good.map((v, i) => (i === column ? value : v)).join(",")}\n`;
      for (const value of within) expect(read(row(value)).frequency.length).toBe(1);
      for (const value of outside) expect(() => read(row(value))).toThrow(`is ${value}, expected`);
    }
  });

  test("are sorted, with those of one frequency once, and refused where all are at 0 Hz", () => {
    const { frequency, warnings } = read(`${plain}300,0,0\n100,0,0\n300,0,0\n200,0,0\n300,0,0\n`);
    expect([...frequency]).toEqual([100, 200, 300]);
    expect(warnings).toEqual([
      'trace "a.csv": line 3 steps back in frequency, so the rows were sorted',
      'trace "a.csv": rows that repeat another were dropped, 2 of them',
    ]);
    expect(() => read(`${plain}0,0,0\n`)).toThrow(/frequency_hz is 0 in every row/);
    expect(read(`${plain}100,0,0\n0,0,0\n`).warnings).toEqual([
      'trace "a.csv": line 3 is at 0 Hz and was left out',
    ]);
    expect(() => read(`${plain}100,0,0\n50,0,0\n100,-1,0\n`)).toThrow(
      /line 4, magnitude_db differs from line 2/,
    );
  });

  test("with exact columns say the same twice, to a part in a thousand million", () => {
    const exact = (real: number) =>
      read(`frequency_hz,magnitude_db,phase_deg,real,imaginary\n100,0,0,${real},0\n`);
    expect(exact(1 + 5e-10).re[0]).toBe(1 + 5e-10);
    expect(() => exact(1 + 2e-9)).toThrow(/line 2, real does not belong/);
    for (const columns of ["real,imaginary", "phase_deg,imaginary", "phase_deg,real", "imaginary"]) {
      const values = columns.replace(/\w+/g, "1");
      expect(() => read(`frequency_hz,magnitude_db,${columns}\n1,0,${values}\n`)).toThrow(/only in part/);
    }
  });
});

describe("comments", () => {
  test("have a key of up to 40 letters, digits, blanks, _ and - before a colon; the first of a key counts", () => {
    const key = "a".repeat(40);
    const { comments, notes } = read(
      `## Row 2-b_c :  left : right \n#${key}: x\n# ${key}b: y\n# 2nd: take\n#\n# :\n# row 2-b_c: again\n${plain}100,0,0\n`,
    );
    expect(comments).toEqual({ "row 2-b_c": "left : right", [key]: "x" });
    expect(notes).toEqual([`${key}b: y`, "2nd: take", ":", "row 2-b_c: again"]);
  });

  test("beyond a hundred keys are notes, and beyond a thousand notes none", () => {
    const many = Array.from({ length: 1200 }, (_, i) => `# key${i}: ${i}\n`).join("");
    const { comments, notes } = read(`${many}${plain}100,0,0\n`);
    expect(Object.keys(comments).length).toBe(100);
    expect([notes.length, notes[0], notes[999]]).toEqual([1000, "key100: 100", "key1099: 1099"]);
  });
});

describe("a value from the file in a message", () => {
  test("is short, on one line and within its quotes", () => {
    expect(show("plain")).toBe('"plain"');
    expect(show('a"b\tc\u0000é')).toBe('"a\'b?c?é"');
    expect(show("x".repeat(40))).toBe(`"${"x".repeat(40)}"`);
    expect(show("x".repeat(41))).toBe(`"${"x".repeat(40)}…"`);
    expect(show(`${"x".repeat(200)}`).length).toBe(43);
  });
});

describe("writing", () => {
  const good = { frequency: Float64Array.of(100, 200), re: Float64Array.of(1, 0), im: Float64Array.of(0, 1) };
  const refused = (change: object, words: RegExp) =>
    expect(() => writeTrace({ ...good, ...change })).toThrow(words);

  test("gives comments, notes, a header and a row for each frequency, silence as -Infinity", () => {
    const text = writeTrace(
      { ...good, re: Float64Array.of(1, 0), im: Float64Array.of(0, 0) },
      { who: " house crew ", where: undefined, what: "" },
      ["second take "],
    );
    expect(text).toBe(`# who: house crew\n# what:\n# second take\n${plain}100,0,0\n200,-Infinity,0\n`);
  });

  test("adds real and imaginary only where level and phase don't give the number back", () => {
    expect(writeTrace(good)).toBe(`${plain}100,0,0\n200,0,90\n`);
    const third = { ...good, re: Float64Array.of(1 / 3, 0) };
    expect(read(writeTrace(third)).re[0]).toBe(1 / 3);
    const levels = { ...third, im: Float64Array.of(0, 0), magnitudeOnly: true };
    expect(writeTrace(levels)).not.toMatch(/phase|imaginary/);
    // A negative zero is another number than zero.
    const minus = { ...good, im: Float64Array.of(-0, 1) };
    expect(Object.is(read(writeTrace(minus)).im[0], -0)).toBe(true);
  });

  test("refuses what reading would, by field", () => {
    refused(
      { frequency: new Float64Array(0), re: new Float64Array(0), im: new Float64Array(0) },
      /no frequencies/,
    );
    for (const frequency of [
      [0, 100],
      [100, 100],
      [200, 100],
      [100, 1_000_001],
      [NaN, 1],
    ])
      refused({ frequency: Float64Array.from(frequency) }, /above 0 Hz and ascending/);
    refused({ re: Float64Array.of(1) }, /response.re has 1 values, expected 2/);
    refused({ im: Float64Array.of(0, Infinity) }, /response.im\[1\] is Infinity/);
    refused({ averages: Float64Array.of(0, -1) }, /response.averages\[1\] is -1/);
    refused({ diffuse: Float64Array.of(-1, 0) }, /response.diffuse\[0\] is -1/);
    // −1000 dB are 1e-50.
    refused({ re: Float64Array.of(1e-51, 1) }, /index 0 is below -1000 dB/);
    refused({ im: Float64Array.of(1, 1e-51) }, /index 1 is below -1000 dB/);
    const faint = { ...good, re: Float64Array.of(1e-50, 0) };
    expect(read(writeTrace(faint)).re[0]).toBe(1e-50);
    refused({ magnitudeOnly: true }, /response.im must be 0/);
    refused({ magnitudeOnly: true, im: new Float64Array(2), re: Float64Array.of(1, -1) }, /re not negative/);
    expect(writeTrace({ ...good, re: Float64Array.of(1, -1) })).toMatch(/200,/);
  });

  test("refuses comments and notes that would be read as something else", () => {
    for (const key of ["Who", "who ", "2nd", "a".repeat(41), ""])
      expect(() => writeTrace(good, { [key]: "x" })).toThrow(`comments has the key "${key}"`);
    for (const broken of ["a\nb", "a\rb", "a\0b"]) {
      expect(() => writeTrace(good, { who: broken })).toThrow(/comments.who has more than one line/);
      expect(() => writeTrace(good, {}, ["fine", broken])).toThrow(/notes\[1\] has more than one line/);
    }
    expect(() => writeTrace(good, {}, ["fine", " who: I"])).toThrow(/notes\[1\] begins with "who:"/);
    // Where the key is taken, the note is read as one.
    const { comments, notes } = read(writeTrace(good, { who: "I" }, ["who: you"]));
    expect([comments.who, notes]).toEqual(["I", ["who: you"]]);
  });
});

test("a file larger than its limit is refused by size, one as large is read", () => {
  const folder = mkdtempSync(join(tmpdir(), "evenground-"));
  const path = join(folder, "a.csv");
  writeFileSync(path, `${plain}100,0,0\n`);
  const most = plain.length + 8;
  expect(traceAt(path, "b.csv", { most, remedy: "thin it" }).file).toBe("b.csv");
  expect(() => traceAt(path, "b.csv", { most: most - 1, remedy: "thin it" })).toThrow(
    /trace "b.csv": size .*; thin it/,
  );
  rmSync(folder, { recursive: true });
});
