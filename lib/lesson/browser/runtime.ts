/**
 * What a page with figures loads, once: it draws every piece that `figureHtml` and `panel` left in the page.
 *
 * Built into one script with Plotly inside, so that a page needs one file, on a server, on disk or inlined.
 */
import type { Figure } from "../figures/parts/figure";
import type { GuessContent } from "../guesses/guess";
import type { Question } from "../guesses/question";
import { unpack } from "../output/pack";
import { kinds, type PanelContents, type PanelName } from "../panels/kinds";
import type { PanelKind } from "../panels/panel";
import { guessList, liveGuess } from "./guess";
import { keepKeys, livePanel } from "./live-panel";
import { addRules } from "./page";
import { plot } from "./plot";

declare global {
  interface Window {
    evenground?: { readonly draw: (output: HTMLElement) => void };
    evengroundWaiting?: HTMLElement[];
  }
}

function draw(output: HTMLElement): void {
  const note = output.querySelector<HTMLElement>(".evenground-note");
  try {
    start(output);
    if (note) note.hidden = true;
  } catch (problem) {
    if (!note) throw problem;
    note.hidden = false;
    note.textContent = `This could not be drawn: ${(problem as Error).message}. Run its cell again.`;
  }
}

function start(output: HTMLElement): void {
  const text = output.querySelector(':scope > script[type="application/json"]')?.textContent;
  const name = output.dataset.kind ?? "";
  const position = output.querySelector<HTMLElement>(".evenground-drawing, .evenground-asked");
  if (!text || !position) throw new Error("a part of it is missing from the page");
  if (name === "guess") {
    liveGuess(output, unpack<GuessContent>(text));
  } else if (name === "guesses") {
    guessList(output, unpack<{ [name: string]: Question }>(text));
  } else if (name === "figure") {
    position.replaceChildren();
    plot(position, unpack<Figure>(text));
  } else if (Object.hasOwn(kinds, name)) {
    livePanel(output, kinds[name as PanelName] as PanelKind<never, PanelContents[PanelName]>, unpack(text));
  } else {
    throw new Error(`this page does not know the panel "${name}"`);
  }
}

addRules();
keepKeys();
window.evenground = { draw };
for (const output of (window.evengroundWaiting ?? []).splice(0)) draw(output);
