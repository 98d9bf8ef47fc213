/** A student's sheet: a lesson on one printed page, as its question, its predictions, a grid to sketch in and its last questions. */
import { escapeHtml } from "../../../lib/text/escape";
import { joined, type Notebook } from "../../notebook/format";
import { renderMarkdown } from "../markdown";

export interface Sheet {
  readonly title: string;
  readonly html: string;
}

/** @returns a page by itself; nothing of what the lesson answers stands on it */
export function sheetOf(notebook: Notebook): Sheet {
  const text = notebook.cells
    .filter(({ cell_type }) => cell_type === "markdown")
    .map(({ source }) => joined(source))
    .join("\n\n");
  const title = /^# (.+)$/m.exec(text)?.[1] ?? "";
  const question = after(text, "The question from the job.")[0] ?? "";
  const check = /\*\*Check yourself\*\*\n+([\s\S]*?)\n+(?=<details|## )/.exec(text)?.[1] ?? "";
  const guesses = predictions(text);
  const body = `<header><h1>${escapeHtml(title)}</h1><p class="who">Name <i></i> Partner <i></i> Date <i></i></p></header>
${html(question)}
<main style="--line: ${guesses.length > 14 ? 4 : guesses.length > 10 ? 4.5 : guesses.length > 7 ? 9 : 13}mm">
<section><h2>Predict first, in ink</h2><ol>
${guesses
  .map(({ part, words }) => `<li><b>${escapeHtml(part)}</b> ${inline(words)}<i class="answer"></i></li>`)
  .join("\n")}
</ol></section>
<section class="whole"><h2>Sketch what you expect</h2>${grid(guesses.length > 14 ? 6 : 8)}</section>
<section><h2>Check yourself</h2>${html(check)}</section>
<section class="whole"><h2>What I'll do at the next load-in</h2><i class="answer"></i><i class="answer"></i></section>
</main>`;
  return { title, html: page(title, body) };
}

/** What follows these bold words, paragraph by paragraph. */
const after = (text: string, words: string): string[] =>
  text
    .split(/\n{2,}/)
    .map((paragraph) => paragraph.trim())
    .filter((paragraph) => paragraph.startsWith(`**${words}**`))
    .map((paragraph) => paragraph.slice(words.length + 4).trim());

/** With the number of the part in which each stands. */
function predictions(text: string): { part: string; words: string }[] {
  return text.split(/^(?=## )/m).flatMap((section) => {
    const [, part = ""] = /^## (\d+)/.exec(section) ?? [];
    return after(section, "Predict.").map((words) => ({ part, words }));
  });
}

const html = (source: string) => renderMarkdown(source, { headings: [], link: (target) => target });
const inline = (source: string) => html(source).replace(/^<p>|<\/p>\n?$/g, "");

const lines = (count: number, line: (at: number) => string) =>
  Array.from({ length: count + 1 }, (_, i) => line(i)).join("");
/** Squares of 5 mm, so many up, axes that the student names. */
const grid = (rows: number) => `<svg viewBox="0 0 80 ${5 * rows}" role="img" aria-label="An empty grid">
<g stroke="#c3ccd4" stroke-width="0.15">${lines(16, (i) => `<path d="M${5 * i} 0v${5 * rows}"/>`)}${lines(rows, (i) => `<path d="M0 ${5 * i}h80"/>`)}</g>
<path d="M0 0v${5 * rows}h80" fill="none" stroke="#1d2733" stroke-width="0.5"/></svg><p class="axes">across: <i></i> up: <i></i></p>`;

const page = (title: string, body: string) => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'self' file: 'unsafe-inline'; font-src 'self' file:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}: a sheet to print</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="assets/formulas/katex.min.css">
<link rel="stylesheet" href="assets/sheet.css">
</head>
<body>
${body}
</body>
</html>
`;
