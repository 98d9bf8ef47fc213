/** Draws one figure into its place in the page, and again when the place's width or the page's theme changes. */
import Plotly from "plotly.js-dist-min";
import type { Figure } from "../figure";
import { paint } from "../paint";
import { onThemeChange, pageTheme } from "./page";

/** A drawing that stands in the page; `update` draws another figure in its place. */
export interface Drawing {
  update(figure: Figure): void;
}

const redraws = new Map<HTMLElement, () => void>();
onThemeChange(() => {
  for (const [place, redraw] of redraws) {
    if (place.isConnected) redraw();
    else redraws.delete(place);
  }
});

/**
 * Draws a figure.
 *
 * @param place   an element of the page, empty
 * @param figure  what to draw
 */
export function plot(place: HTMLElement, figure: Figure): Drawing {
  let shown = figure;
  let width = 0;
  const redraw = () => {
    if (!width) return;
    const theme = pageTheme();
    place.closest<HTMLElement>("figure.evenground")?.setAttribute("data-painted", theme);
    const { data, layout } = paint(shown, theme, width);
    place.setAttribute("role", "img");
    place.setAttribute("aria-label", `${shown.title}. ${shown.alt}`);
    void Plotly.react(place, data, layout, { displayModeBar: false, responsive: false });
  };
  new ResizeObserver(() => {
    const now = Math.floor(place.clientWidth);
    if (now === width || now === 0) return;
    width = now;
    redraw();
  }).observe(place);
  redraws.set(place, redraw);
  place.style.minHeight = `${figure.height}px`;
  return {
    update: (next) => {
      shown = next;
      redraw();
    },
  };
}
