import { describe, expect, it } from "vitest";
import { lineWith } from "../../scripts/book/browser/line-with.js";
import { renderLesson } from "../../scripts/book/lesson";
import { renderPage } from "../../scripts/book/page";
import { passagesOf } from "../../scripts/book/passages";
import type { Cell, Output } from "../../scripts/notebook/format";

const text = (source: string, more = {}) => ({
  cell_type: "markdown",
  source,
  metadata: {},
  outputs: [],
  ...more,
});
const code = (source: string, outputs: Output[] = []) => ({
  cell_type: "code",
  source,
  outputs,
  metadata: {},
});
const link = (target: string) => target.replace(/\.ipynb/, ".html");
const lesson = (...cells: Cell[]) => renderLesson({ cells: [text("# Title"), ...cells] }, link);

describe("a page of the book", () => {
  it("typesets formulas within a line and on lines of their own", () => {
    const { html } = lesson(text("Falls by $20\\lg r$ dB.\n\n$$\nx_1 = \\frac{a}{b}\n$$\n\nAnd on."));
    expect(html.match(/class="katex"/g)).toHaveLength(2);
    expect(html.match(/class="katex-display"/g)).toHaveLength(1);
    expect(html).not.toContain("$");
    expect(html).toContain("And on.");
  });

  it("leaves money, code and escaped dollars alone", () => {
    const { html } = lesson(text("From $5 to $6, `$x$`, \\$y\\$\n\n    $z$\n"));
    expect(html).not.toContain("katex");
    expect(html).toContain("From $5 to $6");
    expect(html).toContain("<code>$x$</code>");
    expect(html).toContain("$y$");
  });

  it("refuses a formula that can't be typeset", () => {
    expect(() => lesson(text("$\\frac{1$"))).toThrow(/KaTeX/);
  });

  it("leads from lesson to lesson and into their parts", () => {
    const { html } = lesson(
      text("[next](02-next.ipynb#a-part), ![wall](wall.svg), [out](https://example.org/a.ipynb)"),
    );
    expect(html).toContain('href="02-next.html#a-part"');
    expect(html).toContain('src="wall.svg"');
  });

  it("gives each heading an address of its own", () => {
    const { headings } = lesson(text("## Why?\n\n## Why?\n\n## Größe & $L_p$"));
    expect(headings.map((heading: { id: string }) => heading.id)).toEqual([
      "title",
      "why",
      "why-2",
      "größe-l-p",
    ]);
  });

  it("shows code and what it said as text, never as HTML", () => {
    const { html } = lesson(
      code('const a = "<b>"; // <i>', [
        { output_type: "stream", name: "stdout", text: ["<u>", "\x1b[31mred"] },
      ]),
    );
    expect(html).not.toMatch(/<(b|i|u)>/);
    expect(html).toContain("&#60;u&#62;red");
    expect(html.replace(/<[^>]+>/g, "")).toContain("const a = &#34;&#60;b&#62;&#34;; // &#60;i&#62;");
  });

  it("shows of each output the richest kind, and errors as errors", () => {
    const { html } = lesson(
      code("x", [
        { output_type: "display_data", data: { "text/plain": "poor", "text/html": ["<em>", "rich</em>"] } },
        { output_type: "display_data", data: { "image/png": "AAAA\n" } },
        { output_type: "stream", name: "stderr", text: "RangeError: no" },
      ]),
    );
    expect(html).toContain("<em>rich</em>");
    expect(html).not.toContain("poor");
    expect(html).toContain('src="data:image/png;base64,AAAA"');
    expect(html).toMatch(/class="said error"[^>]*>RangeError: no/);
  });

  it("carries pictures that lie inside a cell", () => {
    const cell = text("![wall](attachment:wall.png)", {
      attachments: { "wall.png": { "image/png": "BBBB" } },
    });
    expect(lesson(cell).html).toContain('src="data:image/png;base64,BBBB"');
  });

  it("needs a title", () => {
    expect(() => renderLesson({ cells: [text("no title")] }, link)).toThrow(/title/);
  });

  it("knows its neighbours and marks itself in the list", () => {
    const contents = ["a", "b", "c"].map((name) => ({ title: name.toUpperCase(), file: `${name} 1.html` }));
    const html = renderPage({ lesson: lesson(text("## Part")), file: "b 1.html", contents });
    expect(html).toMatch(/Before: <a href="a%201.html" rel="prev">A</);
    expect(html).toMatch(/Next: <a href="c%201.html" rel="next">C</);
    expect(html.match(/aria-current="page"/g)).toHaveLength(1);
    expect(html).toContain('<li><a href="#part">Part</a></li>');
    expect(html).not.toMatch(/(src|href)="(https?:)?\/\//);
  });
});

describe("what can be searched", () => {
  const passages = (...cells: Cell[]) => {
    const notebook = { cells: [text("# Title"), ...cells] };
    return passagesOf(notebook, renderLesson(notebook, link).headings);
  };

  it("is each part under its heading's address, prose and code apart, in words as they are read", () => {
    expect(
      passages(
        text(
          "Before.\n\n## A `part`\n\nOver *two*\nlines, [linked](x.ipynb), $\\sqrt{1-\\alpha}$.\n\n$$\nx\n$$",
        ),
        code("const a = 1;"),
        text("## A `part`\n\nAgain."),
      ),
    ).toEqual([
      { part: "Title", id: "title", text: "Before.", code: "" },
      { part: "A part", id: "a-part", text: "Over two lines, linked, sqrt(1-alpha).", code: "const a = 1;" },
      { part: "A part", id: "a-part-2", text: "Again.", code: "" },
    ]);
  });

  it("holds a figure's title and words, not its data and not what stands there until it is drawn", () => {
    const html = `<figure><figcaption>Falls &amp; rises</figcaption><p class="evenground-note"><em>Not drawn yet</em></p>
<details><summary>In words</summary><p>from 3 dB</p></details><script type="application/json">{"secret":1}</script></figure>`;
    const [{ text: said }] = passages(
      code("x", [{ output_type: "display_data", data: { "text/html": html } }]),
    );
    expect(said).toBe("Falls & rises from 3 dB");
  });

  it("is shown as the line around the word, marked wherever it stands whole", () => {
    const long = `${"before ".repeat(30)}the notch, and a NOTCH but no notches ${"after ".repeat(30)}`;
    const pieces = lineWith(["notch"], long) ?? [];
    const marked = pieces.filter(({ isMatch }) => isMatch);
    expect(marked.map(({ piece }) => piece)).toEqual(["notch", "NOTCH"]);
    const line = pieces.map(({ piece }) => piece).join("");
    expect(line).toMatch(/^… before .*the notch, and a NOTCH but no notches after.* …$/);
    expect(line.length).toBeLessThan(200);
    expect(lineWith(["wall"], long)).toBeUndefined();
    expect(lineWith(["c++ (x"], "in c++ (x")).toEqual([
      { piece: "in ", isMatch: false },
      { piece: "c++ (x", isMatch: true },
      { piece: "", isMatch: false },
    ]);
  });
});
