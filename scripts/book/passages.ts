/** What of a lesson can be searched: its text, part by part, as plain words. */
import { joined, type Notebook, type Output } from "../notebook/format";
import { type Heading, readMarkdown } from "./markdown";

/** What stands under one heading; text holds the prose and the words of its figures. */
export interface Passage {
  readonly part: string;
  readonly id: string;
  readonly text: string;
  readonly code: string;
  /** How much it counts beside what else is found; 1 where nothing is said. */
  readonly weight?: number;
}

/**
 * @param notebook  executed
 * @param headings  of its page, in order
 */
export function passagesOf(notebook: Notebook, headings: readonly Heading[]): Passage[] {
  const passages: { part: string; id: string; text: string[]; code: string[] }[] = [];
  for (const cell of notebook.cells) {
    const source = joined(cell.source);
    if (cell.cell_type === "markdown") {
      for (const { heading, text } of readMarkdown(source)) {
        if (heading) passages.push({ part: text, id: headings[passages.length].id, text: [], code: [] });
        else passages.at(-1)?.text.push(text);
      }
    }
    if (cell.cell_type === "code") {
      passages.at(-1)?.code.push(source);
      passages.at(-1)?.text.push(...cell.outputs.flatMap(wordsOf));
    }
  }
  return passages.map(({ text, code, ...rest }) => ({
    ...rest,
    text: text.join(" "),
    code: code.join("\n"),
  }));
}

/** The words of a shown figure, panel, table or exercise. */
function wordsOf(output: Output): string[] {
  const html = joined(output.data?.["text/html"]);
  const text = html
    .replace(
      /<(script|style)\b[\s\S]*?<\/\1>|<p class="evenground-note">[\s\S]*?<\/p>|<summary>[\s\S]*?<\/summary>/g,
      " ",
    )
    .replace(/<[^>]*>/g, " ")
    .replace(/&#(\d+);/g, (_, code) => String.fromCharCode(code))
    .replace(/&(amp|lt|gt|quot);/g, (_, name) => letters[name])
    .replace(/\s+/g, " ")
    .trim();
  return text ? [text] : [];
}

const letters: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"' };
