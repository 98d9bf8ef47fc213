/**
 * Axes: each with its quantity and unit, and a span that stays when a slider moves.
 */
import type { Layout, Plain } from "./figure";

/** Nominal mid-band frequencies (IEC 61260-1) that carry a number: one in three, so that they never crowd. */
const labelled: readonly [number, string][] = [
  [16, "16"],
  [31.5, "31.5"],
  [63, "63"],
  [125, "125"],
  [250, "250"],
  [500, "500"],
  [1000, "1k"],
  [2000, "2k"],
  [4000, "4k"],
  [8000, "8k"],
  [16000, "16k"],
];

/** A logarithmic axis of frequency, hertz, with octaves named and thirds marked. */
export function frequencyAxis(from: number, to: number): Layout {
  const shown = labelled.filter(([f]) => f >= from * 0.99 && f <= to * 1.01);
  const thirds = Array.from({ length: 31 }, (_, i) => 1000 * 10 ** ((i - 18) / 10));
  return {
    ...axis("Frequency (Hz)"),
    type: "log",
    range: [Math.log10(from), Math.log10(to)],
    tickmode: "array",
    tickvals: shown.map(([f]) => f),
    ticktext: shown.map(([, text]) => text),
    minor: {
      tickmode: "array",
      tickvals: thirds.filter((f) => f >= from && f <= to),
      ticks: "outside",
      ticklen: 3,
      tickcolor: "@grid",
      showgrid: false,
    },
    hoverformat: ".3~s",
  };
}

/**
 * An axis of decibels whose span is a whole number of tens, so that figures side by side compare.
 *
 * @param title  quantity with its unit, such as "Level (dB re 20 µPa)"
 * @param values what must be seen; empty is an error of the caller
 * @param options `span` dB that is always shown, at least; `top` to fix the upper end
 */
export function decibelAxis(
  title: string,
  values: Iterable<number>,
  options: { readonly span?: number; readonly top?: number } = {},
): Layout {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const top = options.top ?? Math.ceil((high + 1) / 5) * 5;
  const span = Math.max(options.span ?? 0, Math.ceil((top - low + 1) / 10) * 10);
  return { ...axis(title), range: [top - span, top], dtick: span > 30 ? 10 : span > 12 ? 5 : 2 };
}

/** A linear axis of a fixed span. */
export function linearAxis(title: string, from: number, to: number, more: Layout = {}): Layout {
  return { ...axis(title), range: [from, to], ...more };
}

/** What all axes share. */
function axis(title: string): { readonly [key: string]: Plain } {
  return {
    title: { text: title, standoff: 8 },
    automargin: true,
    fixedrange: true,
    showline: true,
    linecolor: "@faint",
    gridcolor: "@grid",
    zeroline: false,
    ticks: "outside",
    tickcolor: "@faint",
    ticklen: 5,
  };
}
