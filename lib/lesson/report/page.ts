/** A page that needs nothing beside it: words, figures and the script that draws them, in one HTML file. */
import { escapeHtml } from "../../text/escape";
import type { Figure } from "../figures/parts/figure";
import { figureHtml } from "../output/figure-html";
import type { Showable } from "../output/showable";

/** One part of a page: a heading and what stands under it. */
export interface Section {
  readonly heading: string;
  readonly parts: readonly Part[];
}

/** A paragraph, a list, a figure or a table. */
export type Part = string | { readonly list: readonly string[] } | { readonly figure: Figure } | Showable;

export interface Page {
  readonly title: string;
  /** The line under the title: venue, date, who it is for. */
  readonly subtitle: string;
  /** What to do and what comes of it, set apart at the top. */
  readonly inShort: readonly Part[];
  readonly sections: readonly Section[];
  /** True for a page to hand over: printed small enough to fit on one sheet. */
  readonly oneSheet?: boolean;
  /** Small print at the end. */
  readonly foot: readonly string[];
}

/**
 * The page as HTML, with the figures' script inside it.
 *
 * @param page     what it says; all text is escaped here
 * @param runtime  the script that draws figures (dist/assets/runtime.js); without it the page has words and tables only
 */
export function pageHtml(page: Page, runtime?: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(page.title)}</title>
<link rel="icon" href="data:,">
<style>${style}</style>
</head>
<body${page.oneSheet ? ' class="sheet"' : ""}>
${runtime ? `<script>${runtime.replace(/<\/(script)/gi, "<\\/$1")}</script>` : ""}
<main>
<h1>${escapeHtml(page.title)}</h1>
<p class="subtitle">${escapeHtml(page.subtitle)}</p>
<section class="short" aria-label="In short">${page.inShort.map(partHtml).join("\n")}</section>
${page.sections.map(sectionHtml).join("\n")}
<footer>${page.foot.map(paragraph).join("\n")}</footer>
</main>
</body>
</html>
`;
}

const paragraph = (text: string) => `<p>${escapeHtml(text)}</p>`;

const sectionHtml = ({ heading, parts }: Section) =>
  `<section>\n<h2>${escapeHtml(heading)}</h2>\n${parts.map(partHtml).join("\n")}\n</section>`;

function partHtml(part: Part): string {
  if (typeof part === "string") return paragraph(part);
  if ("list" in part) return `<ul>${part.list.map((item) => `<li>${escapeHtml(item)}</li>`).join("")}</ul>`;
  if ("figure" in part) return figureHtml(part.figure);
  return part.html;
}

const style = `
:root { color-scheme: light dark; --ink: #1d2733; --faint: #5b6773; --page: #fff; --line: #d5dbe0; --short: #f3f6f4; }
@media (prefers-color-scheme: dark) { :root { --ink: #e8edf2; --faint: #a9b4bf; --page: #161b21; --line: #343d47; --short: #1d2a26; } }
@media print { :root { --ink: #000; --faint: #444; --page: #fff; --line: #bbb; --short: #fff; } }
body { margin: 0; background: var(--page); color: var(--ink); font: 16px/1.5 system-ui, "DejaVu Sans", sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 1.2rem 1rem 3rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0; }
h2 { font-size: 1.2rem; margin: 2rem 0 0.4rem; padding-top: 0.8rem; border-top: 1px solid var(--line); }
.subtitle { color: var(--faint); margin: 0.2rem 0 1rem; }
.short { background: var(--short); border: 1px solid var(--line); border-radius: 6px; padding: 0.3rem 1rem; font-size: 1.08rem; }
.short td:last-child { border: 1px solid var(--faint); min-width: 7rem; }
@media (max-width: 480px) {
  .short { padding: 0.3rem 0.6rem; }
  .short table { font-size: 0.8rem; }
  .short th, .short td { padding-left: 0; padding-right: 0.5rem; }
  .short td:last-child { min-width: 0; }
}
p, ul { max-width: 44rem; }
table { border-collapse: collapse; font-size: 0.93rem; margin: 0.6rem 0; }
caption { text-align: left; color: var(--faint); padding-bottom: 0.3rem; }
th, td { padding: 0.25rem 0.8rem 0.25rem 0; border-bottom: 1px solid var(--line); }
footer { color: var(--faint); font-size: 0.87rem; margin-top: 2.5rem; border-top: 1px solid var(--line); }
@page { margin: 14mm; }
@media print {
  body { font-size: 10.5pt; }
  main { padding: 0; max-width: none; }
  figure, tr, li, p { break-inside: avoid; }
  .sheet main { zoom: 0.58; }
  .sheet th, .sheet td { padding-top: 0.1rem; padding-bottom: 0.1rem; }
  .sheet p, .sheet ul { max-width: none; margin: 0.4rem 0; }
  .sheet footer, .sheet h2 { margin-top: 0.7rem; }
  figure.evenground .evenground-drawing { overflow: hidden !important; }
  h2 { break-after: avoid; }
  figure.evenground details { display: none; }
  div[style*="overflow"] { overflow: visible !important; }
}
`;
