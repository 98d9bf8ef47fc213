import { linearAxis } from "../axes";
import type { Figure } from "../figure";
import { plotText } from "../plotText";

export interface Arrival {
  /** seconds */
  readonly delay: number;
  /** What to call it in the figure, such as "chosen". */
  readonly label: string;
}

/**
 * An impulse response with the arrivals found in it.
 *
 * @param samples  impulse response
 * @param options  `sampleRate` hertz; `start` seconds of the first sample; `from` and `to` seconds shown
 * @param arrivals  delays to mark
 * @throws RangeError when the response is silent or nothing of it lies in the span
 */
export function impulseFigure(
  samples: ArrayLike<number>,
  options: {
    readonly sampleRate: number;
    readonly start?: number;
    readonly from?: number;
    readonly to?: number;
    readonly title?: string;
  },
  arrivals: readonly Arrival[] = [],
): Figure {
  const { sampleRate, start = 0 } = options;
  const from = options.from ?? start;
  const to = options.to ?? start + samples.length / sampleRate;
  const first = Math.max(0, Math.ceil((from - start) * sampleRate));
  const last = Math.min(samples.length - 1, Math.floor((to - start) * sampleRate));
  if (last <= first) throw new RangeError(`the impulse response has no sample between ${from} and ${to} s`);
  const y = Float64Array.from({ length: last - first + 1 }, (_, i) => samples[first + i]);
  const top = y.reduce((max, v) => Math.max(max, Math.abs(v)), 0);
  if (!(top > 0))
    throw new RangeError("the impulse response is silent: was the microphone's channel recorded?");
  const inMilliseconds = (i: number) => (start + (first + i) / sampleRate) * 1000;
  return {
    title: options.title ?? "When the sound arrives",
    alt: `Impulse response from ${Math.round(from * 1000)} to ${Math.round(to * 1000)} ms. ${arrivals.map((a) => `${a.label}: ${(a.delay * 1000).toFixed(2)} ms.`).join(" ")}`,
    height: 320,
    data: [
      {
        type: "scatter",
        mode: "lines",
        x: Float64Array.from(y, (_, i) => inMilliseconds(i)),
        y: y.map((v) => v / top),
        line: { color: "@ink", width: 1.2 },
        hovertemplate: "%{x:.2f} ms<extra></extra>",
      },
    ],
    layout: {
      xaxis: linearAxis("Time after the signal was sent (ms)", from * 1000, to * 1000),
      yaxis: linearAxis("Pressure (largest = 1)", -1.1, 1.5, { tickvals: [-1, 0, 1] }),
      shapes: arrivals.map((a, i) => ({
        type: "line",
        x0: a.delay * 1000,
        x1: a.delay * 1000,
        y0: -1.1,
        y1: 1.25,
        line: { color: i === 0 ? "@mark" : "@faint", width: 2, dash: i === 0 ? "solid" : "dash" },
      })),
      annotations: arrivals.map((a, i) => ({
        text: `${plotText(a.label)}, ${(a.delay * 1000).toFixed(1)} ms`,
        x: a.delay * 1000,
        y: i % 2 ? 1.22 : 1.38,
        xanchor: a.delay > (from + to) / 2 ? "right" : "left",
        xshift: a.delay > (from + to) / 2 ? -4 : 4,
        showarrow: false,
        font: { color: i === 0 ? "@mark" : "@ink" },
      })),
    },
  };
}
