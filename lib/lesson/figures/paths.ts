import { distance, type Point } from "../../acoustics/point";
import { section } from "./parts/drawing";
import type { Figure } from "./parts/figure";
import { sketchFigure } from "./parts/sketch";

export interface PathsOptions {
  /** Where the mains are, metres. */
  readonly mains: Point;
  /** Where the subs are, metres. */
  readonly subs: Point;
  /** Places of listeners by what to call them. */
  readonly ears: { readonly [name: string]: Point };
  readonly title?: string;
  /** Spans that are always shown, metres, so that the drawing keeps its scale. */
  readonly across?: readonly [number, number];
  readonly up?: readonly [number, number];
}

/**
 * The way from mains and subs to each listener, from the side and to scale, with its length.
 *
 * @param options  where everything is
 * @throws RangeError when there is no listener
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
