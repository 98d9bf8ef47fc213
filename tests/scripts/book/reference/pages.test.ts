import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { renderPage } from "../../../../scripts/book/page";
import { readDeclarations } from "../../../../scripts/book/reference/declarations";
import { type ReferencePage, referencePages } from "../../../../scripts/book/reference/pages";

const declarations = `
/** A level. */
interface Found {
  /** Relative to the mains, dB. */
  readonly level: number;
  readonly unit?: types.Unit;
}
declare namespace types {
  type Unit = "dB" | "ratio";
}
/** What follows from a survey. */
declare namespace decide {
  /**
   * The level: louder or softer. Each seat counts once.
   *
   * As \`find.near\` has it, for \`a < b\`.
   *
   * @param seatPositions  where people sit, metres
   * @param options  what to aim at
   * @returns a level as \`Found\`
   * @throws RangeError when there is no seat
   * @source a handbook, chapter 3
   * @example
   * decide.offset([1, 2], { target: 0 }).level // 6.02
   */
  function offset(seatPositions: readonly number[], { target }?: {
    /** What is aimed at, dB. */
    readonly target?: number;
  }): Found;
}
/** What is found. */
declare namespace find {
  /** How near two are. */
  namespace near {
    /** Of two seats. */
    const two: number;
  }
}
/** Says it. */
declare function say(word: string): void;
export { decide, find, say, Found, types };
`;

let folder: string;
let pages: ReferencePage[];
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "pages "));
  const file = path.join(folder, "index.d.ts");
  writeFileSync(file, declarations);
  pages = referencePages(readDeclarations(file));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const page = (file: string) => pages.find((one) => one.file === file)?.lesson ?? expect.fail(file);
const words = (html: string) =>
  html
    .replaceAll(/<[^>]*>/g, " ")
    .replaceAll(/&#(\d+);/g, (_, code) => String.fromCharCode(code))
    .replaceAll("&lt;", "<")
    .replaceAll(/\s+/g, " ")
    .trim();

describe("the reference", () => {
  it("has a page that says how to read it, one a group, two of types", () => {
    expect(pages.map(({ file, label }) => [file, label])).toEqual([
      ["reference.html", "Reference"],
      ["reference-cells.html", "say"],
      ["reference-decide.html", "decide"],
      ["reference-find.html", "find"],
      ["reference-types.html", "types"],
      ["reference-inner-types.html", "types within types"],
    ]);
    const first = words(page("reference.html").html);
    expect(first).toContain("How to read an entry");
    expect(first).toContain("decide What follows from a survey. find What is found.");
  });

  it("lists a group's functions with their first sentence, then has an entry for each", () => {
    const { html, headings } = page("reference-decide.html");
    expect(words(html)).toMatch(
      /^Reference: decide What follows from a survey. offset The level. decide.offset/,
    );
    expect(headings).toContainEqual({ level: 2, text: "offset", id: "decide.offset" });
    expect(words(page("reference-find.html").html)).toContain(
      "find.near How near two are. two Of two seats.",
    );
  });

  it("says in an entry how a function is called, and all that its docstring says, in that order", () => {
    const [, entry] = page("reference-decide.html").html.split('<h2 id="decide.offset">');
    expect(words(entry)).toBe(
      [
        "decide.offset decide.offset(seatPositions: number[], options?: { … }): Found",
        "The level: louder or softer. Each seat counts once. As find.near has it, for a < b .",
        "Parameters seat Positions where people sit, metres number[] options? what to aim at",
        "Fields of options target? What is aimed at, dB. number",
        "Returns a level as Found Throws RangeError when there is no seat Source a handbook, chapter 3",
        "Example decide.offset([ 1 , 2 ], { target: 0 }).level // 6.02",
      ].join(" "),
    );
    expect(entry).toContain('<a class="public" href="reference-types.html#Found">Found</a>');
    expect(entry).toContain('<a href="reference-find.html#find.near"><code>find.near</code></a>');
    expect(entry).not.toContain('href="reference-decide.html#decide.offset"');
  });

  it("shows a type by its fields, or as it is declared where it has none", () => {
    expect(words(page("reference-types.html").html)).toMatch(
      /Found A level. Fields level Relative to the mains, dB. number unit\? Unit$/,
    );
    expect(words(page("reference-inner-types.html").html)).toMatch(/Unit type Unit = "dB" \| "ratio" ;$/);
  });

  it("can be searched: each entry's words under its name, how it is called and its example as code", () => {
    expect(page("reference-decide.html").passages).toEqual([
      {
        part: "decide.offset",
        id: "decide.offset",
        text: "The level: louder or softer. Each seat counts once.\n\nAs find.near has it, for a < b. where people sit, metres what to aim at What is aimed at, dB. a level as Found RangeError when there is no seat a handbook, chapter 3",
        code: "decide.offset(seatPositions: number[], options?: { … }): Found\ndecide.offset([1, 2], { target: 0 }).level // 6.02",
        weight: 0.6,
      },
    ]);
  });

  it("stands in the book's list of pages, its groups where one of them is open", () => {
    const [first, ...below] = pages.map(({ file, label }) => ({ file, title: label }));
    const contents = [
      { title: "One show", file: "01.html" },
      { ...first, pages: below },
    ];
    const render = (file: string) => renderPage({ lesson: page(file), file, contents });
    expect(render("reference-decide.html")).toContain(
      '<a href="reference-decide.html" aria-current="page">decide</a>\n<ul>\n<li><a href="#decide.offset">offset</a></li>',
    );
    expect(render("reference-decide.html")).toMatch(
      /Before: <a href="reference-cells.html".*\n.*Next: <a href="reference-find.html"/,
    );
    const lesson = renderPage({ lesson: page("reference.html"), file: "01.html", contents });
    expect(lesson).toContain('<a href="reference.html">Reference</a></li>');
    expect(lesson).not.toContain('<li><a href="reference-find.html"');
  });
});
