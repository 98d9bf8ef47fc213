/** The reader of JSON text against the engine's own JSON.parse (RFC 8259), and its places for mistakes. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { JsonSyntaxError, parseJson } from "../../../lib/venue/file/json";

const RUNS = Number(process.env.EVENGROUND_CASES ?? 2000);

function mistake(text: string): string {
  try {
    parseJson(text);
  } catch (error) {
    if (error instanceof JsonSyntaxError) return error.message;
    throw error;
  }
  return "none";
}

describe("parseJson", () => {
  test("reads what JSON.parse reads, to the same value", () => {
    fc.assert(
      fc.property(fc.json(), fc.constantFrom(0, 2), (text, indent) => {
        const expected: unknown = JSON.parse(text);
        const own = parseJson(JSON.stringify(expected, null, indent));
        expect(own).toEqual(expected);
      }),
      { numRuns: Math.ceil(RUNS / 4) },
    );
  });

  test("refuses what JSON.parse refuses and accepts what it accepts, after a random slip of the pen", () => {
    const slips = fc.tuple(
      fc.nat(),
      fc.constantFrom("", ",", "{", "}", '"', "]", "1", "-", ".", "e", "\\", "\n", " "),
    );
    fc.assert(
      fc.property(fc.json({ maxDepth: 3 }), fc.array(slips, { maxLength: 3 }), (json, changes) => {
        let text = json;
        for (const [where, put] of changes) {
          const i = where % (text.length + 1);
          text = text.slice(0, i) + put + text.slice(put === "" ? i + 1 : i);
        }
        let expected: unknown;
        let valid = true;
        try {
          expected = JSON.parse(text);
        } catch {
          valid = false;
        }
        const found = mistake(text);
        if (found.includes("a second time")) return; // JSON.parse takes the last of two like keys without a word
        expect(found === "none", `${text}: ${found}`).toBe(valid);
        if (valid) expect(parseJson(text)).toEqual(expected);
      }),
      { numRuns: RUNS },
    );
  });

  test("tells line and column, counted from 1, and what was expected", () => {
    const table: [string, string][] = [
      ['{\n  "a": 1\n  "b": 2\n}', 'line 3, column 3: found "\\"", expected a comma or }'],
      ['{\n  "a": 1,\n}', "line 2, column 9: a comma before }, expected none"],
      ["[1, 2", "line 1, column 1: this [ is never closed"],
      ['{ "a" 1 }', 'line 1, column 7: found "1", expected a colon after the key "a"'],
      ["{ a: 1 }", 'line 1, column 3: found "a", expected a key in double quotes'],
      ['{ "a": 1, "a": 2 }', 'line 1, column 11: the key "a" stands here a second time'],
      ["[1,5.]", 'line 1, column 4: found "5.", expected a number such as 12 or -0.5'],
      ["[01]", 'line 1, column 2: found "01", expected a number such as 12 or -0.5'],
      ["[tru]", 'line 1, column 2: found "tru", expected a value'],
      ["", "line 1, column 1: the text ends here, expected a value"],
      ['"abc', "line 1, column 1: this text is never closed, expected a double quote"],
      ["{} x", 'line 1, column 4: found "x" after the end'],
    ];
    for (const [text, expected] of table) expect(mistake(text), text).toBe(expected);
  });

  test("passes over a byte order mark, and stops at too many brackets", () => {
    expect(parseJson("\ufeff[1]")).toEqual([1]);
    expect(mistake("[".repeat(100000))).toContain("more than 50 levels");
  });
});
