import type { Response } from "../../acoustics/response";
import { confidenceBand } from "../../measurement/transfer/confidence-band";
import { thirdOctaveLevels } from "../../measurement/transfer/third-octave-levels";
import { inDecibels } from "../../text/decibels";
import { decibelAxis, frequencyAxis } from "./parts/axes";
import { curvesFigure } from "./parts/curves";
import type { Figure, FigureTrace } from "./parts/figure";

export interface ConfidenceOptions {
  /** Lowest frequency drawn, hertz; the responses' own by default. */
  readonly from?: number;
  /** Highest frequency drawn, hertz; the responses' own by default. */
  readonly to?: number;
  /** That the response within its windows lies within the band, 0.5 to 0.9999. Default 0.95. */
  readonly probability?: number;
  /** dB between the ends of the axis, around what is drawn. Default 40. */
  readonly span?: number;
  /** Above the figure. Default "What is sure, within the windows", and with bars what they are. */
  readonly title?: string;
}

/**
 * Measured levels over frequency, each with the band around it that holds the response within its windows with a given probability.
 *
 * Across: frequency (Hz, logarithmic). Up: level (dB) of the response as it was measured, such as relative to the signal
 * sent. Where the band is narrow the line can be believed; where it is wide, average longer before deciding
 * by it. The band is of the response within its windows: what a room returns later is not in it, nor is a reflection. Where a response
 * has the error of its power, as those of `measure.show`, a bar for each third octave shows the level that a listener gets, all of the
 * room included, with the band of that.
 *
 * @param responses  by what to call them, each with coherence and averages; the least certain first, so that its band lies
 *   behind
 * @param options  frequencies, probability, span of the axis
 * @returns a figure, for `show`
 * @throws RangeError when there is no response, one lacks coherence or averages, or nothing lies between the ends
 * @source Bendat and Piersol, Random Data (4th edition), equation 9.90 (from memory), with Student's t; check:
 *   tests/lesson/figures/measurement-figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const take = predict.recordings(hall, [hall.positions[2]], { seconds: 2, sampleRate: 4000 });
 * const { reference, mains, sampleRate } = take;
 * const [response] = measure.joinedTransferFunctions(reference, mains, sampleRate);
 * show(draw.confidence({ "row 3": response }, { from: 50, to: 500 }));
 */
export function confidenceFigure(
  responses: { readonly [label: string]: Response },
  { from, to, probability = 0.95, span = 40, title }: ConfidenceOptions = {},
): Figure {
  const hasBars = Object.values(responses).some(({ powerError }) => powerError !== undefined);
  const entries = Object.entries(responses).map(([label, response], i) => ({
    label,
    colour: colours[i % colours.length],
    dash: dashes[i % dashes.length],
    ...cut(response, probability, from ?? 0, to ?? Infinity),
  }));
  if (entries.length === 0) throw new RangeError("there is no response to draw: give one or more");
  for (const { label, x } of entries) {
    if (x.length < 2) throw new RangeError(`the response "${label}" has nothing from ${from} to ${to} Hz`);
  }
  const top = Math.ceil((Math.max(...entries.flatMap(({ level }) => level)) + 3) / 5) * 5;
  const low = top - span;
  const lines = curvesFigure({
    title: title ?? `What is sure, within the windows${hasBars ? "; bars: all that a listener gets" : ""}`,
    alt: [
      ...entries.map(inWords(probability)),
      ...(hasBars
        ? ["A bar at each third octave is the level that a listener gets there, all of the room included."]
        : []),
    ].join(" "),
    curves: entries.map(({ label, colour, dash, x, level }) => ({
      label,
      x,
      y: level.map((l) => Math.max(l, low)),
      colour,
      dash,
    })),
    xaxis: frequencyAxis(
      Math.min(...entries.map(({ x }) => x[0])),
      Math.max(...entries.map(({ x }) => x[x.length - 1])),
    ),
    yaxis: { ...decibelAxis("Level (dB)", [], { top }), range: [low, top], dtick: span > 30 ? 10 : 5 },
    height: 380,
  });
  const bars = Object.values(responses).flatMap((response, i) =>
    response.powerError ? [listened(response, entries[i], probability)] : [],
  );
  return { ...lines, data: [...entries.map(band(low, top)), ...lines.data, ...bars] };
}

/** A third octave's level with its band, as a bar. */
function listened(response: Response, { label, colour, x }: Line, probability: number): FigureTrace {
  const levels = thirdOctaveLevels(response, { probability }).filter(
    ({ band }) => band.nominal >= x[0] && band.nominal <= x[x.length - 1],
  );
  return {
    type: "scatter",
    mode: "markers",
    name: `${label}, a listener's level in a third octave`,
    x: levels.map(({ band }) => band.nominal),
    y: levels.map(({ level }) => level),
    error_y: {
      type: "data",
      symmetric: false,
      array: levels.map(({ level, upper }) => upper - level),
      arrayminus: levels.map(({ level, lower }) => level - lower),
      color: colour,
    },
    marker: { color: colour, size: 5 },
  };
}

const colours = ["@mains", "@mark"];
const dashes = ["dash", "solid"] as const;

interface Line {
  readonly label: string;
  readonly colour: string;
  readonly x: readonly number[];
  readonly level: readonly number[];
  readonly lower: readonly number[];
  readonly upper: readonly number[];
}

function cut(response: Response, probability: number, from: number, to: number) {
  const all = confidenceBand(response, probability);
  const inside = [...response.frequency.keys()].filter(
    (i) => response.frequency[i] >= from && response.frequency[i] <= to,
  );
  const pick = (values: Float64Array) => inside.map((i) => values[i]);
  return {
    x: pick(response.frequency),
    level: pick(all.level),
    lower: pick(all.lower),
    upper: pick(all.upper),
  };
}

/** Upper limit forth and lower limit back, as a closed outline; beyond the axis it is cut. */
const band =
  (low: number, top: number) =>
  ({ x, lower, upper, colour }: Line): FigureTrace => ({
    type: "scatter",
    mode: "lines",
    x: [...x, ...[...x].reverse()],
    y: [...upper, ...[...lower].reverse()].map((l) => Math.min(Math.max(l, low), top)),
    fill: "toself",
    fillcolor: `${colour} 0.22`,
    line: { width: 0, color: colour },
    hoverinfo: "skip",
  });

const inWords =
  (probability: number) =>
  ({ label, x, lower, upper }: Line): string => {
    const widths = x.map((_, i) => (upper[i] - lower[i]) / 2);
    const middle = [...widths].sort((a, b) => a - b)[widths.length >> 1];
    const at = widths.indexOf(Math.max(...widths));
    return `${label}: with ${Math.round(100 * probability)} % the response within its windows lies within about ±${inDecibels(middle)}, least surely at ${Math.round(x[at])} Hz.`;
  };
