/** Draws one figure into its place in the page, and again when the place's width or the page's theme changes. */
import Plotly from "plotly.js-dist-min";
import { type Painted, paint } from "../figures/parts/apply-theme";
import type { Figure } from "../figures/parts/figure";
import { onLookChange, pageScale, pageTheme } from "./page";
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
onLookChange(() => {
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
  let drawn: Painted | undefined;
  let resting: ReturnType<typeof setTimeout> | undefined;
  const painted = () => {
    const scale = pageScale();
    const whole = paint(shown, pageTheme(), width, scale);
    if (scale === 1) return whole;
    // What is presented must fit the window with its title.
    const height = Math.min(Number(whole.layout.height), tallest * window.innerHeight);
    return { ...whole, layout: { ...whole.layout, height } };
  };
  const describe = () => {
    place.setAttribute("role", "img");
    place.setAttribute("aria-label", `${shown.title}. ${shown.alt}`);
  };
  const redraw = () => {
    clearTimeout(resting);
    if (!width) return;
    place.closest<HTMLElement>("figure.evenground")?.setAttribute("data-painted", pageTheme());
    describe();
    drawn = painted();
    place.style.minHeight = `${drawn.layout.height}px`;
    // Plotly writes into what it is given, so it gets copies.
    const { data, layout } = structuredClone(drawn);
    void Plotly.react(place, data, layout, { displayModeBar: false, responsive: false });
  };
  new ResizeObserver(() => {
    const now = Math.floor(place.clientWidth);
    if (now === 0 || Math.max(now, narrowest) === width) return;
    width = Math.max(now, narrowest);
    redraw();
  }).observe(place);
  redraws.set(place, redraw);
  return {
    update: (next) => {
      shown = next;
      if (!width || !drawn) return;
      const now = painted();
      if (!moveMarks(place, drawn, now)) return redraw();
      drawn = now;
      describe();
      clearTimeout(resting);
      resting = setTimeout(redraw, rest);
    },
  };
}
