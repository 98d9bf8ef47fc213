/** Pages for whoever teaches: plans, a lab, a guide for each lesson, and the sheets that students write on. */
import { readdirSync } from "node:fs";
import { escapeHtml } from "../../../lib/text/escape";
import { inRoot } from "../../setup/places.mjs";
import type { Lesson } from "../lesson";

/** What stands before the guides of lessons, in this order. */
const plans = ["README", "ninety-minutes", "twenty-minutes", "real-room", "sheets"];

/** @returns Markdown of the folder of notebooks, the first page first */
export function teachingFiles(): string[] {
  const guides = readdirSync(inRoot("notebooks", "mentors"))
    .filter((file) => /^\d+.*\.md$/.test(file))
    .sort();
  return [...plans.map((plan) => `${plan}.md`), ...guides].map((file) => `mentors/${file}`);
}

/** The page that lists the sheets, with the list. */
export function withSheets(
  lesson: Lesson,
  sheets: readonly { readonly file: string; readonly title: string }[],
): Lesson {
  const items = sheets.map(
    ({ file, title }) => `<li><a href="${encodeURI(file)}">${escapeHtml(title)}</a></li>`,
  );
  return {
    ...lesson,
    html: `${lesson.html}\n<section class="prose"><ul>\n${items.join("\n")}\n</ul></section>`,
  };
}
