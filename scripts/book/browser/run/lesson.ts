/** A lesson on its page: the cells as the course has them, what the reader made of them, and what they put out. */
import type { Cell, Notebook, Output } from "../../../notebook/format";
import { joined } from "../../../notebook/format";

export interface RunCell {
  readonly section: HTMLElement;
  /** The code's place, which an editor may take. */
  readonly code: HTMLElement;
  readonly shown: HTMLElement;
  readonly source: Cell;
  readonly original: string;
  readonly mayFail: boolean;
  text: string;
  /** Of its last run; nothing where it shows what the book has. */
  outputs?: Output[];
}

export interface Lesson {
  readonly notebook: Notebook;
  readonly cells: readonly RunCell[];
}

/** The lesson of this page; nothing on a page that is none. */
export function lessonOfPage(): Lesson | undefined {
  const text = document.getElementById("book-notebook")?.textContent;
  if (!text) return undefined;
  const notebook: Notebook = JSON.parse(text);
  const sections = Array.from(document.querySelectorAll<HTMLElement>("section.cell"));
  const sources = notebook.cells.filter((cell) => cell.cell_type === "code");
  const cells = sources.map((source, i) => {
    const [code, shown] = ["details.code", ".outputs"].map(
      (part) => sections[i].querySelector(part) as HTMLElement,
    );
    const original = joined(source.source);
    const mayFail = source.metadata?.tags?.includes("raises-exception") ?? false;
    return { section: sections[i], code, shown, source, original, text: original, mayFail };
  });
  return { notebook, cells };
}

/** The lesson as a file that Jupyter opens, with what the reader changed and saw. */
export function notebookText({ notebook, cells }: Lesson): string {
  const bySource = new Map(cells.map((cell) => [cell.source, cell]));
  const filled = notebook.cells.map((source) => {
    const cell = bySource.get(source);
    return cell
      ? { ...source, source: cell.text, outputs: cell.outputs ?? [], execution_count: null }
      : source;
  });
  return `${JSON.stringify({ ...notebook, cells: filled }, null, 1)}\n`;
}

/**
 * The code of a saved notebook. Its outputs are left out: a file may come from anybody, and a page runs what it shows.
 *
 * @throws Error in a sentence where it is not this lesson's
 */
export function codeOfNotebook(text: string, { cells }: Lesson): string[] {
  let saved: Notebook;
  try {
    saved = JSON.parse(text);
  } catch {
    throw new Error("That file is no notebook.");
  }
  const codes = (saved.cells ?? [])
    .filter((cell) => cell.cell_type === "code")
    .map((cell) => joined(cell.source));
  if (codes.length !== cells.length)
    throw new Error(
      `That notebook has ${codes.length} code cells, this lesson ${cells.length}: open it on its own lesson's page.`,
    );
  return codes;
}
