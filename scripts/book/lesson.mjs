// @ts-check
/** An executed notebook into the body of a page. */
import { stripVTControlCharacters } from "node:util";
import { colourCode } from "./code.mjs";
import { escapeHtml } from "./escape.mjs";
import { renderMarkdown } from "./markdown.mjs";

/**
 * @typedef {{ title: string, headings: import("./markdown.mjs").Heading[], html: string }} Lesson
 *
 * @param {any} notebook
 * @param {{ link: (target: string) => string }} page
 * @returns {Lesson}
 */
export function renderLesson(notebook, { link }) {
  /** @type {import("./markdown.mjs").Heading[]} */
  const headings = [];
  const html = notebook.cells
    .map((/** @type {any} */ cell) => {
      const source = joined(cell.source);
      if (cell.cell_type === "markdown") {
        const linked = (/** @type {string} */ target) => attachment(cell, target) ?? link(target);
        return `<section class="prose">\n${renderMarkdown(source, { headings, link: linked })}</section>`;
      }
      if (cell.cell_type === "code") return renderCode(source, cell.outputs, { headings, link });
      return "";
    })
    .join("\n");
  const title = headings.find(({ level }) => level === 1)?.text;
  if (!title)
    throw new Error("a notebook without a title: its first text cell needs a line that starts with #");
  return { title, headings, html };
}

/**
 * @param {string} source
 * @param {any[]} outputs
 * @param {Parameters<typeof renderMarkdown>[1]} page
 */
function renderCode(source, outputs, page) {
  const code = `<details class="code" open><summary>Code</summary><pre class="code" tabindex="0"><code>${colourCode(source)}</code></pre></details>`;
  return `<section class="cell">\n${code}\n${outputs.map((output) => renderOutput(output, page)).join("\n")}</section>`;
}

/**
 * @param {any} output
 * @param {Parameters<typeof renderMarkdown>[1]} page
 */
function renderOutput(output, page) {
  if (output.output_type === "stream") {
    const text = escapeHtml(stripVTControlCharacters(joined(output.text)));
    return `<pre class="said${output.name === "stderr" ? " error" : ""}" tabindex="0">${text}</pre>`;
  }
  if (output.output_type === "error")
    return `<pre class="said error">${escapeHtml(`${output.ename}: ${output.evalue}`)}</pre>`;
  const { data } = output;
  if (data["text/html"]) return `<div class="shown">${joined(data["text/html"])}</div>`;
  if (data["image/svg+xml"]) return `<div class="shown">${joined(data["image/svg+xml"])}</div>`;
  for (const type of ["image/png", "image/jpeg"]) {
    if (data[type])
      return `<div class="shown"><img alt="" src="data:${type};base64,${joined(data[type]).trim()}"></div>`;
  }
  if (data["text/markdown"])
    return `<div class="shown">${renderMarkdown(joined(data["text/markdown"]), page)}</div>`;
  if (data["text/latex"])
    return `<div class="shown">${renderMarkdown(joined(data["text/latex"]), page)}</div>`;
  return `<pre class="said" tabindex="0">${escapeHtml(joined(data["text/plain"] ?? ""))}</pre>`;
}

/**
 * A picture that lies inside its cell.
 *
 * @param {any} cell
 * @param {string} target
 */
function attachment(cell, target) {
  const [type, bytes] = Object.entries(cell.attachments?.[target.replace(/^attachment:/, "")] ?? {})[0] ?? [];
  return type ? `data:${type};base64,${bytes}` : undefined;
}

/** @param {string | string[]} text */
const joined = (text) => (Array.isArray(text) ? text.join("") : text);
