// @ts-check
/** What of a lesson can be searched: its text, part by part, as plain words. */
import { readMarkdown } from "./markdown.mjs";

/**
 * @typedef {{ part: string, id: string, text: string, code: string }} Passage  what stands under one heading; text holds
 *   the prose and the words of its figures
 *
 * @param {any} notebook  executed
 * @param {readonly import("./markdown.mjs").Heading[]} headings  of its page, in order
 * @returns {Passage[]}
 */
export function passagesOf(notebook, headings) {
  /** @type {{ part: string, id: string, text: string[], code: string[] }[]} */
  const passages = [];
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

/**
 * The words of a shown figure, panel, table or exercise.
 *
 * @param {any} output
 * @returns {string[]}
 */
function wordsOf(output) {
  const html = joined(output.data?.["text/html"] ?? "");
  const text = html
    .replace(
      /<(script|style)\b[\s\S]*?<\/\1>|<p class="evenground-note">[\s\S]*?<\/p>|<summary>[\s\S]*?<\/summary>/g,
      " ",
    )
    .replace(/<[^>]*>/g, " ")
    .replace(/&(amp|lt|gt|quot|#39);/g, (_, name) => letters[name])
    .replace(/\s+/g, " ")
    .trim();
  return text ? [text] : [];
}

/** @type {Record<string, string>} */
const letters = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };

/** @param {string | string[]} text */
const joined = (text) => (Array.isArray(text) ? text.join("") : text);
