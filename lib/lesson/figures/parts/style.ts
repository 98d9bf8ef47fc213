/**
 * The house style, as data: colours for a light and a dark page, sizes, and the two colour scales.
 *
 * Distance is drawn with viridis (S. van der Walt and N. Smith, 2015, released under CC0), cut at the end that would
 * fade into the page. Its lightness rises evenly, so that it orders even without colour vision, and in grey print.
 * Too little and too much are drawn with vik (F. Crameri, Scientific colour maps, doi:10.5281/zenodo.1243862, MIT),
 * whose two arms are told apart by every kind of colour vision.
 */
export type Theme = "light" | "dark";

/** Names that a figure may use, each written with "@" before it. */
export type ColourName = keyof typeof colours.light;

export const colours = {
  light: {
    /** Text and axes. */
    ink: "#1d2733",
    /** What stands back: captions, the quieter line. */
    faint: "#5b6773",
    grid: "#e3e7ea",
    page: "#ffffff",
    /** Mains, subs and their sum: told apart by lightness and by dash as well. */
    mains: "#1f6f8b",
    subs: "#b4551d",
    sum: "#1d2733",
    /** The one thing to look at. */
    mark: "#8b1e5b",
    /** A band that is good enough. */
    good: "#dfeee6",
    /** Walls, floor, stage. */
    wall: "#8a94a0",
    /** Surfaces one stands on. */
    floor: "#eef0f2",
  },
  dark: {
    ink: "#e8edf2",
    faint: "#a9b4bf",
    grid: "#343d47",
    page: "#161b21",
    mains: "#6fc3dd",
    subs: "#f0a063",
    sum: "#e8edf2",
    mark: "#b47aff",
    good: "#213a30",
    wall: "#76828e",
    floor: "#232a32",
  },
} as const;

const viridis = [
  "#440154",
  "#482475",
  "#414487",
  "#355f8d",
  "#2a788e",
  "#21918c",
  "#22a884",
  "#44bf70",
  "#7ad151",
  "#bddf26",
  "#fde725",
];

const vik = [
  "#001261",
  "#02397a",
  "#116496",
  "#5496b7",
  "#a7c9da",
  "#ece5e0",
  "#e1b8a0",
  "#cc875f",
  "#b75a26",
  "#852206",
  "#590008",
];

/** The part of a scale that stands out from the page: near is 0, far is 1. */
export const scales = {
  light: { distance: part(viridis, 0, 0.58), balance: part(vik, 0.08, 0.92) },
  dark: { distance: part(viridis, 1, 0.4), balance: part(vik, 0.12, 0.88) },
} as const;

/** Letters: the system's own, so that nothing is fetched. */
export const font = { family: "system-ui, 'Segoe UI', Roboto, 'Noto Sans', sans-serif", size: 14 };

/** Shares within this many dB of the target balance are called good (common practice). */
export const goodWithin = 3;

/** A colour by distance: "@distance 0" nearest, "@distance 1" farthest. */
export const distanceColour = (fraction: number): string => `@distance ${Math.round(fraction * 1000) / 1000}`;

/**
 * A named colour as the page needs it.
 *
 * @param name   "@ink", "@distance 0.4", or any colour, which is returned as it is
 * @param theme  of the page
 * @throws RangeError when the style has no such name
 */
export function colour(name: string, theme: Theme): string {
  if (!name.startsWith("@")) return name;
  const [key, fraction, opacity] = name.slice(1).split(" ");
  if (key === "distance" || key === "balance") return between(scales[theme][key], Number(fraction));
  const found = colours[theme][key as ColourName];
  if (!found) throw new RangeError(`the house style has no colour "${name}"`);
  return fraction === undefined ? found : transparent(found, Number(opacity ?? fraction));
}

/**
 * A whole scale for a heat map or for markers, in the form Plotly takes.
 *
 * @param name   "@distance" (low values stand out), "@level" (high ones do) or "@balance"
 * @param theme  of the page
 * @throws RangeError when the style has no such scale
 */
export function colourScale(name: string, theme: Theme): [number, string][] {
  const { distance, balance } = scales[theme];
  const stops = { "@distance": distance, "@level": [...distance].reverse(), "@balance": balance }[name];
  if (!stops) throw new RangeError(`the house style has no scale "${name}"`);
  return stops.map((stop, i) => [i / (stops.length - 1), stop]);
}

/** Eleven even steps of a scale, from one share of it to another. */
function part(scale: readonly string[], from: number, to: number): readonly string[] {
  return Array.from({ length: 11 }, (_, i) => between(scale, from + ((to - from) * i) / 10));
}

function between(scale: readonly string[], fraction: number): string {
  const at = Math.min(Math.max(fraction, 0), 1) * (scale.length - 1);
  const low = Math.min(Math.floor(at), scale.length - 2);
  const [a, b] = [channels(scale[low]), channels(scale[low + 1])];
  const mixed = a.map((x, i) => Math.round(x + (b[i] - x) * (at - low)));
  return `#${mixed.map((x) => x.toString(16).padStart(2, "0")).join("")}`;
}

const transparent = (hex: string, opacity: number): string => `rgba(${channels(hex).join(",")},${opacity})`;

function channels(hex: string): number[] {
  return [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16));
}
