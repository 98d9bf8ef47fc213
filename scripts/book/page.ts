/** One page of the book: the lesson, the way to its neighbours, the list of all. */
import { escapeHtml } from "../../lib/text/escape";
import type { Lesson } from "./lesson";
import type { Heading } from "./markdown";

interface Entry {
  readonly title: string;
  readonly file: string;
}

export function renderPage({
  lesson,
  file,
  contents,
}: {
  lesson: Lesson;
  file: string;
  contents: readonly Entry[];
}): string {
  const at = contents.findIndex((entry) => entry.file === file);
  const parts = lesson.headings.filter(({ level }) => level === 2);
  return whole(
    lesson.title,
    `${sidebar(contents, file, parts)}
<main id="main">
${lesson.html}
${neighbours(contents[at - 1], contents[at + 1])}
</main>`,
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
<nav aria-label="Lessons"><ol class="lessons">
${contents.map((entry) => `<li>${anchor(entry)}</li>`).join("\n")}
</ol></nav>
</section>
</main>`,
  );
}

const whole = (title: string, body: string) => `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
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
<button type="button" id="book-search" accesskey="s" title="Search the lessons (access key S)">Search</button>
<button type="button" id="book-present" accesskey="p" aria-pressed="false" title="Large type for a projector (access key P)">Present</button>
<button type="button" id="book-theme">Dark or light</button>
</span>
</header>
${body}
</body>
</html>
`;

function sidebar(contents: readonly Entry[], file: string, parts: readonly Heading[]) {
  const items = contents.map((entry) => {
    if (entry.file !== file) return `<li>${anchor(entry)}</li>`;
    const inside = parts
      .map(({ id, text }) => `<li><a href="#${id}">${escapeHtml(text)}</a></li>`)
      .join("\n");
    return `<li>${anchor(entry, ' aria-current="page"')}${inside && `\n<ul>\n${inside}\n</ul>`}</li>`;
  });
  return `<nav class="contents" aria-label="Lessons"><details open><summary>Contents</summary><ol>\n${items.join("\n")}\n</ol></details></nav>`;
}

const neighbours = (
  previous: Entry | undefined,
  next: Entry | undefined,
) => `<nav class="neighbours" aria-label="Previous and next lesson">
${previous ? `<span>Before: ${anchor(previous, ' rel="prev"')}</span>` : ""}
${next ? `<span>Next: ${anchor(next, ' rel="next"')}</span>` : ""}
</nav>`;

const anchor = ({ title, file }: Entry, attributes: string = "") =>
  `<a href="${encodeURI(file)}"${attributes}>${escapeHtml(title)}</a>`;
