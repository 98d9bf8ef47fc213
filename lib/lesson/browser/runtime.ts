/**
 * What a page with figures loads, once: it draws every piece that `figureHtml` and `panel` left in the page.
 *
 * Built into one script with Plotly inside, so that a page needs one file, on a server, on disk or inlined.
 */
import type { Figure } from "../figures/parts/figure";
import { unpack } from "../output/pack";
import { kinds, type PanelContents, type PanelName } from "../panels/kinds";
import type { PanelKind } from "../panels/panel";
import { keepSliderKeys, livePanel } from "./live-panel";
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
  const text = output.querySelector('script[type="application/json"]')?.textContent;
  const position = output.querySelector<HTMLElement>(".evenground-drawing");
  if (!text || !position) throw new Error("a part of it is missing from the page");
  const name = output.dataset.kind ?? "";
  if (name === "figure") {
    position.replaceChildren();
    plot(position, unpack<Figure>(text));
  } else if (Object.hasOwn(kinds, name)) {
    livePanel(output, kinds[name as PanelName] as PanelKind<never, PanelContents[PanelName]>, unpack(text));
  } else {
    throw new Error(`this page does not know the panel "${name}"`);
  }
}

addRules();
keepSliderKeys();
window.evenground = { draw };
for (const output of (window.evengroundWaiting ?? []).splice(0)) draw(output);
