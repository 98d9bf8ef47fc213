/** An executed notebook into the body of a page. */
import { stripVTControlCharacters } from "node:util";
import { escapeHtml } from "../../lib/text/escape";
import { type Cell, joined, type Notebook, type Output } from "../notebook/format";
import { colourCode, type NameLink } from "./code";
import { type Heading, type Page, renderMarkdown } from "./markdown";

export interface Lesson {
  readonly title: string;
  readonly headings: readonly Heading[];
  readonly html: string;
}

/**
 * @param link  where a link of the notebook leads in the book
 * @param nameLink  where a name in its code leads
 */
export function renderLesson(notebook: Notebook, link: Page["link"], nameLink?: NameLink): Lesson {
  const headings: Heading[] = [];
  const html = notebook.cells
    .map((cell) => {
      const source = joined(cell.source);
      if (cell.cell_type === "markdown") {
        const linked = (target: string) => attachment(cell, target) ?? link(target);
        return `<section class="prose">\n${renderMarkdown(source, { headings, link: linked })}</section>`;
      }
      if (cell.cell_type === "code") return renderCode(source, cell.outputs, { headings, link, nameLink });
      return "";
    })
    .join("\n");
  const title = headings.find(({ level }) => level === 1)?.text;
  if (!title)
    throw new Error("a notebook without a title: its first text cell needs a line that starts with #");
  return { title, headings, html };
}

function renderCode(
  source: string,
  outputs: readonly Output[],
  page: Page & { readonly nameLink?: NameLink },
): string {
  const code = `<details class="code" open><summary>Code</summary><pre class="code" tabindex="0"><code>${colourCode(source, page.nameLink)}</code></pre></details>`;
  const shown = outputs.map((output) => renderOutput(output, page)).join("\n");
  return `<section class="cell">\n${code}\n<div class="outputs">${shown}</div></section>`;
}

function renderOutput(output: Output, page: Page): string {
  if (output.output_type === "stream") {
    const text = escapeHtml(stripVTControlCharacters(joined(output.text)));
    return `<pre class="said${output.name === "stderr" ? " error" : ""}" tabindex="0">${text}</pre>`;
  }
  if (output.output_type === "error")
    return `<pre class="said error">${escapeHtml(`${output.ename}: ${output.evalue}`)}</pre>`;
  const { data = {} } = output;
  const type = richest.find((one) => data[one]) ?? "text/plain";
  const content = joined(data[type]);
  if (type === "text/plain") return `<pre class="said" tabindex="0">${escapeHtml(content)}</pre>`;
  if (type === "image/png" || type === "image/jpeg")
    return `<div class="shown"><img alt="" src="data:${type};base64,${content.trim()}"></div>`;
  const isHtml = type === "text/html" || type === "image/svg+xml";
  return `<div class="shown">${isHtml ? content : renderMarkdown(content, page)}</div>`;
}

/** Kinds of an output beside plain text, the one to show first. */
const richest = ["text/html", "image/svg+xml", "image/png", "image/jpeg", "text/markdown", "text/latex"];

/** A picture that lies inside its cell. */
function attachment(cell: Cell, target: string): string | undefined {
  const found = cell.attachments?.[target.replace(/^attachment:/, "")];
  const [type, bytes] = Object.entries(found ?? {})[0] ?? [];
  return type ? `data:${type};base64,${bytes}` : undefined;
}
