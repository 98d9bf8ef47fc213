/**
 * Shows a figure, a panel or a table under the cell that made it.
 */
import type { Figure } from "../figures/parts/figure";
import type { Guess } from "../guesses/guess";
import { figureHtml } from "./figure-html";
import { notebookDisplay } from "./kernel";
import type { Showable } from "./showable";
import { type Frame, frameHtml } from "./table";

/**
 * Shows something under this cell of the notebook.
 *
 * @param things  figures, panels, tables, data frames, and whatever else has `html`, in the order in which they should
 *   stand; what follows a prediction (`course.guess`) opens once it has been made
 * @returns nothing: they stand under the cell
 * @throws RangeError when there is nothing to show, it is none of these, or no notebook is there to show it
 * @source own way, no outside source; check: tests/lesson/output/show.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * show(draw.venue(hall, { marked: hall.positions }));
 */
export function show(...things: readonly (Figure | Showable | Frame)[]): void {
  const [first, ...behind] = things;
  if (isGuess(first)) notebookDisplay().html(first.before(behind.map(htmlOf).join("\n")));
  else for (const thing of things) notebookDisplay().html(htmlOf(thing));
}

const isGuess = (thing: unknown): thing is Guess =>
  typeof thing === "object" && thing !== null && "before" in thing;

function htmlOf(thing: Figure | Showable | Frame): string {
  if (thing === undefined || thing === null)
    throw new RangeError(
      "show() was given nothing to show: run the cell that makes the figure, then this one",
    );
  if (typeof thing !== "object")
    throw new RangeError(`show() was given ${String(thing)}, which is no figure, panel or table`);
  if ("html" in thing) return thing.html;
  if ("columns" in thing) return frameHtml(thing);
  if ("data" in thing) return figureHtml(thing);
  throw new RangeError("show() was given an object that is no figure, panel or table");
}
