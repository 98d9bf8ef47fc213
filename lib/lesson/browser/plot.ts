/** Draws one figure into its piece of the page, and again when the page's width or theme changes. */
import Plotly from "plotly.js-dist-min";
import type { Figure } from "../figure";
import { paint } from "../paint";
import { onThemeChange, pageTheme } from "./page";

/** A drawing that stands in the page; `update` draws another figure in its place. */
export interface Drawing {
  update(figure: Figure): Promise<void>;
}

const redraws = new Map<HTMLElement, () => void>();
onThemeChange(() => {
  for (const [piece, redraw] of redraws) {
    if (piece.isConnected) redraw();
    else redraws.delete(piece);
  }
});

/**
 * Draws a figure.
 *
 * @param piece   the `figure` element from `figureHtml`
 * @param figure  what to draw
 */
export function plot(piece: HTMLElement, figure: Figure): Drawing {
  const drawing = piece.querySelector<HTMLElement>(".evenground-drawing");
  if (!drawing) throw new Error("a piece of the page lacks its place for the drawing: run the cell again");
  let shown = figure;
  let width = 0;
  const redraw = async () => {
    if (!width) return;
    const theme = pageTheme();
    piece.dataset.painted = theme;
    const { data, layout } = paint(shown, theme, width);
    drawing.setAttribute("role", "img");
    drawing.setAttribute("aria-label", `${shown.title}. ${shown.alt}`);
    await Plotly.react(drawing, data, layout, { displayModeBar: false, responsive: false });
  };
  new ResizeObserver(() => {
    const now = Math.floor(drawing.clientWidth);
    if (now === width || now === 0) return;
    width = now;
    void redraw();
  }).observe(drawing);
  redraws.set(piece, redraw);
  return {
    update: (next) => {
      shown = next;
      return redraw();
    },
  };
}
