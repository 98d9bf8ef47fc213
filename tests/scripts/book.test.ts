import { describe, expect, it } from "vitest";
// @ts-expect-error  plain JavaScript, as it runs before anything is built
import { renderLesson } from "../../scripts/book/lesson.mjs";
// @ts-expect-error  as above
import { renderPage } from "../../scripts/book/page.mjs";

const text = (source: string, more = {}) => ({ cell_type: "markdown", source, metadata: {}, ...more });
const code = (source: string, outputs: unknown[] = []) => ({
  cell_type: "code",
  source,
  outputs,
  metadata: {},
});
const link = (target: string) => target.replace(/\.ipynb/, ".html");
const lesson = (...cells: unknown[]) => renderLesson({ cells: [text("# Title"), ...cells] }, { link });

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
    expect(html).toContain("&lt;u&gt;red");
    expect(html.replace(/<[^>]+>/g, "")).toContain("const a = &quot;&lt;b&gt;&quot;; // &lt;i&gt;");
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
    expect(() => renderLesson({ cells: [text("no title")] }, { link })).toThrow(/title/);
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
