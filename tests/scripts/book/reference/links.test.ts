/** Links between lessons and the reference, and within it: each arrives, and each function of a lesson has one. */
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { colourCode } from "../../../../scripts/book/code";
import { renderLesson } from "../../../../scripts/book/lesson";
import { addressesOf, linkAll, linkFirstUses } from "../../../../scripts/book/reference/addresses";
import { readDeclarations } from "../../../../scripts/book/reference/declarations";
import { referencePages } from "../../../../scripts/book/reference/pages";
import { joined, type Notebook } from "../../../../scripts/notebook/format";
import { ensureLibrary } from "../../../../scripts/setup/library.mjs";

await ensureLibrary();
const root = path.join(__dirname, "..", "..", "..", "..");
const reference = readDeclarations(path.join(root, "dist", "index.d.ts"));
const addresses = addressesOf(reference);
const pages = new Map(referencePages(reference).map(({ file, lesson }) => [file, lesson.html]));
const arrives = (from: string, href: string) => {
  const [file, part] = href.split("#");
  const html = pages.get(file || from);
  return html !== undefined && (!part || html.split(`id="${part}"`).length === 2);
};
const linksIn = (html: string) => [...html.matchAll(/<a [^>]*?href="([^"]*)"/g)].map(([, href]) => href);

describe("a name in the reference", () => {
  it("has an address that is there, once", () => {
    expect(addresses.size).toBeGreaterThan(300);
    expect([...addresses].filter(([, href]) => !arrives("", href))).toEqual([]);
  });

  it("leads there from every page of the reference", () => {
    for (const [file, html] of pages) {
      const links = linksIn(html);
      expect(links.length, file).toBeGreaterThan(2);
      expect(
        links.filter((href) => !arrives(file, href)),
        file,
      ).toEqual([]);
    }
  });

  it("leads there from code with whatever stands behind it", () => {
    const colour = (code: string) =>
      colourCode(code, linkAll(new Map([["air.standard", "x.html#air.standard"]])));
    const link = '<a class="public" href="x.html#air.standard">air.standard</a>';
    expect(colour("air.standard.pressure")).toBe(`${link}.pressure`);
    expect(colour("{ ...air.standard }")).toBe(`{ ...${link} }`);
    expect(colour("my.air.standard + air.standards // air.standard")).not.toContain("<a");
  });
});

const folder = path.join(root, "notebooks");
describe.each(readdirSync(folder).filter((file) => file.endsWith(".ipynb")))("%s", (file) => {
  const notebook: Notebook = JSON.parse(readFileSync(path.join(folder, file), "utf8"));
  const { html } = renderLesson(notebook, (target) => target, linkFirstUses(reference, addresses));
  const links = [...html.matchAll(/<a class="public" href="([^"]*)">/g)].map(([, href]) => href);

  it("links each public function that its code calls, once, to its entry", () => {
    const code = notebook.cells
      .filter((cell) => cell.cell_type === "code")
      .map((cell) => joined(cell.source).replaceAll(/\/\/.*|"[^"\n]*"|`[^`]*`/g, ""))
      .join("\n");
    const called = reference.groups
      .flatMap(({ entries }) => entries.map(({ name }) => name))
      .filter((name) =>
        RegExp(`(?<![\\w]|[^.]\\.)${name.replaceAll(".", "\\.")}\\b${name.includes(".") ? "" : "\\("}`).test(
          code,
        ),
      );
    const taken = [...code.matchAll(/\{([^{}=]*)\} = (acoustics\.\w+)/g)].flatMap(([, names, group]) =>
      names.split(",").map((name) => `${group}.${name.split(":")[0].trim()}`),
    );
    const expected = [...new Set([...called, ...taken])].map((name) => addresses.get(name));
    expect(links.length).toBeGreaterThan(1);
    expect([...links].sort()).toEqual(expected.sort());
    expect(links.filter((href) => !arrives("", href))).toEqual([]);
  });
});
