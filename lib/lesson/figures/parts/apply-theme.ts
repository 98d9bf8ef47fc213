/**
 * A figure made ready for Plotly: the house style's names turned into colours, and what all figures share added.
 */
import type { Figure, Plain } from "./figure";
import { spreadApart } from "./label-spacing";
import { colour, colourScale, colours, font, type Theme } from "./style";

/** What Plotly takes. */
export interface ThemedFigure {
  readonly data: readonly { [key: string]: unknown }[];
  readonly layout: { [key: string]: unknown };
}

/** Below this many pixels a figure is drawn for a telephone: smaller letters and margins, fewer ticks. */
export const narrow = 560;

/** Below this the title across a plan is wider than the drawing, unless its letters are no larger than the numbers'. */
const NARROWEST = 350;

/** Least height of a drawing to scale, and what its numbers take beside it, pixels. */
const shortest = 260;
const sideways = 24;

/**
 * A figure for a page of this theme and width.
 *
 * @param figure  as the functions in `figures/` make them
 * @param theme   of the page
 * @param width   of the drawing, pixels
 * @param scale   of letters, lines and marks; more than 1 for a room that looks at a projector
 * @param height  of the drawing, pixels, where the page has so much for it and no more; default the figure's own
 */
export function applyTheme(
  figure: Figure,
  theme: Theme,
  width: number,
  scale = 1,
  height?: number,
): ThemedFigure {
  // A drawing to scale is as high as the window and no higher: its letters grow by half as much, its seats not at all.
  const letters = figure.shape ? (1 + scale) / 2 : scale;
  const drawn = applyPlainTheme(figure, theme, width / letters, height && height / letters);
  if (letters === 1) return drawn;
  const large = scaled(drawn, letters) as ThemedFigure;
  const data = large.data.map((trace, i) => {
    const { marker } = drawn.data[i];
    return figure.shape && marker ? { ...trace, marker } : trace;
  });
  return { ...large, data };
}

function applyPlainTheme(figure: Figure, theme: Theme, width: number, given?: number): ThemedFigure {
  const small = width < narrow;
  const size = small ? font.size - 2 : font.size;
  const ink = colours[theme].ink;
  const layout = themed(figure.layout, theme) as { [key: string]: unknown };
  const margin = {
    ...(small ? { l: 44, r: 12, t: 16, b: 40 } : { l: 60, r: 20, t: 16, b: 48 }),
    ...(layout.margin as { l?: number; r?: number; t?: number; b?: number } | undefined),
  };
  const drawn = figure.shape
    ? figure.shape * (width - margin.l - margin.r - sideways) + margin.t + margin.b
    : 0;
  const own = figure.shape ? Math.round(Math.min(figure.height, Math.max(drawn, shortest))) : figure.height;
  const height = given ?? own;
  const upright = height - margin.t - margin.b;
  return {
    data: figure.data.map((trace) => themed(trace, theme) as { [key: string]: unknown }),
    layout: {
      width,
      height,
      font: { family: font.family, size, color: ink },
      paper_bgcolor: "rgba(0,0,0,0)",
      plot_bgcolor: "rgba(0,0,0,0)",
      showlegend: false,
      hovermode: "closest",
      hoverlabel: {
        bgcolor: colours[theme].page,
        bordercolor: colours[theme].faint,
        font: { color: ink, size },
      },
      dragmode: false,
      ...layout,
      margin,
      ...(small ? fewerTicks(layout) : {}),
      ...(width < NARROWEST ? smallTitle({ ...layout, ...fewerTicks(layout) }, size) : {}),
      ...foldedTitle(layout, upright / (size * 0.6)),
      ...(given ? endsApart(layout, (size * LINE) / upright) : {}),
    },
  };
}

/** What Plotly measures in pixels, by its key. */
const inPixels =
  /^(size|width|height|ticklen|tickwidth|linewidth|gridwidth|standoff|thickness|[xy]shift|a[xy]|[lrtb]|borderpad|borderwidth|arrowwidth)$/;

/** Pixels multiplied all the way down; quantities of the figure stay. */
function scaled(value: unknown, scale: number, key = ""): unknown {
  if (typeof value === "number") return inPixels.test(key) ? value * scale : value;
  if (Array.isArray(value)) return value.map((inner) => scaled(inner, scale, key === "size" ? key : ""));
  if (typeof value === "object" && value !== null && !ArrayBuffer.isView(value)) {
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [name, scaled(inner, scale, name)]),
    );
  }
  return value;
}

/** Every second number along a crowded axis of named ticks is left out; its mark stays. */
function fewerTicks(layout: { [key: string]: unknown }): { [key: string]: unknown } {
  const axes = Object.entries(layout).filter(([key]) => /^xaxis\d*$/.test(key));
  return Object.fromEntries(
    axes.map(([key, axis]) => {
      const { ticktext } = axis as { ticktext?: readonly string[] };
      if (!ticktext || ticktext.length < 8) return [key, axis];
      return [key, { ...(axis as object), ticktext: ticktext.map((text, i) => (i % 2 ? "" : text)) }];
    }),
  );
}

function smallTitle(layout: { [key: string]: unknown }, size: number): { [key: string]: unknown } {
  const axis = layout.xaxis as { title?: object } | undefined;
  return axis?.title ? { xaxis: { ...axis, title: { ...axis.title, font: { size } } } } : {};
}

/** The upright axis' title on two lines where it is longer than the drawing is high. */
function foldedTitle(layout: { [key: string]: unknown }, letters: number): { [key: string]: unknown } {
  const axis = layout.yaxis as { title?: { text?: string }; domain?: unknown } | undefined;
  const text = axis?.title?.text ?? "";
  if (text.length <= letters || text.includes("<br>") || axis?.domain) return {};
  const offMiddle = (at: number) => Math.abs(at - text.length / 2);
  const spaces = Array.from(text.matchAll(/ /g), (found) => found.index ?? 0);
  const middle = spaces.sort((a, b) => offMiddle(a) - offMiddle(b))[0];
  if (middle === undefined) return {};
  const folded = `${text.slice(0, middle)}<br>${text.slice(middle + 1)}`;
  return { yaxis: { ...axis, title: { ...axis?.title, text: folded } } };
}

/** Height of a line of letters, in sizes of these. */
const LINE = 1.2;

/** Names at the ends of curves moved apart, where the drawing has been made lower than its figure reckons with. */
function endsApart(layout: { [key: string]: unknown }, line: number): { [key: string]: unknown } {
  const axis = layout.yaxis as { range?: readonly [number, number] } | undefined;
  const all = (layout.annotations ?? []) as readonly { [key: string]: unknown }[];
  const ends = all.filter(
    (one) => one.xanchor === "left" && one.yref === undefined && one.textangle === undefined,
  );
  if (!axis?.range || ends.length < 2) return {};
  const [low, high] = axis.range;
  const heights = spreadApart(
    ends.map(({ y }) => y as number),
    Math.abs(high - low) * line,
    [Math.min(low, high), Math.max(low, high)],
  );
  const moved = new Map(ends.map((one, i) => [one, { ...one, y: heights[i] }]));
  return { annotations: all.map((one) => moved.get(one) ?? one) };
}

function themed(value: Plain, theme: Theme, key = ""): unknown {
  if (typeof value === "string" && /color$/i.test(key)) return colour(value, theme);
  if (/colorscale$/i.test(key) && typeof value === "string") return colourScale(value, theme);
  if (Array.isArray(value)) return value.map((inner) => themed(inner, theme, key));
  if (typeof value === "object" && value !== null && !ArrayBuffer.isView(value)) {
    return Object.fromEntries(
      Object.entries(value as { [key: string]: Plain }).map(([name, inner]) => [
        name,
        themed(inner, theme, name),
      ]),
    );
  }
  return value;
}
