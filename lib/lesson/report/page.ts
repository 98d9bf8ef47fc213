/** A page that needs nothing beside it: words, figures and the script that draws them, in one HTML file. */
import type { Fitness } from "../../study/fitness";
import { escapeHtml } from "../../text/escape";
import type { Figure } from "../figures/parts/figure";
import { figureHtml } from "../output/figure-html";
import type { Showable } from "../output/showable";
import { badge, type State } from "./badge";
import { keepUnits } from "./keep-units";
import { style } from "./style";

/** One part of a page: a heading and what stands under it. */
export interface Section {
  readonly heading: string;
  readonly parts: readonly Part[];
}

/** A paragraph, a list, a figure, a table, or one of those below. */
export type Part =
  | string
  | { readonly list: readonly string[] }
  | { readonly figure: Figure }
  | State
  | Fact
  | Columns
  | { readonly heading: string }
  | { readonly blanks: readonly string[] }
  | Showable;

/** Side by side where there is room; with a table first, that one is as wide as it needs to be. */
export interface Columns {
  readonly columns: readonly (readonly Part[])[];
  readonly tableFirst?: boolean;
}

/** What is read from afar: large, what it is above it, what it means below. */
export interface Fact {
  readonly fact: string;
  readonly of: string;
  readonly means?: string;
}

export interface Page {
  readonly title: string;
  /** The line under the title: venue, date, who it is for. */
  readonly subtitle: string;
  /** Whether the answer is fit for use; absent on a page that has no answer. */
  readonly fitness?: Fitness;
  /** What to do and what comes of it, set apart at the top. */
  readonly inShort: readonly Part[];
  readonly sections: readonly Section[];
  /** True for a page to hand over: it is printed on one sheet. */
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
  const main = `<main>
<h1>${escapeHtml(page.title)}</h1>
<p class="subtitle">${page.subtitle.split(" · ").map(together).join(" · ")}</p>
<section class="short" aria-label="In short">${[...(page.fitness ? [badge(page.fitness)] : []), ...page.inShort.map(partHtml)].join("\n")}</section>
${page.sections.map(sectionHtml).join("\n")}
<footer>${page.foot.map(paragraph).join("\n")}</footer>
</main>`;
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
${keepUnits(main)}
</body>
</html>
`;
}

/** What a line breaks only where it must: a date is no two words. */
const together = (text: string) => `<span class="together">${escapeHtml(text)}</span>`;

const paragraph = (text: string) => `<p>${escapeHtml(text)}</p>`;

const sectionHtml = ({ heading, parts }: Section) =>
  `<section>\n<h2>${escapeHtml(heading)}</h2>\n${parts.map(partHtml).join("\n")}\n</section>`;

function partHtml(part: Part): string {
  if (typeof part === "string") return paragraph(part);
  if ("list" in part) return `<ul>${part.list.map((item) => `<li>${escapeHtml(item)}</li>`).join("")}</ul>`;
  if ("figure" in part) return figureHtml(part.figure);
  if ("heading" in part) return `<h3>${escapeHtml(part.heading)}</h3>`;
  if ("state" in part) return badge(part);
  if ("fact" in part) return factHtml(part);
  if ("columns" in part) {
    const columns = part.columns.map((parts) => `<div>${parts.map(partHtml).join("\n")}</div>`);
    return `<div class="columns${part.tableFirst ? " table-first" : ""}">${columns.join("\n")}</div>`;
  }
  if ("blanks" in part) {
    const blanks = part.blanks.map((label) => `<span class="blank">${escapeHtml(label)}</span>`);
    return `<p class="blanks">${blanks.join(" ")}</p>`;
  }
  return part.html;
}

const factHtml = ({ fact, of, means }: Fact) =>
  `<div class="fact"><p class="of">${escapeHtml(of)}</p><p class="value">${escapeHtml(fact)}</p>${means ? paragraph(means) : ""}</div>`;
