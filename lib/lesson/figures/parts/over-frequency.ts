import { toDecibel } from "../../../acoustics/level/decibel";
import { power, type Response } from "../../../acoustics/response";
import { inDecibels } from "../../../text/decibels";
import { decibelAxis, frequencyAxis } from "./axes";
import { curvesFigure, type Upright } from "./curves";
import type { Figure } from "./figure";
import { distanceColour } from "./style";

export interface OverFrequencyOptions {
  /** Where the curves have their values, hertz, ascending. */
  readonly frequency: ArrayLike<number>;
  /** Curves in dB, or responses, by what to call them; "mains" and "subs" get their colour. */
  readonly curves: { readonly [label: string]: ArrayLike<number> | Response };
  /** Lowest frequency drawn, hertz; the first of the frequencies by default. */
  readonly from?: number;
  /** Highest frequency drawn, hertz; the last of the frequencies by default. */
  readonly to?: number;
  /** Frequencies to point at, hertz, by what to call them. */
  readonly marks?: { readonly [label: string]: number };
  /** "order" for things that differ in kind, "distance" for positions from near to far. Default "order". */
  readonly colours?: "order" | "distance";
  /** Upper end of the vertical axis, dB; just above the highest curve by default. */
  readonly top?: number;
  /** From the lower end of the vertical axis to the upper one, dB. Default 40. */
  readonly span?: number;
  /** What the curves are, with the unit. Default "Level (dB)". */
  readonly yTitle?: string;
  /** Above the figure. Default "Level over frequency". */
  readonly title?: string;
}

/**
 * A few curves in dB over frequency, each with its name at its end, and frequencies to point at.
 *
 * Across: frequency (Hz, logarithmic). Up: level (dB), or what `yTitle` says. What lies below the axis is cut there: a
 * notch of a model has no floor.
 *
 * @param options  frequencies, curves and marks
 * @returns a figure, for `show`
 * @throws RangeError when there is no curve, one has another length than the frequencies, or none of these lies between the
 *   ends
 * @source frequency axis at the nominal mid-band frequencies of IEC 61260-1; else own way, no outside source; check:
 *   tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const frequency = acoustics.bands.grid(20, 200, 24);
 * const lowpass = { type: "lowpass", kind: "linkwitz-riley", order: 4, frequency: 85 } as const;
 * const response = { frequency, ...acoustics.filters.response(lowpass, frequency) };
 * show(draw.overFrequency({ frequency, curves: { subs: response }, marks: { crossover: 85 } }));
 */
export function overFrequencyFigure(options: OverFrequencyOptions): Figure {
  const { marks = {}, colours = "order", title = "Level over frequency" } = options;
  const inside = within(options);
  const frequency = inside.map((i) => options.frequency[i]);
  const [from, to] = [frequency[0], frequency[frequency.length - 1]];
  const entries = Object.entries(options.curves).map(([label, curve]) => {
    const level = "re" in curve ? Float64Array.from(power(curve), toDecibel) : curve;
    if (level.length !== options.frequency.length) {
      throw new RangeError(
        `the curve "${label}" has ${level.length} values for ${options.frequency.length} along the axis`,
      );
    }
    return [label, inside.map((i) => level[i])] as const;
  });
  const top = options.top ?? Math.ceil((Math.max(...entries.flatMap(([, y]) => y)) + 1) / 5) * 5;
  const span = options.span ?? 40;
  const uprights: Upright[] = Object.entries(marks)
    .filter(([, x]) => x >= from && x <= to)
    .sort(([, a], [, b]) => a - b)
    .map(([label, x]) => ({ label, x }));
  return curvesFigure({
    title,
    alt: [...entries.map(([label, y]) => lowest(label, frequency, y)), ...uprights.map(named)].join(" "),
    curves: entries.map(([label, y], i) => ({
      label,
      x: frequency,
      y: y.map((level) => Math.max(level, top - span - 1)),
      ...look(label, i, entries.length, colours),
    })),
    xaxis: frequencyAxis(from, to),
    yaxis: {
      ...decibelAxis(options.yTitle ?? "Level (dB)", [], { top }),
      range: [top - span, top],
      dtick: span > 30 ? 10 : span > 12 ? 5 : 2,
    },
    uprights,
    height: 360,
  });
}

function within({ frequency, from = 0, to = Infinity }: OverFrequencyOptions): number[] {
  const inside = Array.from(frequency, (_, i) => i).filter((i) => frequency[i] >= from && frequency[i] <= to);
  if (inside.length === 0) throw new RangeError(`none of the frequencies lies from ${from} to ${to} Hz`);
  return inside;
}

const palette = ["@mark", "@mains", "@subs", "@ink"];
const dashes = ["solid", "dash", "dot", "dashdot"] as const;

function look(label: string, i: number, count: number, colours: "order" | "distance") {
  if (colours === "distance") return { colour: distanceColour(count > 1 ? i / (count - 1) : 0) };
  const own = label === "mains" || label === "subs";
  return { colour: own ? `@${label}` : palette[i % palette.length], dash: dashes[i % dashes.length] };
}

function lowest(label: string, frequency: ArrayLike<number>, y: ArrayLike<number>): string {
  const at = lowestIndex(y);
  return `${label}: lowest at ${Math.round(frequency[at])} Hz, ${Number.isFinite(y[at]) ? inDecibels(y[at]) : "gone"}.`;
}

/** Where a curve is lowest; the first such place where it is level, whatever the last bit of each value says. */
export function lowestIndex(y: ArrayLike<number>): number {
  let at = 0;
  for (let i = 1; i < y.length; i++) if (y[i] < y[at] - 1e-9) at = i;
  return at;
}

const named = ({ label, x }: Upright): string => `${label}: ${Math.round(x)} Hz.`;
