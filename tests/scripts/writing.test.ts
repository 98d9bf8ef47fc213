import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { capstones } from "../../lib/lesson/capstones/list";
import { catalogue } from "../../lib/lesson/exercises/catalogue";
import { kinds as panelKinds } from "../../lib/lesson/panels/kinds";
import { type Kernel, startKernel } from "../../scripts/notebook/kernel";
import { kernelCommand } from "../../scripts/setup/kernel.mjs";

/** A package as the library is one: functions in groups, words that a position takes, sentences beside all of them. */
const declarations = `
export interface Options {
  /** Aimed at, dB. */
  readonly target?: number;
}
/** What was found, in decibels. */
export interface Found { readonly level: number }
/**
 * The level that suits the audience.
 *
 * Each seat counts as often as people sit there.
 *
 * @param seats  where people sit
 * @param options  what to aim at
 * @returns a level relative to the mains
 * @throws RangeError where there is no seat
 * @source a handbook, chapter 3
 * @example
 * offset(seats, { target: 0 })
 */
declare function offset(seats: number[], options?: Options): Found;
/** How much louder. */
declare function louder(a: number): number;
declare function louder(a: string, b: string): string;
declare const limit: number;
declare namespace decide { export { offset, louder, limit, Found }; }
/**
 * An exercise by its name.
 *
 * @param name  which one
 */
declare function exercise(name: "balance" | "offset" | "sub-level", variant?: number): void;
export { decide, exercise };
`;

let folder: string;
let kernel: Kernel;
beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), "writing "));
  const place = path.join(folder, "node_modules", "little");
  mkdirSync(place, { recursive: true });
  writeFileSync(path.join(place, "package.json"), '{ "main": "index.js", "types": "index.d.ts" }');
  writeFileSync(path.join(place, "index.js"), "exports.decide = {}; exports.exercise = () => {};");
  writeFileSync(path.join(place, "index.d.ts"), declarations);
  kernel = await startKernel(kernelCommand, folder);
  const status = await kernel.execute(
    'import { decide, exercise } from "little"; const seats = [1, 2]; let other = 1;',
    () => {},
  );
  expect(status).toBe("ok");
}, 120_000);
afterAll(async () => {
  await kernel.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** The cursor stands at the bar; Jupyter counts it in characters. */
const at = (text: string) => ({
  code: text.replace("|", ""),
  cursor_pos: [...text.slice(0, text.indexOf("|"))].length,
});

interface Inspected {
  readonly found: boolean;
  readonly data: { readonly "text/plain": string; readonly "text/markdown": string };
}
async function inspect(text: string) {
  const reply = await kernel.reply("inspect_request", { ...at(text), detail_level: 0 });
  expect(reply.status).toBe("ok");
  return reply as unknown as Inspected;
}

interface Completed {
  readonly cursor_start: number;
  readonly cursor_end: number;
  readonly matches: string[];
  readonly metadata: { readonly _jupyter_types_experimental: { text: string; type: string }[] };
}
async function complete(text: string) {
  const reply = await kernel.reply("complete_request", at(text));
  expect(reply.status).toBe("ok");
  return reply as unknown as Completed;
}

/** The cell once the first match has been taken. */
async function taken(text: string) {
  const { cursor_start, cursor_end, matches } = await complete(text);
  const characters = [...text.replace("|", "")];
  characters.splice(cursor_start, cursor_end - cursor_start, matches[0]);
  return characters.join("");
}

describe("a tooltip", () => {
  it("on a function says what it takes, does, gives, throws, where that is from, and how it is used", async () => {
    for (const text of ["decide.off|set(seats)", "decide.offset|(seats)", "decide.offset|"]) {
      const { data } = await inspect(text);
      const [code, about, more, parameters, ...rest] = data["text/markdown"].split("\n\n");
      expect(code).toMatch(
        /^```ts\ndecide\.offset\(seats: number\[\], options\?: Options\): (decide\.)?Found\n```$/,
      );
      expect(about).toBe("The level that suits the audience.");
      expect(more).toBe("Each seat counts as often as people sit there.");
      expect(parameters).toBe("- `seats`: where people sit\n- `options`: what to aim at");
      expect(rest).toEqual([
        "**Returns** a level relative to the mains",
        "**Throws** RangeError where there is no seat",
        "**Source** a handbook, chapter 3",
        "**Example**",
        "```ts\noffset(seats, { target: 0 })\n```",
      ]);
      expect(data["text/plain"]).toContain(
        "Parameters\n  seats    where people sit\n  options  what to aim at\n\nReturns: a level",
      );
    }
  });

  it("within the brackets of a call shows the function, and the parameter at the cursor", async () => {
    const first = await inspect("const result = decide.offset(|)");
    expect(first.data["text/markdown"]).toContain(
      "```ts\noffset(seats: number[], options?: Options): decide.Found\n```",
    );
    expect(first.data["text/markdown"]).toContain("**`seats`** (parameter 1 of 2): where people sit");
    expect(first.data["text/plain"]).toContain("Here: seats (parameter 1 of 2): where people sit");
    for (const text of ["decide.offset(seats, |)", "decide.offset(seats|, 1)", "decide.offset(se|ats)"]) {
      const { data } = await inspect(text);
      const expected = text.includes(", |")
        ? "options (parameter 2 of 2): what to aim at"
        : "seats (parameter 1 of 2)";
      expect(data["text/plain"], text).toContain(`Here: ${expected}`);
    }
    expect((await inspect('exercise("bal|ance")')).data["text/plain"]).toContain(
      "Here: name (parameter 1 of 2)",
    );
  });

  it("within brackets, but on another function, shows that one; on an option what it means", async () => {
    expect((await inspect("exercise(decide.off|set(seats))")).data["text/plain"]).toContain(
      "suits the audience",
    );
    expect((await inspect("decide.offset(seats, { tar|get: 1 })")).data["text/plain"]).toContain(
      "Aimed at, dB.",
    );
  });

  it("shows all ways to call a function, the one at the cursor first", async () => {
    const onName = (await inspect("decide.lou|der(1)")).data["text/plain"];
    expect(onName).toContain("louder(a: number): number\nlouder(a: string, b: string): string");
    const within = (await inspect('decide.louder("x", |)')).data["text/plain"];
    expect(within).toMatch(
      /^louder\(a: string, b: string\): string\nlouder\(a: number\): number\n\nHere: b /,
    );
  });

  it("on a variable shows its type, after an emoji too; where there is nothing it says so", async () => {
    expect((await inspect('const a = "🔊🔊"; sea|ts;')).data["text/plain"]).toContain(
      "const seats: number[]",
    );
    expect(await inspect("1 + | 2")).toMatchObject({ found: false, data: {} });
  });
});

describe("completion", () => {
  it("within quotes gives the words that the position takes, and puts one between the quotes", async () => {
    const { matches, metadata } = await complete('exercise("|")');
    expect(matches).toEqual(["balance", "offset", "sub-level"]);
    expect(metadata._jupyter_types_experimental.map(({ type }) => type)).toEqual(["text", "text", "text"]);
    expect(await taken('exercise("|")')).toBe('exercise("balance")');
    expect(await taken('exercise("sub-l|")')).toBe('exercise("sub-level")');
    expect(await taken("exercise('of|', 3)")).toBe("exercise('offset', 3)");
    expect(await taken('exercise("ba|nana")')).toBe('exercise("balance")');
    expect(await taken('exercise("ba|')).toBe('exercise("balance');
    expect(await taken('const a = "🔊"; exercise("ba|")')).toBe('const a = "🔊"; exercise("balance")');
    expect((await complete('exercise("level|")')).matches).toEqual(["sub-level"]);
  });

  it("within quotes that may hold anything gives nothing", async () => {
    expect((await complete('const text = "|";')).matches).toEqual([]);
    expect((await complete('console.log("bal|");')).matches).toEqual([]);
  });

  it("after a group and a dot shows what there is, each with its kind", async () => {
    for (const text of ["decide.|", "const x = decide.|;"]) {
      const { metadata, cursor_start, cursor_end } = await complete(text);
      const kinds = Object.fromEntries(
        metadata._jupyter_types_experimental.map(({ text, type }) => [text, type]),
      );
      expect(kinds).toEqual({ limit: "variable", louder: "function", offset: "function" });
      expect([cursor_start, cursor_end]).toEqual([text.indexOf("|"), text.indexOf("|")]);
    }
    expect(await taken("decide.off|")).toBe("decide.offset");
    expect(await taken("decide.off|(seats)")).toBe("decide.offset(seats)");
  });

  it("of a name knows what earlier cells and imports have made", async () => {
    for (const [text, name, kind] of [
      ["exer|", "exercise", "function"],
      ["deci|", "decide", "module"],
      ["oth|", "other", "variable"],
    ]) {
      const { matches, metadata } = await complete(text);
      expect(matches[0]).toBe(name);
      expect(metadata._jupyter_types_experimental[0]).toMatchObject({ text: name, type: kind });
    }
  });
});

describe("completion of the library's own names", () => {
  let course: Kernel;
  beforeAll(async () => {
    course = await startKernel(kernelCommand, path.resolve("notebooks"));
    expect(await course.execute('import * as all from "evenground";', () => {})).toBe("ok");
  }, 120_000);
  afterAll(() => course.stop());

  const endingIn = (folder: string, ending: string) =>
    readdirSync(folder)
      .filter((name) => name.endsWith(ending))
      .map((name) => name.slice(0, name.length - ending.length));

  it.each([
    ['all.course.exercise("|")', catalogue.map(({ id }) => id)],
    ['all.course.capstone("|")', capstones.map(({ id }) => id)],
    ['all.read.venue("|")', endingIn("data/venues", ".json")],
    ['all.read.example("|")', endingIn("data/shows", "")],
    ['all.panel("|")', Object.keys(panelKinds)],
  ])("%s offers all there are", async (text, expected) => {
    const { matches } = (await course.reply("complete_request", at(text))) as unknown as Completed;
    expect([...matches].sort()).toEqual([...expected].sort());
  });
});
