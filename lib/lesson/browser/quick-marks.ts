/**
 * Moves and recolours the marks of a drawing in place, for a slider in motion.
 *
 * Plotly lays a whole figure out again for a new colour, which takes several frames with some hundred seats. While a
 * slider moves only marks change, so their paths are set here; the figure is drawn whole again once the slider rests.
 */
import type { ThemedFigure } from "../figures/parts/apply-theme";

/** Of what Plotly keeps at a drawing: axes that turn data into pixels. */
type Plotted = HTMLElement & { readonly _fullLayout?: { readonly xaxis?: Axis; readonly yaxis?: Axis } };
type Axis = { readonly d2p: (value: number) => number };
type Tree = { readonly [key: string]: unknown };

/**
 * Draws the marks of another figure in place of those that stand.
 *
 * @param position   the drawing
 * @param before  what stands there
 * @param after   what shall stand there
 * @returns false, and nothing is touched, where more than marks has changed: draw the figure whole then
 */
export function moveMarks(position: HTMLElement, before: ThemedFigure, after: ThemedFigure): boolean {
  if (before.data.length !== after.data.length || !same(before.layout, after.layout)) return false;
  const drawn = Array.from(position.querySelectorAll<SVGGElement>(".scatterlayer > .trace"));
  if (drawn.length !== after.data.length) return false;
  const { xaxis, yaxis } = (position as Plotted)._fullLayout ?? {};
  const shapes = shapesDrawn(drawn, before);
  const changes: (() => void)[] = [];
  for (let i = 0; i < after.data.length; i++) {
    const [old, trace] = [before.data[i], after.data[i]];
    if (same(old, trace)) continue;
    if (!onlyMarksDiffer(old, trace) || !xaxis || !yaxis) return false;
    const points = drawn[i].querySelectorAll<SVGPathElement>(".points path.point");
    const look = looks(trace);
    const wanted = Array.from(points, (_, k) => shapes.get(look.symbol(k)));
    if (points.length !== look.count || wanted.includes(undefined)) return false;
    const moved = !same(old.x, trace.x) || !same(old.y, trace.y);
    changes.push(() => {
      points.forEach((point, k) => {
        const d = wanted[k] as string;
        if (point.getAttribute("d") !== d) point.setAttribute("d", d);
        point.style.fill = look.fill(k);
        if (!moved) return;
        const [across, down] = [xaxis.d2p(look.x(k)), yaxis.d2p(look.y(k))];
        point.setAttribute("transform", `translate(${across.toFixed(2)},${down.toFixed(2)})`);
      });
    });
  }
  for (const change of changes) change();
  return true;
}

/** The path of each symbol that stands somewhere in the drawing, as Plotly drew it. */
function shapesDrawn(drawn: readonly SVGGElement[], before: ThemedFigure): Map<string, string> {
  const shapes = new Map<string, string>();
  drawn.forEach((group, i) => {
    const look = looks(before.data[i]);
    group.querySelectorAll<SVGPathElement>(".points path.point").forEach((point, k) => {
      const d = point.getAttribute("d");
      if (d) shapes.set(look.symbol(k), d);
    });
  });
  return shapes;
}

/** What each mark of a trace looks like; marks of another size are another symbol. */
function looks(trace: Tree) {
  const marker = (trace.marker ?? {}) as {
    readonly symbol?: string | readonly string[];
    readonly size?: number;
    readonly color?: string | ArrayLike<number>;
    readonly cmin?: number;
    readonly cmax?: number;
    readonly colorscale?: readonly (readonly [number, string])[];
  };
  const [x, y] = [trace.x, trace.y] as ArrayLike<number>[];
  const { symbol = "circle", color = "", cmin = 0, cmax = 1, colorscale = [] } = marker;
  return {
    count: y.length,
    x: (k: number) => x[k],
    y: (k: number) => y[k],
    symbol: (k: number) => `${typeof symbol === "string" ? symbol : symbol[k]} ${marker.size}`,
    fill: (k: number) =>
      typeof color === "string" ? color : onScale(colorscale, (color[k] - cmin) / (cmax - cmin)),
  };
}

function onScale(scale: readonly (readonly [number, string])[], fraction: number): string {
  const at = Math.min(Math.max(fraction, 0), 1);
  const upper = Math.max(
    1,
    scale.findIndex(([stop]) => stop >= at),
  );
  const [[from, a], [to, b]] = [scale[upper - 1], scale[upper]];
  const t = (at - from) / (to - from);
  const mixed = [1, 3, 5].map((i) => {
    const [low, high] = [a, b].map((hex) => Number.parseInt(hex.slice(i, i + 2), 16));
    return Math.round(low + (high - low) * t);
  });
  return `rgb(${mixed.join(",")})`;
}

/** Whether two traces are of marks alone and differ in nothing but place, colour, symbol and what the pointer reads. */
function onlyMarksDiffer(before: Tree, after: Tree): boolean {
  const rest = ({ x, y, customdata, hovertemplate, marker, ...others }: Tree) => {
    const { color, symbol, ...look } = (marker ?? {}) as Tree;
    return { ...others, look };
  };
  return after.mode === "markers" && same(rest(before), rest(after));
}

/** Whether two values of a figure are equal all the way down. */
function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (isList(a) && isList(b)) {
    if (a.length !== b.length) return false;
    for (let i = 0; i < a.length; i++) if (!same(a[i], b[i])) return false;
    return true;
  }
  if (!isTree(a) || !isTree(b)) return false;
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => same(a[key], b[key]));
}

const isList = (x: unknown): x is ArrayLike<unknown> => Array.isArray(x) || ArrayBuffer.isView(x);
const isTree = (x: unknown): x is Tree => typeof x === "object" && x !== null && !isList(x);
