/** What the page around a figure is like: light or dark, and the few rules of style that all pieces share. */
import { colours, font, type Theme } from "../figures/parts/style";

let printing = false;

/** The page's theme: what the page says of itself, else what its reader prefers; always light on paper. */
export function pageTheme(): Theme {
  if (printing) return "light";
  const said = document.documentElement.dataset.theme ?? document.body?.dataset.theme;
  if (said === "light" || said === "dark") return said;
  const jupyter = document.body?.dataset.jpThemeLight;
  if (jupyter) return jupyter === "false" ? "dark" : "light";
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

/** Between the margins of a sheet, A4 or Letter, whichever is narrower; and how high a drawing may be there, unless the page says: pixels. */
const sheetWidth = 680;
const highestOnPaper = 500;

/**
 * How large a drawing is on paper: its part of the text's width, and no higher than leaves room for words.
 *
 * @returns nothing on a screen
 */
export function onPaper(position: HTMLElement, width: number): { width: number; height: number } | undefined {
  if (!printing) return undefined;
  const text = position.closest("main") ?? document.body;
  const { paddingLeft, paddingRight } = getComputedStyle(text);
  const inside = text.clientWidth - Number.parseFloat(paddingLeft) - Number.parseFloat(paddingRight);
  const highest = Number(getComputedStyle(document.body).getPropertyValue("--highest-drawing"));
  return {
    width: Math.floor(width * Math.min(1, sheetWidth / inside)),
    height: highest || highestOnPaper,
  };
}

/** How much larger than usual the page wants its letters: in the book's presenting view, as its text; else 1. */
export function pageScale(): number {
  const root = document.documentElement;
  if (printing || root.dataset.presenting === undefined) return 1;
  return Number.parseFloat(getComputedStyle(root).fontSize) / 16;
}

/**
 * Calls back when the page turns light or dark or changes its letters, also for printing.
 *
 * @param redraw  draws everything anew
 */
export function onLookChange(redraw: () => void): void {
  const now = () => `${pageTheme()} ${pageScale()} ${printing}`;
  let drawn = now();
  const look = () => {
    if (now() === drawn) return;
    drawn = now();
    redraw();
  };
  const watcher = new MutationObserver(look);
  const attributeFilter = ["data-theme", "data-jp-theme-light", "data-presenting"];
  const watch = (element: HTMLElement) => watcher.observe(element, { attributes: true, attributeFilter });
  watch(document.documentElement);
  // A page may carry the runtime in its head, where there is no body yet.
  if (document.body) watch(document.body);
  else addEventListener("DOMContentLoaded", () => watch(document.body));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", look);
  for (const [event, value] of [
    ["beforeprint", true],
    ["afterprint", false],
  ] as const) {
    addEventListener(event, () => {
      printing = value;
      look();
    });
  }
}

/** Puts the shared rules into the page, once. */
export function addRules(): void {
  if (document.getElementById("evenground-rules")) return;
  const style = document.createElement("style");
  style.id = "evenground-rules";
  style.textContent = rules;
  document.head.appendChild(style);
}

const variables = (theme: Theme): string =>
  Object.entries(colours[theme])
    .map(([name, value]) => `--eg-${name}: ${value};`)
    .join(" ");

const rules = `
figure.evenground { ${variables("light")} margin: 0.5em 0 1em; max-width: 960px; color: var(--eg-ink); font: ${font.size}px/1.45 ${font.family}; }
figure.evenground[data-painted="dark"] { ${variables("dark")} }
figure.evenground figcaption { font-weight: 600; font-size: 1.08em; margin: 0 0 0.3em; }
figure.evenground .evenground-drawing { width: 100%; min-width: 0; overflow-x: auto; overflow-y: hidden; }
figure.evenground details { color: var(--eg-faint); margin-top: 0.2em; }
figure.evenground summary { cursor: pointer; padding: 0.2em 0; }
figure.evenground details p { margin: 0.2em 0; }
.evenground-sliders { display: grid; grid-template-columns: auto minmax(9em, 1fr) minmax(5.5em, auto); gap: 0.4em 0.9em; align-items: center; margin: 0.4em 0; }
.evenground-sliders input { width: 100%; margin: 0; min-height: 28px; accent-color: var(--eg-mark); }
.evenground-sliders output { font-variant-numeric: tabular-nums; font-weight: 600; text-align: right; }
.evenground-figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 340px), 1fr)); gap: 0.5em; align-items: start; }
.evenground-words { margin: 0.4em 0; font-size: 1.08em; min-height: 2.9em; }
@media (max-width: 600px) {
  .evenground-sliders { grid-template-columns: 1fr auto; grid-auto-flow: dense; row-gap: 0.1em; }
  .evenground-sliders output { grid-column: 2; }
  .evenground-sliders input { grid-column: 1 / -1; grid-row: auto; }
  .evenground-sliders label { grid-column: 1; }
}
.evenground-guess { margin: 0.5em 0 1em; max-width: 960px; font: ${font.size}px/1.45 ${font.family}; color: inherit; }
.evenground-guess table, .evenground-guess input { font-size: 1em; }
:root[data-presenting] .evenground-guess { font-size: 1rem; }
.evenground-guess form, .evenground-guess [role="status"] { border-left: 4px solid currentColor; padding: 0.4em 1em; margin: 0 0 0.5em; }
.evenground-guess [role="status"]:empty, .evenground-guess form[hidden] { display: none; }
.evenground-guess fieldset { border: 0; margin: 0 0 0.5em; padding: 0; }
.evenground-guess legend { font-weight: 600; padding: 0 0 0.3em; }
.evenground-guess label { display: block; padding: 0.15em 0; }
.evenground-guess button, .evenground-guess input[type="text"] { font: inherit; color: inherit; background: transparent; border: 1px solid currentColor; border-radius: 4px; padding: 0.3em 0.7em; margin: 0.15em 0; }
.evenground-guess button { cursor: pointer; }
.evenground-guess table { border-collapse: collapse; color: inherit; }
.evenground-guess caption { text-align: left; font-weight: 600; padding: 0.3em 0; }
.evenground-guess th, .evenground-guess td { text-align: left; font-weight: normal; padding: 0.25em 0.9em 0.25em 0; white-space: normal; }
.evenground-sketch p { margin: 0; }
.evenground-sketch svg { display: block; max-width: 100%; touch-action: none; cursor: crosshair; font: inherit; }
.evenground-sketch > div { position: relative; }
.evenground-sketch input { position: absolute; top: 0; width: 24px; margin: 0 0 0 -12px; opacity: 0; pointer-events: none; }
.evenground-sketch circle[data-focus] { stroke: currentColor; stroke-width: 9; stroke-opacity: 0.35; }
.evenground-scale > div { display: flex; align-items: center; gap: 0.6em; }
.evenground-scale span { flex: 0 0 3em; }
.evenground-scale i { height: 0.7em; background: currentColor; min-width: 2px; }
.evenground-scale > div:first-child i { background: none; border: 2px solid currentColor; box-sizing: border-box; }
[data-waits] > .outputs > *, :is(.shown, .jp-OutputArea-child):has(.evenground-guess form:not([hidden])) ~ * { display: none; }
[data-waits] > .outputs::after { content: "This opens after the prediction above."; font-style: italic; }
@media print { .evenground-guess form, .evenground-guess button { display: none; } }
@media print { figure.evenground { break-inside: avoid; } .evenground-sliders input, figure.evenground summary { display: none; } }
`;
