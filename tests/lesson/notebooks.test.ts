import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";

interface Cell {
  readonly id: string;
  readonly cell_type: "code" | "markdown";
  readonly source: readonly string[];
  readonly outputs?: readonly unknown[];
}

const folder = path.resolve(__dirname, "../../notebooks");
const names = readdirSync(folder).filter((name) => name.endsWith(".ipynb"));
const lessons = names.map((name) => {
  const { cells } = JSON.parse(readFileSync(path.join(folder, name), "utf8")) as { cells: Cell[] };
  const text = (type: Cell["cell_type"]) =>
    cells.flatMap((c) => (c.cell_type === type ? [c.source.join("")] : []));
  return { name, cells, words: text("markdown"), code: text("code") };
});

describe.each(lessons)("the lesson $name", ({ cells, words, code }) => {
  it("opens with a question from the job, what one will be able to do, the time it takes, and a caution", () => {
    for (const part of [
      "**The question from the job.**",
      "**Afterwards you can**",
      "**Time**",
      "> **Your ears",
    ])
      expect(words[0]).toContain(part);
  });

  it("closes with the next load-in, a self-check with as many answers as questions, and where the facts come from", () => {
    const closing = words[words.length - 1];
    const [before, check, rest] = closing.split(/\*\*Check yourself\*\*|<details>/);
    expect(before).toContain("## For the next load-in");
    expect(closing).toContain("## What was assumed, and where the facts come from");
    const bullets = (s: string) => s.match(/^\* /gm)?.length ?? 0;
    expect(bullets(check)).toBeGreaterThanOrEqual(4);
    expect(bullets(rest.split("</details>")[0])).toBe(bullets(check));
  });

  it("asks for a prediction and has a panel to move", () => {
    expect(words.filter((w) => w.includes("**Predict.**")).length).toBeGreaterThanOrEqual(3);
    expect(code.join("\n")).toMatch(/\bpanel\(/);
  });

  it("has cells of eight lines at most, of lines that a page holds, and each with a name of its own", () => {
    for (const cell of cells.filter((c) => c.cell_type === "code")) {
      expect(cell.source.length, cell.id).toBeLessThanOrEqual(8);
      for (const line of cell.source)
        expect(line.trimEnd().length, `${cell.id}: ${line}`).toBeLessThanOrEqual(120);
    }
    expect(new Set(cells.map((c) => c.id)).size).toBe(cells.length);
  });

  it("is kept without outputs", () => {
    for (const cell of cells) expect(cell.outputs ?? []).toEqual([]);
  });

  it("has a source, or common practice, beside each formula that is set apart", () => {
    for (const w of words.filter((w) => w.includes("$$"))) expect(w).toMatch(/\*\([^*]+\)\.?\*/);
  });

  it("links to lessons that are there", () => {
    for (const [, target] of words.join("\n").matchAll(/\]\((\d\d-[^)]+\.ipynb)\)/g))
      expect(existsSync(path.join(folder, target)), target).toBe(true);
  });
});

describe("the course", () => {
  it("leads from each lesson to the one after it, by number", () => {
    lessons.slice(0, -1).forEach(({ words }, i) => {
      expect(words[words.length - 1]).toContain(`](${lessons[i + 1].name})`);
    });
  });

  it("has a mentor's page for every lesson that is taught", () => {
    for (const { name } of lessons)
      expect(existsSync(path.join(folder, "mentors", name.replace(".ipynb", ".md"))), name).toBe(true);
  });
});
