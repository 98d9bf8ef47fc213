/**
 * Axes: each with its quantity and unit, and a span that stays when a slider moves.
 */
import { thirdOctaves } from "../../../acoustics/bands/bands";
import { requireWithin } from "../../../guard/arguments";
import type { FigureLayout, Plain } from "./figure";

/** A logarithmic axis of frequency, hertz: octaves named and thirds marked, or thirds named where they find room. */
export function frequencyAxis(from: number, to: number): FigureLayout {
  requireWithin("lowest frequency of the axis", from, 0.1, 1e6);
  requireWithin("highest frequency of the axis", to, from, 1e6);
  const thirds = thirdOctaves(from * 0.99, to * 1.01).map((band) => band.nominal);
  const named = to / from <= 16 ? thirds : thirds.filter((f) => octaves.has(f));
  return {
    ...axis("Frequency (Hz)"),
    type: "log",
    range: [Math.log10(from), Math.log10(to)],
    tickmode: "array",
    tickvals: named,
    ticktext: named.map((f) => (f < 1000 ? `${f}` : `${f / 1000}k`)),
    minor: { tickmode: "array", tickvals: thirds, ticks: "outside", ticklen: 3, tickcolor: "@faint" },
    hoverformat: ".3~s",
  };
}

/** Nominal mid-band frequencies of the octaves (IEC 61260-1). */
const octaves = new Set([16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000]);

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
): FigureLayout {
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
export function linearAxis(title: string, from: number, to: number, more: FigureLayout = {}): FigureLayout {
  return { ...axis(title), range: [from, to], ...more };
}

/** An axis of a deviation either way, dB, each number with its sign. */
export function deviationAxis(title: string, limit: number, step = 3): FigureLayout {
  const count = Math.floor(limit / step);
  const tickvals = Array.from({ length: 2 * count + 1 }, (_, i) => (i - count) * step);
  return linearAxis(title, -limit, limit, { tickvals, ticktext: tickvals.map(withSign) });
}

/** A whole number with its sign, but for 0. */
export const withSign = (x: number): string => (x > 0 ? `+${x}` : `${x}`.replace("-", "−"));

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
