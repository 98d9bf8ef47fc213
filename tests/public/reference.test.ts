/** Docstrings of the public functions say what a reader needs; and the rule for it, on functions that break it. */
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readDeclarations } from "../../scripts/book/reference/declarations";
import { missingTags } from "../../scripts/book/reference/missing-tags";
import { ensureLibrary } from "../../scripts/setup/library.mjs";
import { inRoot } from "../../scripts/setup/places.mjs";

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "reference "));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function read(text: string) {
  const file = path.join(folder, "index.d.ts");
  writeFileSync(file, text);
  return readDeclarations(file);
}

const whole = `
declare const level = 6;
/** A level, and how sure it is. */
interface Sure {
  readonly level: typeof level;
  /** dB */
  readonly spread: number;
}
declare namespace types {
  /** What is aimed at. */
  interface Aim {
    /** dB */
    readonly target?: number;
    /** hertz */
    readonly to?: number;
  }
}
/** What follows from a survey. */
declare namespace decide {
/**
 * The level that suits the audience.
 *
 * As \`louder\` has it, and \`Sure.spread\` beside it.
 *
 * @param seats  where people sit, metres
 * @param options  what to aim at
 * @returns a level, dB
 * @throws RangeError when there is no seat
 * @throws RangeError as \`decide.louder\`
 * @source a handbook, chapter 3; check: tests/public/reference.test.ts
 * @example
 * const seats = [1, 2];
 * decide.offset(seats, { target: 0 }) // 6.02
 */
function offset(seats: readonly number[], { target, to }?: types.Aim): Sure;
/**
 * How much louder.
 *
 * @param by  dB
 * @returns dB
 * @source common practice, no source
 * @example decide.louder(3)
 */
const louder: (by: number) => number;
/** Six decibels. */
const six: number;
}
/**
 * Says it.
 *
 * @param words  any number
 * @returns nothing: it stands under the cell
 * @source own way, no outside source
 * @example say("a")
 */
declare function say(...words: readonly string[]): void;
export { decide, say, Sure, types };
`;

describe("the library's docstrings", () => {
  let library: ReturnType<typeof readDeclarations>;
  beforeAll(async () => {
    await ensureLibrary();
    library = readDeclarations(inRoot("dist", "index.d.ts"));
  }, 120_000);

  it("lack nothing", () => {
    expect(missingTags(library)).toEqual([]);
  });

  it("name tests that are there", () => {
    const sources = library.groups.flatMap(({ entries }) => entries.map(({ source }) => source ?? ""));
    const named = sources.flatMap((source) => source.match(/\btests\/[\w/.-]+\.ts\b/g) ?? []);
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((file) => !existsSync(inRoot(file)))).toEqual([]);
  });
});

describe("declarations as data", () => {
  it("hold groups, functions, values, types, and all that is said of them", () => {
    const { groups, types } = read(whole);
    expect(groups.map(({ name, summary }) => [name, summary])).toEqual([
      ["", ""],
      ["decide", "What follows from a survey."],
    ]);
    expect(groups[1].entries.map(({ name, kind }) => [name, kind])).toEqual([
      ["decide.louder", "function"],
      ["decide.offset", "function"],
      ["decide.six", "value"],
    ]);
    expect(groups[1].entries[1]).toEqual({
      name: "decide.offset",
      kind: "function",
      summary: "The level that suits the audience.\n\nAs `louder` has it, and `Sure.spread` beside it.",
      parameters: [
        {
          name: "seats",
          optional: false,
          type: "readonly number[]",
          text: "where people sit, metres",
          fields: [],
        },
        {
          name: "options",
          optional: true,
          type: "Aim",
          text: "what to aim at",
          fields: [
            { name: "target", optional: true, type: "number", text: "dB" },
            { name: "to", optional: true, type: "number", text: "hertz" },
          ],
        },
      ],
      type: "Sure",
      fields: [],
      returns: "a level, dB",
      throws: ["RangeError when there is no seat", "RangeError as `decide.louder`"],
      source: "a handbook, chapter 3; check: tests/public/reference.test.ts",
      examples: ["const seats = [1, 2];\ndecide.offset(seats, { target: 0 }) // 6.02"],
    });
    expect(types[0].fields[0].type).toBe("6");
    expect(groups[0].entries[0].parameters[0].type).toBe("...readonly string[]");
    expect(types.map(({ name, inner, fields }) => [name, inner, fields.map((field) => field.text)])).toEqual([
      ["Sure", false, ["", "dB"]],
      ["Aim", true, ["dB", "hertz"]],
    ]);
  });

  it("refuse a function with two ways to call it", () => {
    expect(() => read("export declare function a(b: 1): 1; export declare function a(b: 2): 2;")).toThrow(
      "a is declared twice",
    );
  });
});

describe("what a docstring lacks is named", () => {
  it("not where it lacks nothing", () => {
    expect(missingTags(read(whole))).toEqual([]);
  });

  it.each([
    [
      "The level that suits the audience.\n *\n * As `louder` has it, and `Sure.spread` beside it.",
      "",
      "no summary",
    ],
    ["@param seats  where people sit, metres\n * ", "", "no @param seats"],
    ["@param options  what to aim at", "", "no @param options"],
    ["  what to aim at", "", "no @param options"],
    ["/** hertz */", "", "no words on options.to"],
    ["@returns a level, dB", "", "no @returns"],
    ["@source a handbook, chapter 3; check: tests/public/reference.test.ts", "", "no @source"],
    ["@example\n * const seats = [1, 2];\n * decide.offset(seats, { target: 0 }) // 6.02", "", "no @example"],
    ["const seats = [1, 2];\n * decide.offset(seats, { target: 0 }) // 6.02", "", "no @example"],
    ["As `louder` has it", "As `softer` has it", '"softer" is not public'],
    ["As `louder` has it", "As `softer(…)` has it", '"softer" is not public'],
    ["As `louder` has it", "As {@link softer} has it", '"softer" is not public'],
    ["As `louder` has it", "As findOffset has it", '"findOffset" is not public'],
    ["as `decide.louder`", "as `decide.softer`", '"decide.softer" is not public'],
    ["a handbook, chapter 3", "see search.ts", '"search.ts" is not public'],
  ])("%j as %j: %s", (from, to, lack) => {
    expect(whole).toContain(from);
    expect(missingTags(read(whole.replace(from, to)))).toEqual([`decide.offset: ${lack}`]);
  });
});
