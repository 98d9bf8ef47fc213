/**
 * What a page with figures loads, once: it draws every piece that `figureHtml` and `panel` left in the page.
 *
 * Built into one script with Plotly inside, so that a page needs one file, on a server, on disk or inlined.
 */
import type { Figure } from "../figure";
import { unpack } from "../pack";
import { addRules } from "./page";
import { plot } from "./plot";

declare global {
  interface Window {
    evenground?: { readonly draw: (piece: HTMLElement) => void };
    evengroundWaiting?: HTMLElement[];
  }
}

function draw(piece: HTMLElement): void {
  const note = piece.querySelector<HTMLElement>(".evenground-note");
  try {
    const text = piece.querySelector('script[type="application/json"]')?.textContent ?? "";
    start(piece, text);
    if (note) note.hidden = true;
  } catch (problem) {
    if (!note) throw problem;
    note.hidden = false;
    note.textContent = `This could not be drawn (${(problem as Error).message}). Run its cell again.`;
  }
}

function start(piece: HTMLElement, text: string): void {
  plot(piece, unpack<Figure>(text));
}

addRules();
window.evenground = { draw };
for (const piece of (window.evengroundWaiting ?? []).splice(0)) draw(piece);
