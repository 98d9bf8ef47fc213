import { linearAxis } from "./parts/axes";
import { curvesFigure } from "./parts/curves";
import type { Figure } from "./parts/figure";

export interface NotchesOptions {
  /** Distances of the rows, metres, ascending. */
  readonly x: ArrayLike<number>;
  /** Frequency of the lowest notch in each row, hertz, by what makes it. */
  readonly causes: { readonly [label: string]: ArrayLike<number> };
  /** Highest frequency shown, hertz. Default 200. */
  readonly upTo?: number;
  /** Above the figure. Default "The lowest notch, from row to row". */
  readonly title?: string;
}

/**
 * Where the lowest notch of each cause lies from row to row.
 *
 * Across: distance from the stage edge (m). Up: frequency of the lowest notch (Hz). A curve that stays level has its cause
 * near the source, such as a wall behind the subs; one that wanders has it in a path that changes with the row, such as
 * over the floor or a side wall.
 *
 * @param options  rows and causes
 * @returns a figure, for `show`
 * @throws RangeError when there is no cause, or one has another number of rows
 * @source own way, no outside source; check: tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const x = [4, 8, 16];
 * const behind = x.map(() => acoustics.reflection.notches(3.3, 343, 200)[0]); // wall 1.65 m behind: 52 Hz in every row
 * show(draw.notches({ x, causes: { "wall behind": behind } }));
 */
export function notchesFigure({ x, causes, upTo = 200, title }: NotchesOptions): Figure {
  const entries = Object.entries(causes);
  return curvesFigure({
    title: title ?? "The lowest notch, from row to row",
    alt: entries
      .map(
        ([label, y]) =>
          `${label}: ${Math.round(y[0])} Hz in front, ${Math.round(y[y.length - 1])} Hz at the back.`,
      )
      .join(" "),
    curves: entries.map(([label, y], i) => ({
      label,
      x,
      y: Array.from(y, (f) => Math.min(f, upTo * 1.05)),
      colour: ["@subs", "@mains", "@mark", "@ink"][i % 4],
      dash: (["solid", "dash", "dot", "dashdot"] as const)[i % 4],
    })),
    xaxis: linearAxis("Distance from the stage edge (m)", 0, x[x.length - 1]),
    yaxis: linearAxis("Lowest notch (Hz)", 0, upTo),
    unit: "Hz",
  });
}
