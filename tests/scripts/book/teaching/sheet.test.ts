import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { sheetOf } from "../../../../scripts/book/teaching/sheet";
import { joined, type Notebook } from "../../../../scripts/notebook/format";

const folder = path.join(__dirname, "..", "..", "..", "..", "notebooks");
const lessons = readdirSync(folder)
  .filter((file) => file.endsWith(".ipynb"))
  .map((file) => ({
    file,
    notebook: JSON.parse(readFileSync(path.join(folder, file), "utf8")) as Notebook,
  }));
const plain = (html: string) => html.replace(/<style[\s\S]*?<\/style>|<[^>]+>/g, " ").replace(/\s+/g, " ");

describe("a student's sheet", () => {
  it.each(lessons)("of $file asks each prediction once, and answers none", ({ notebook }) => {
    const { html } = sheetOf(notebook);
    const text = joined(notebook.cells.map(({ source }) => joined(source)).join("\n"));
    const asked = text.match(/^\*\*Predict\.\*\*/gm) ?? [];
    expect(asked.length).toBeGreaterThan(2);
    expect(html.match(/<li><b>/g)).toHaveLength(asked.length);
    expect(plain(html)).not.toMatch(/Explain\.|Answers|import /);
  });

  it.each(lessons)(
    "of $file ends with the lesson's last questions, without their answers",
    ({ notebook }) => {
      const text = notebook.cells.map(({ source }) => joined(source)).join("\n");
      const questions = /\*\*Check yourself\*\*\n+((?:\* .*\n)+)/.exec(text)?.[1].trim().split("\n") ?? [];
      const [, ended = ""] = sheetOf(notebook).html.split("Check yourself");
      expect(questions.length).toBeGreaterThan(2);
      expect(ended.match(/<li>/g)).toHaveLength(questions.length);
    },
  );

  it("keeps what a notebook writes from being taken for its own page", () => {
    const source = "# <script>alert(1)</script>\n\n**Predict.** Which?";
    const notebook = { cells: [{ cell_type: "markdown", source, outputs: [] }] } as unknown as Notebook;
    expect(sheetOf(notebook).html).not.toMatch(/<h1><script>/);
  });
});
