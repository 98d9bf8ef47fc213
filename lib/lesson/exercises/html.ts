/** Exercises and marks as they stand under a cell. */
import { escapeHtml } from "../../text/escape";

const box = (body: string): string =>
  `<div class="evenground-exercise" style="border-left:4px solid currentColor;padding:0.2em 1em;max-width:46em">${body}</div>`;

export const paragraphs = (title: string, lines: readonly string[]): string =>
  box(`<p><strong>${escapeHtml(title)}</strong></p>${lines.map((l) => `<p>${escapeHtml(l)}</p>`).join("")}`);
