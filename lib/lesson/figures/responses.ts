import type { Response } from "../../acoustics/response";
import type { Survey } from "../../survey/survey";
import { capital } from "../../text/capital";
import { inDecibels } from "../../text/decibels";
import { decibelAxis, frequencyAxis, linearAxis } from "./parts/axes";
import { byDistance, type Placed } from "./parts/by-distance";
import type { Figure, FigureLayout, FigureTrace, Plain } from "./parts/figure";
import { spreadApart } from "./parts/label-spacing";
import { levelOverFrequency, levelTitle } from "./parts/levels";
import { plotText } from "./parts/plot-text";

export interface ResponsesOptions {
  /** Which part of the survey. Default "subs". */
  readonly group?: "mains" | "subs" | "fills" | "both";
  /** Lowest frequency drawn, hertz. Default 20. */
  readonly from?: number;
  /** Highest frequency drawn, hertz. Default 200 for subs, else 16,000. */
  readonly to?: number;
  /** Of an octave: 3 for thirds, 0 for none. Default 0 for subs, else 3. */
  readonly smoothing?: number;
  /** Lines to draw at most; of more positions some are left out, evenly by distance. Default 12. */
  readonly most?: number;
  /** Above the figure; by default it names the group. */
  readonly title?: string;
}

/**
 * Level over frequency at every position of a survey, one line each, in colours that stand out at the front and fade toward
 * the back.
 *
 * Across: frequency (Hz, logarithmic). Up: level per third-octave band (dB re 20 µPa) of a model, or level relative to the
 * signal sent (dB) of a measurement. Where the survey was measured, a strip below shows the coherence (0–1), and with up to
 * four positions a band around each line shows one standard deviation of its random error. A dip at one frequency in all
 * rows is made near the source or by a mode of the room; one that wanders, by a path.
 *
 * @param survey  measured or modelled
 * @param options  which group and which frequencies
 * @returns a figure, for `show`
 * @throws RangeError when the survey has no such responses
 * @source random error of |H|: Bendat and Piersol, Random Data (4th edition), equation 9.90 (from memory); colours of
 *   distance: viridis (van der Walt and Smith, 2015); check: tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.positions(hall, ["row 1", "row 3", "row 6"]));
 * show(draw.responses(survey, { group: "subs", from: 25, to: 160 }));
 */
export function responsesFigure(survey: Survey, options: ResponsesOptions = {}): Figure {
  const { group = "subs" } = options;
  const smoothing = options.smoothing ?? (group === "subs" ? 0 : 3);
  const responses = survey[group];
  if (!responses || responses.length === 0) {
    throw new RangeError(`the survey "${survey.name}" holds no responses of ${group}: it has mains and subs`);
  }
  const from = options.from ?? 20;
  const to = options.to ?? (group === "subs" ? 200 : 16000);
  const inside = indices(survey.frequency, from, to, smoothing);
  const placed = thinned(byDistance(survey.positions), options.most ?? 12);
  const lines = placed.map((position) => ({
    position,
    response: responses[position.index],
    level: pick(levelOverFrequency(responses[position.index], survey.quantity, smoothing), inside),
  }));
  const x = pick(survey.frequency, inside);
  const coherent = lines.every(({ response }) => response.coherence);
  const yaxis = decibelAxis(
    levelTitle(survey.quantity),
    lines.flatMap(({ level }) => [...level]),
    { span: 30 },
  );
  return {
    title: options.title ?? `${capital(group === "both" ? "mains and subs" : group)} over frequency`,
    alt: inWords(lines, x),
    height: coherent ? 480 : 380,
    data: [
      ...(lines.length <= 4 && coherent
        ? lines.map(({ position, response, level }) => errorBand(x, level, response, inside, position))
        : []),
      ...lines.map(({ position, level }) => line(x, level, position)),
      ...(coherent
        ? lines.map(({ position, response }) => coherenceLine(x, pick(response.coherence!, inside), position))
        : []),
    ],
    layout: {
      margin: { r: 50 },
      xaxis: { ...frequencyAxis(from, to), anchor: coherent ? "y2" : "y" },
      yaxis: { ...yaxis, domain: coherent ? [0.34, 1] : [0, 1] },
      ...(coherent
        ? {
            yaxis2: {
              ...linearAxis("Coherence (0–1)", 0, 1.02),
              domain: [0, 0.26],
              tickvals: [0, 0.5, 1],
            },
          }
        : {}),
      annotations: endLabels(lines, yaxis),
    },
  };
}

/** At most so many, first and last among them. */
function thinned(placed: readonly Placed[], most: number): readonly Placed[] {
  if (placed.length <= most) return placed;
  const step = (placed.length - 1) / (most - 1);
  return Array.from({ length: most }, (_, i) => placed[Math.round(i * step)]);
}

interface Line {
  readonly position: Placed;
  readonly response: Response;
  readonly level: Float64Array;
}

const line = (x: Float64Array, y: Float64Array, { colour, position, distance }: Placed): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x,
  y,
  line: { color: colour, width: 2 },
  hovertemplate: `${plotText(position.id)}, ${distance.toFixed(1)} m<br>%{x:.3~s}Hz: %{y:.1f} dB<extra></extra>`,
});

const coherenceLine = (x: Float64Array, y: Float64Array, { colour, position }: Placed): FigureTrace => ({
  type: "scatter",
  mode: "lines",
  x,
  y,
  yaxis: "y2",
  line: { color: colour, width: 1.5 },
  hovertemplate: `${plotText(position.id)}<br>%{x:.3~s}Hz: %{y:.2f}<extra></extra>`,
});

/** One standard deviation up and down, as a closed outline. */
function errorBand(
  x: Float64Array,
  level: Float64Array,
  response: Response,
  inside: readonly number[],
  { colour }: Placed,
): FigureTrace {
  const deviation = inside.map((i) => {
    const coherence = Math.max(response.coherence![i], 1e-3);
    const averages = response.averages?.[i] ?? 1;
    const fraction = Math.sqrt((1 - Math.min(coherence, 1)) / (2 * averages * coherence));
    return Math.min(20 * Math.log10(1 + fraction), 12);
  });
  const back = [...inside.keys()].reverse();
  return {
    type: "scatter",
    mode: "lines",
    x: [...x, ...back.map((i) => x[i])],
    y: [...deviation.map((d, i) => level[i] + d), ...back.map((i) => level[i] - deviation[i])],
    fill: "toself",
    line: { width: 0, color: colour },
    opacity: 0.25,
    hoverinfo: "skip",
  };
}

/** Nearest, farthest and a few between named at the end of their line. */
function endLabels(lines: readonly Line[], yaxis: FigureLayout): Plain {
  const [low, high] = yaxis.range as [number, number];
  const shown = lines.filter((_, i) => lines.length <= 6 || i === 0 || i === lines.length - 1);
  const ends = shown.map(({ level }) => Math.min(Math.max(level[level.length - 1], low), high));
  const y = spreadApart(ends, (high - low) / 16);
  return shown.map(({ position }, i) => ({
    text: `${Math.round(position.distance)} m`,
    x: 1,
    xref: "paper",
    xanchor: "left",
    xshift: 4,
    y: y[i],
    yref: "y",
    showarrow: false,
  }));
}

function inWords(lines: readonly Line[], x: Float64Array): string {
  const [near, far] = [lines[0], lines[lines.length - 1]];
  const mean = ({ level }: Line) => level.reduce((sum, v) => sum + v, 0) / level.length;
  const text = `Level over frequency from ${Math.round(x[0])} to ${Math.round(x[x.length - 1])} Hz at ${lines.length} positions.`;
  if (lines.length === 1)
    return `${text} On average ${inDecibels(mean(near))} at ${near.position.position.id}.`;
  return `${text} On average ${inDecibels(mean(near))} at ${near.position.distance.toFixed(1)} m and ${inDecibels(mean(far))} at ${far.position.distance.toFixed(1)} m: a drop of ${inDecibels(mean(near) - mean(far))}.`;
}

/** Frequencies within the limits; of smoothed ones only those whose window is whole. */
function indices(frequency: Float64Array, from: number, to: number, smoothing: number): number[] {
  const half = smoothing > 0 ? 2 ** (1 / (2 * smoothing)) : 1;
  const low = Math.max(from, frequency[0] * half) * (1 - 1e-9);
  const high = Math.min(to, frequency[frequency.length - 1] / half) * (1 + 1e-9);
  return [...frequency.keys()].filter((i) => frequency[i] >= low && frequency[i] <= high);
}

const pick = (values: Float64Array, inside: readonly number[]): Float64Array =>
  Float64Array.from(inside, (i) => values[i]);
