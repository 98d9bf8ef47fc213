// @ts-check
/** One page of the book: the lesson, the way to its neighbours, the list of all. */
import { escapeHtml } from "./escape.mjs";

/**
 * @typedef {{ title: string, file: string }} Entry
 *
 * @param {{ lesson: import("./lesson.mjs").Lesson, file: string, contents: readonly Entry[] }} page
 * @returns {string} HTML
 */
export function renderPage({ lesson, file, contents }) {
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

/**
 * @param {{ title: string, words: string, contents: readonly Entry[] }} page
 * @returns {string} HTML of the first page
 */
export function renderContents({ title, words, contents }) {
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

/**
 * @param {string} title
 * @param {string} body
 */
const whole = (title, body) => `<!doctype html>
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

/**
 * @param {readonly Entry[]} contents
 * @param {string} file
 * @param {readonly import("./markdown.mjs").Heading[]} parts
 */
function sidebar(contents, file, parts) {
  const items = contents.map((entry) => {
    if (entry.file !== file) return `<li>${anchor(entry)}</li>`;
    const inside = parts
      .map(({ id, text }) => `<li><a href="#${id}">${escapeHtml(text)}</a></li>`)
      .join("\n");
    return `<li>${anchor(entry, ' aria-current="page"')}${inside && `\n<ul>\n${inside}\n</ul>`}</li>`;
  });
  return `<nav class="contents" aria-label="Lessons"><details open><summary>Contents</summary><ol>\n${items.join("\n")}\n</ol></details></nav>`;
}

/**
 * @param {Entry | undefined} previous
 * @param {Entry | undefined} next
 */
const neighbours = (previous, next) => `<nav class="neighbours" aria-label="Previous and next lesson">
${previous ? `<span>Before: ${anchor(previous, ' rel="prev"')}</span>` : ""}
${next ? `<span>Next: ${anchor(next, ' rel="next"')}</span>` : ""}
</nav>`;

/**
 * @param {Entry} entry
 * @param {string} [attributes]
 */
const anchor = ({ title, file }, attributes = "") =>
  `<a href="${encodeURI(file)}"${attributes}>${escapeHtml(title)}</a>`;
