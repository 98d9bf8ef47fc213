/** Brings a panel to life: sliders that work by mouse, touch and keyboard, and a view that follows within a frame. */

import type { PanelContent, PanelKind, Slider } from "../panels/panel";
import { valuesOf } from "../panels/panel";
import { element } from "./element";
import { type Drawing, plot } from "./plot";

/** Pixels: plans are higher, and stand beside what goes with them where a page gives a panel all its height; curves lie below one another. */
const tall = 500;

/**
 * Starts a panel in its piece of the page.
 *
 * @param output    the `figure` element from `panelHtml`
 * @param kind     of the panel
 * @param content  data and sliders, from the piece
 */
export function livePanel<Content>(
  output: HTMLElement,
  kind: PanelKind<never, Content>,
  content: PanelContent<Content>,
): void {
  const view = kind.prepare(content.data);
  const sliders = content.sliders.map((slider) => ({ ...slider }));
  const position = output.querySelector<HTMLElement>(".evenground-drawing");
  if (!position) throw new Error("this panel has nowhere to put the drawing");
  position.replaceChildren();
  const controls = element("div", "", { className: "evenground-sliders" });
  const words = element("p", "", { className: "evenground-words" });
  words.setAttribute("aria-live", "polite");
  const figures = element("div", "", { className: "evenground-figures" });
  position.append(controls, words, figures);

  const drawings: Drawing[] = [];
  const update = () => {
    const { words: text, figures: shown } = view(valuesOf(sliders));
    words.textContent = text;
    figures.toggleAttribute(
      "data-tall",
      shown.some(({ height }) => height > tall),
    );
    shown.forEach((figure, i) => {
      if (drawings[i]) drawings[i].update(figure);
      else {
        const inner = element("div", "", { className: "evenground-drawing" });
        figures.append(inner);
        drawings[i] = plot(inner, figure);
      }
    });
  };
  let asked = false;
  const updateSoon = () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      update();
    });
  };
  for (const slider of sliders) controls.append(...control(slider, updateSoon));
  update();
}

function control(
  slider: { -readonly [key in keyof Slider]: Slider[key] },
  changed: () => void,
): HTMLElement[] {
  const label = element("label");
  const input = element("input");
  const output = element("output");
  input.id = `evenground-slider-${++count}`;
  label.htmlFor = input.id;
  output.htmlFor.add(input.id);
  label.textContent = slider.label;
  Object.assign(input, { type: "range", min: slider.min, max: slider.max, step: slider.step });
  input.value = String(slider.value);
  const say = () => {
    output.textContent = shown(slider);
    input.setAttribute("aria-valuetext", shown(slider));
  };
  input.addEventListener("input", () => {
    slider.value = Number(input.value);
    say();
    changed();
  });
  say();
  return [label, input, output];
}

let count = 0;

/**
 * Leaves a slider's and a prediction's keys to them, once for the page: notebooks do things of their own by the same ones. They
 * listen at the document, before anything within the page is asked, so this stands at the window, which is asked before them.
 */
export function keepKeys(): void {
  window.addEventListener(
    "keydown",
    (event) => {
      const target = event.target as Element | null;
      const onSlider = target?.id?.startsWith("evenground-slider-");
      const moves = /^(Arrow|Page|Home|End)/.test(event.key) && !event.ctrlKey && !event.metaKey;
      const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
      if ((onSlider && moves) || (plain && target?.closest(".evenground-asked"))) event.stopPropagation();
    },
    true,
  );
}

/** The value as read: with its sign where it may be negative. */
function shown({ value, unit, min, step }: Slider): string {
  const digits = step % 1 === 0 ? 0 : step * 10 === Math.round(step * 10) ? 1 : 2;
  const text = Math.abs(value).toFixed(digits);
  return `${value < 0 ? "−" : min < 0 && value > 0 ? "+" : ""}${text}${unit && unit !== "°" ? " " : ""}${unit}`;
}
