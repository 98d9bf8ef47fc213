import { linearAxis } from "./axes";
import type { Figure, FigureLayout, FigureTrace } from "./figure";
import { plotText } from "./plot-text";

/** Across and up the page, metres. */
export type SketchPoint = readonly [number, number];

export interface SketchOptions {
  /** Things with a name. "image" is drawn hollow: it is not there. */
  readonly marks: readonly {
    readonly name: string;
    readonly at: SketchPoint;
    readonly look: "mains" | "subs" | "ear" | "image";
    /** Where its name stands; above an ear and left of all else unless said. */
    readonly side?: "below";
  }[];
  /** Straight ways that sound takes, each with its length unless `label` says something else or is empty. */
  readonly paths: readonly {
    readonly points: readonly SketchPoint[];
    readonly look: "mains" | "subs" | "mark";
    readonly label?: string;
    readonly dash?: "solid" | "dash" | "dot";
  }[];
  /** Lines of text in the upper right corner, which is to be empty. */
  readonly notes?: readonly { readonly text: string; readonly look: "mains" | "subs" | "mark" }[];
  readonly walls?: readonly {
    readonly name: string;
    readonly from: SketchPoint;
    readonly to: SketchPoint;
  }[];
  readonly title: string;
  readonly xTitle?: string;
  readonly yTitle?: string;
  /** Span that is always shown, so that the sketch keeps its scale; else what is drawn, with a margin. */
  readonly across?: readonly [number, number];
  readonly up?: readonly [number, number];
}

/**
 * A drawing to scale of sources, listeners, walls and the ways between them, with their lengths.
 *
 * @param options  what to draw
 * @throws RangeError when there is nothing to draw
 */
export function sketchFigure(options: SketchOptions): Figure {
  const { marks, paths, walls = [], notes = [], title } = options;
  const points = [
    ...marks.map((m) => m.at),
    ...paths.flatMap((p) => p.points),
    ...walls.flatMap((w) => [w.from, w.to]),
  ];
  if (points.length === 0) throw new RangeError("there is nothing to sketch: give marks or paths");
  const across = options.across ?? span(points, 0);
  const up = options.up ?? span(points, 1);
  return {
    title,
    alt: inWords(options),
    height: 420,
    shape: (up[1] - up[0]) / (across[1] - across[0]),
    data: [
      ...walls.map((wall) => stroke([wall.from, wall.to], "@wall", wall.name, 3)),
      ...paths.map((path) => stroke(path.points, `@${path.look}`, labelOf(path), 2, path.dash)),
      ...marks.map(mark),
    ],
    layout: {
      xaxis: linearAxis(options.xTitle ?? "Distance from the stage edge (m)", ...across, {
        constrain: "domain",
      }),
      yaxis: linearAxis(options.yTitle ?? "Height (m)", ...up, {
        scaleanchor: "x",
        scaleratio: 1,
        constrain: "domain",
      }),
      annotations: [
        ...paths.map((path, i) => pathLabel(path, i)).filter(({ text }) => text),
        ...marks.map(({ name, at: [x, y], look, side }) => ({
          ...plain(name, x, y),
          ...(side === "below"
            ? { yanchor: "top", yshift: -8 }
            : look === "ear"
              ? { yanchor: "bottom", yshift: 6 }
              : { xanchor: "right", xshift: -9 }),
        })),
        ...notes.map(({ text, look }, i) => ({
          ...plain(text, 1, 1),
          xref: "paper",
          yref: "paper",
          xanchor: "right",
          yanchor: "top",
          yshift: -18 * i,
          font: { color: `@${look}` },
        })),
        ...walls.map(({ name, to: [x, y] }) => ({
          ...plain(name, x, y),
          yanchor: "bottom",
          font: { color: "@faint" },
        })),
      ],
    },
  };
}

/** Length of a way along its points, metres. */
const lengthOf = (points: readonly SketchPoint[]): number =>
  points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i][0], y - points[i][1]), 0);

const labelOf = ({ label, points }: SketchOptions["paths"][number]): string =>
  label ?? `${lengthOf(points).toFixed(1)} m`;

function pathLabel(path: SketchOptions["paths"][number], i: number): FigureLayout {
  const { points } = path;
  const longest = points
    .slice(1)
    .map((to, k) => [points[k], to] as const)
    .reduce((a, b) => (lengthOf(a) >= lengthOf(b) ? a : b));
  const fraction = i % 2 ? 0.6 : 0.4;
  const [[x0, y0], [x1, y1]] = longest;
  return {
    ...plain(labelOf(path), x0 + (x1 - x0) * fraction, y0 + (y1 - y0) * fraction),
    bgcolor: "@page",
    font: { color: `@${path.look}` },
  };
}

const plain = (text: string, x: number, y: number): FigureLayout => ({
  text: plotText(text),
  x,
  y,
  showarrow: false,
  font: { color: "@ink" },
});

const stroke = (
  points: readonly SketchPoint[],
  colour: string,
  name: string,
  width: number,
  dash = "solid",
): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x: points.map((p) => p[0]),
  y: points.map((p) => p[1]),
  line: { color: colour, width, dash },
  hoveron: "points",
  hovertemplate: `${plotText(name)}<extra></extra>`,
});

const looks = {
  mains: { symbol: "triangle-down", color: "@mains" },
  subs: { symbol: "square", color: "@subs" },
  ear: { symbol: "circle", color: "@ink" },
  image: { symbol: "square-open", color: "@subs" },
} as const;

const mark = ({ name, at, look }: SketchOptions["marks"][number]): FigureTrace => ({
  type: "scatter",
  mode: "markers",
  x: [at[0]],
  y: [at[1]],
  cliponaxis: false,
  marker: { ...looks[look], size: look === "ear" ? 10 : 14, line: { color: looks[look].color, width: 2 } },
  hovertemplate: `${plotText(name)}<extra></extra>`,
});

function span(points: readonly SketchPoint[], axis: 0 | 1): [number, number] {
  const values = points.map((p) => p[axis]);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const margin = Math.max(1, (high - low) * 0.08);
  return [low - margin, high + margin];
}

function inWords({ marks, paths, notes = [] }: SketchOptions): string {
  const positions = marks.map(({ name, at: [x, y] }) => `${name} at ${x.toFixed(1)} m, ${y.toFixed(1)} m`);
  const ways = [...paths.map((path) => labelOf(path)), ...notes.map(({ text }) => text)].filter(Boolean);
  return `To scale: ${positions.join("; ")}. Paths: ${ways.join("; ")}.`;
}
