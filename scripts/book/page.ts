/** One page of the book: the lesson, the way to its neighbours, the list of all. */
import { escapeHtml } from "../../lib/text/escape";
import type { Notebook } from "../notebook/format";
import type { Lesson } from "./lesson";
import type { Heading } from "./markdown";

export interface Entry {
  readonly title: string;
  readonly file: string;
  /** Pages below this one, by a shorter name; they are listed where one of them is open. */
  readonly pages?: readonly Entry[];
}

export function renderPage({
  lesson,
  file,
  contents,
  notebook,
}: {
  lesson: Lesson;
  file: string;
  contents: readonly Entry[];
  /** What the page runs; none for a page without cells. */
  notebook?: Notebook;
}): string {
  const inOrder = contents.flatMap((entry) => [entry, ...(entry.pages ?? [])]);
  const at = inOrder.findIndex((entry) => entry.file === file);
  const parts = lesson.headings.filter(({ level }) => level === 2);
  return whole(
    lesson.title,
    `${sidebar(contents, file, parts)}
<main id="main">
${lesson.html}
${neighbours(inOrder[at - 1], inOrder[at + 1])}
</main>${notebook ? `\n${runnable(notebook)}` : ""}`,
  );
}

/** The first page. */
export function renderContents({
  title,
  words,
  contents,
}: {
  title: string;
  words: string;
  contents: readonly Entry[];
}): string {
  return whole(
    title,
    `<main id="main" class="first">
<section class="prose">
<h1>${escapeHtml(title)}</h1>
<p>${escapeHtml(words)}</p>
<nav aria-label="Contents"><ol class="lessons">
${contents.map((entry) => `<li>${anchor(entry)}</li>`).join("\n")}
</ol></nav>
</section>
</main>`,
  );
}

/** The notebook as the course has it, and what runs its cells. */
function runnable(notebook: Notebook): string {
  const cells = notebook.cells.map((cell) => (cell.cell_type === "code" ? { ...cell, outputs: [] } : cell));
  const json = JSON.stringify({ ...notebook, cells }).replaceAll("<", "\\u003c");
  return `<script type="application/json" id="book-notebook">${json}</script>
<script defer src="kernel/client.js"></script>
<script defer src="assets/run.js"></script>`;
}

/**
 * Nothing leaves the reader's computer, whatever a cell tries: a page and its kernel load the book's own files and ask for no
 * other. Cells are code that is made while the page runs, and figures carry the script that draws them.
 */
const policy = [
  "default-src 'none'",
  "script-src 'self' file: blob: 'unsafe-inline' 'unsafe-eval'",
  "worker-src 'self' blob:",
  "style-src 'self' file: 'unsafe-inline'",
  "img-src 'self' file: data: blob:",
  "font-src 'self' file: data:",
  "media-src data: blob:",
  "form-action 'none'",
  "base-uri 'none'",
].join("; ");

const whole = (title: string, body: string) => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="assets/formulas/katex.min.css">
<link rel="stylesheet" href="assets/book.css">
<script src="assets/theme.js"></script>
<script src="assets/present.js"></script>
<script defer src="assets/search.js"></script>
</head>
<body>
<a class="skip" href="#main">To the text</a>
<header>
<a href="index.html">Evenground</a>
<span class="tools">
<button type="button" id="book-search" accesskey="s" title="Search the book (access key S)">Search</button>
<button type="button" id="book-present" accesskey="p" aria-pressed="false" title="Large type for a projector (access key P)">Present</button>
<button type="button" id="book-theme">Dark or light</button>
</span>
</header>
${body}
</body>
</html>
`;

function sidebar(contents: readonly Entry[], file: string, parts: readonly Heading[]) {
  const item = (entry: Entry): string => {
    const { pages = [] } = entry;
    const isHere = entry.file === file;
    const inside = isHere
      ? parts.map(({ id, text }) => `<li><a href="#${id}">${escapeHtml(text)}</a></li>`)
      : [];
    const below = isHere || pages.some((page) => page.file === file) ? pages.map(item) : [];
    const list = [...inside, ...below].join("\n");
    const link = anchor(entry, isHere ? ' aria-current="page"' : "");
    return `<li>${link}${list && `\n<ul>\n${list}\n</ul>`}</li>`;
  };
  return `<nav class="contents" aria-label="Contents"><details open><summary>Contents</summary><ol>\n${contents.map(item).join("\n")}\n</ol></details></nav>`;
}

const neighbours = (
  previous: Entry | undefined,
  next: Entry | undefined,
) => `<nav class="neighbours" aria-label="Previous and next page">
${previous ? `<span>Before: ${anchor(previous, ' rel="prev"')}</span>` : ""}
${next ? `<span>Next: ${anchor(next, ' rel="next"')}</span>` : ""}
</nav>`;

const anchor = ({ title, file }: Entry, attributes: string = "") =>
  `<a href="${encodeURI(file)}"${attributes}>${escapeHtml(title)}</a>`;
