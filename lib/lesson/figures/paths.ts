import { distance, type Point } from "../../acoustics/point";
import { section } from "./parts/drawing";
import type { Figure } from "./parts/figure";
import { sketchFigure } from "./parts/sketch";

export interface PathsOptions {
  /** Where the mains are, metres. */
  readonly mains: Point;
  /** Where the subs are, metres. */
  readonly subs: Point;
  /** Where listeners' ears are, metres, by what to call them. */
  readonly ears: { readonly [name: string]: Point };
  /** Above the figure. Default "From the side, to scale". */
  readonly title?: string;
  /** Span of the horizontal axis, metres, so that drawings keep one scale; what is drawn, with a margin, by default. */
  readonly across?: readonly [number, number];
  /** Span of the vertical axis, likewise. */
  readonly up?: readonly [number, number];
}

/**
 * The straight paths from mains and subs to each listener, from the side and to scale, with their lengths.
 *
 * Across: distance from the stage edge (m). Up: height (m). The lengths (m) are written in the corner. Compare how much
 * longer each path is at the last listener than at the first: flown mains are about as far from both, subs on the floor are
 * not, so the subs lose more.
 *
 * @param options  where everything is
 * @returns a figure, for `show`
 * @throws RangeError when there is no listener
 * @source straight lines between points; own way, no outside source; check: tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const ears = { "row 1": { x: 6, y: 0, z: 1.2 }, "row 20": { x: 24, y: 0, z: 1.2 } };
 * // 8 m down and 6 m across: 10.0 m from the mains to row 1
 * show(draw.paths({ mains: { x: 0, y: 0, z: 9.2 }, subs: { x: 0, y: 0, z: 0.3 }, ears }));
 */
export function pathsFigure({
  mains,
  subs,
  ears,
  title = "From the side, to scale",
  across,
  up,
}: PathsOptions): Figure {
  const positions = Object.entries(ears);
  if (positions.length === 0) throw new RangeError("there is no listener: name one or more in `ears`");
  const lengths = (from: Point) =>
    positions.map(([name, ear]) => `${name} ${distance(from, ear).toFixed(1)} m`).join(", ");
  return sketchFigure({
    title,
    across: across ?? roomForNames([mains, subs, ...positions.map(([, ear]) => ear)]),
    up,
    marks: [
      { name: "hang", at: section(mains), look: "mains" },
      { name: "sub", at: section(subs), look: "subs" },
      ...positions.map(([name, at]) => ({ name, at: section(at), look: "ear" as const })),
    ],
    paths: positions.flatMap(([, ear]) => [
      { points: [section(mains), section(ear)], look: "mains" as const, dash: "dash" as const, label: "" },
      { points: [section(subs), section(ear)], look: "subs" as const, label: "" },
    ]),
    notes: [
      { text: `hang: ${lengths(mains)}`, look: "mains" },
      { text: `sub: ${lengths(subs)}`, look: "subs" },
    ],
  });
}

/** Across what is drawn, with room for the loudspeakers' names at the left. */
function roomForNames(points: readonly Point[]): [number, number] {
  const xs = points.map((p) => p.x);
  const [from, to] = [Math.min(...xs), Math.max(...xs)];
  const span = Math.max(1, to - from);
  return [from - 0.18 * span, to + 0.08 * span];
}
