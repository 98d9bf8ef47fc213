/** Draws one figure into its place in the page, and again when the place's width or the page's theme changes. */
import Plotly from "plotly.js-cartesian-dist-min";
import { applyTheme, type ThemedFigure } from "../figures/parts/apply-theme";
import type { Figure } from "../figures/parts/figure";
import { drawInTurn } from "./in-turn";
import { onLookChange, onPaper, pageScale, pageTheme } from "./page";
import { moveMarks } from "./quick-marks";

/** A drawing that stands in the page; `update` draws another figure in its place. */
export interface Drawing {
  update(figure: Figure): void;
}

/** Less width than this, pixels, holds no axes: the drawing is then cut off at the side. */
const narrowest = 260;

/** Of the window's height, for a presented drawing. */
const tallest = 0.78;

/** A slider that has not moved for this long rests, milliseconds. */
const rest = 150;

const redraws = new Map<HTMLElement, () => void>();
const changes = new WeakMap<HTMLElement, (change: Change) => void>();

type Change = (figure: Figure) => Figure;

/**
 * Draws a figure that stands in the page with something more in it, or as it was made.
 *
 * @param position  the place of its drawing
 * @param change  of the figure as it was made
 */
export function changeFigure(position: HTMLElement, change: Change): void {
  changes.get(position)?.(change);
}
onLookChange(() => {
  for (const [position, redraw] of redraws) {
    if (position.isConnected) redraw();
    else redraws.delete(position);
  }
});

/**
 * Draws a figure.
 *
 * @param position   an element of the page, empty
 * @param figure  what to draw
 */
export function plot(position: HTMLElement, figure: Figure): Drawing {
  let shown = figure;
  let width = 0;
  let drawn: ThemedFigure | undefined;
  let resting: ReturnType<typeof setTimeout> | undefined;
  const themed = () => {
    const scale = pageScale();
    const paper = onPaper(position, width);
    if (paper) {
      const height = Math.min(shown.height, paper.height);
      return applyTheme({ ...shown, height }, pageTheme(), Math.max(paper.width, narrowest));
    }
    if (scale === 1) return applyTheme(shown, pageTheme(), width);
    // What is presented must fit the window with its title.
    const room = tallest * window.innerHeight;
    // On a stage it fills the height, alone or with another below it.
    const rows = Number(getComputedStyle(position).getPropertyValue("--stage-rows"));
    if (rows) return applyTheme(shown, pageTheme(), width, scale, Math.floor(room / rows));
    const whole = applyTheme(shown, pageTheme(), width, scale);
    return Number(whole.layout.height) <= room
      ? whole
      : applyTheme(shown, pageTheme(), width, scale, Math.floor(room));
  };
  const describe = () => {
    position.setAttribute("role", "img");
    position.setAttribute("aria-label", `${shown.title}. ${shown.alt}`);
  };
  const redraw = () => {
    clearTimeout(resting);
    if (!width) return;
    position.closest<HTMLElement>("figure.evenground")?.setAttribute("data-painted", pageTheme());
    describe();
    drawn = themed();
    position.style.minHeight = `${drawn.layout.height}px`;
    // Plotly writes into what it is given, so it gets copies.
    const { data, layout } = structuredClone(drawn);
    void Plotly.react(position, data, layout, { displayModeBar: false, responsive: false });
  };
  new ResizeObserver(() => {
    const now = Math.floor(position.clientWidth);
    if (now === 0 || (drawn && Math.max(now, narrowest) === width)) return;
    width = Math.max(now, narrowest);
    if (drawn) return redraw();
    // Its room is kept meanwhile, so that nothing that is read moves.
    position.style.minHeight = `${themed().layout.height}px`;
    describe();
    drawInTurn(position, redraw);
  }).observe(position);
  redraws.set(position, redraw);
  changes.set(position, (change) => {
    shown = change(figure);
    if (drawn) redraw();
  });
  return {
    update: (next) => {
      shown = next;
      if (!width || !drawn) return;
      const now = themed();
      if (!moveMarks(position, drawn, now)) return redraw();
      drawn = now;
      describe();
      clearTimeout(resting);
      resting = setTimeout(redraw, rest);
    },
  };
}
