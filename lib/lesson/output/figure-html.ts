/**
 * A figure, or a live panel, as a piece of HTML for a notebook's output, the book and the report.
 *
 * The piece holds the figure's data and its text, not the libraries: a short loader fetches one script, once a page,
 * from where this page keeps it. Until then, and where scripts may not run, a reader sees the text and what to do.
 */
import { escapeHtml } from "../../text/escape";
import type { Figure } from "../figures/parts/figure";
import { pack } from "./pack";

/**
 * A figure as HTML.
 *
 * @param figure  what to draw
 * @returns one `figure` element with its data and its loader
 * @throws RangeError when the figure holds a number that is not finite
 */
export const figureHtml = (figure: Figure): string => piece("figure", figure, figure);

/**
 * A piece of a page that the runtime brings to life.
 *
 * @param kind     what the runtime shall make of the data: "figure" or a panel's name
 * @param content  its data, plain or with typed arrays
 * @param words    title and the text for those who do not see it
 * @param noun     what the reader is told to wait for
 */
export function piece(
  kind: string,
  content: unknown,
  words: { readonly title: string; readonly alt: string },
  noun = "figure",
): string {
  return [
    `<figure class="evenground" data-kind="${escapeHtml(kind)}">`,
    `<figcaption>${escapeHtml(words.title)}</figcaption>`,
    `<div class="evenground-drawing"></div>`,
    `<p class="evenground-note"><em>This ${noun} is not drawn yet: run its cell again.</em></p>`,
    `<details><summary>In words</summary><p>${escapeHtml(words.alt)}</p></details>`,
    `<script type="application/json">${pack(content)}</script>`,
    `<script>${loader}</script>`,
    "</figure>",
  ].join("\n");
}

/**
 * Runs in the page, once for each piece. The page says where the runtime is by `evengroundAssets`; a Jupyter page by
 * its own configuration; else it lies in `assets/` beside the page.
 */
export const loader = `(function (piece) {
  var w = window, d = document;
  if (w.evenground) return w.evenground.draw(piece);
  (w.evengroundWaiting = w.evengroundWaiting || []).push(piece);
  if (w.evengroundWaiting.length > 1) return;
  var jupyter = d.getElementById("jupyter-config-data");
  var base = w.evengroundAssets || (jupyter ? JSON.parse(jupyter.textContent).baseUrl + "static/evenground/" : "assets/");
  var script = d.createElement("script");
  script.src = base + "runtime.js";
  script.onerror = function () {
    w.evengroundWaiting.splice(0).forEach(function (each) {
      each.querySelector(".evenground-note").textContent =
        "The drawing could not be loaded. Start the course with npm start, then run this cell again. In words: " +
        each.querySelector("details p").textContent;
    });
  };
  d.head.appendChild(script);
})(document.currentScript.parentNode);`;
