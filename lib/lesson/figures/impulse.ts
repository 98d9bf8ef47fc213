import type { Response } from "../../acoustics/response";
import { fourierTransform } from "../../measurement/spectra/fft";
import { linearAxis } from "./parts/axes";
import type { Figure } from "./parts/figure";
import { plotText } from "./parts/plot-text";

export interface Arrival {
  /** After the signal was sent, seconds. */
  readonly delay: number;
  /** What to call it in the figure, such as "chosen". */
  readonly label: string;
}

/**
 * The impulse response behind a transfer function, with the arrivals found in it.
 *
 * Across: time after the signal was sent (ms). Up: sound pressure relative to the largest value drawn (−1 to 1). The mark
 * of the chosen delay should stand at the first arrival, not at a reflection that follows it. Frequencies count by their
 * coherence, where the response has one: noise has none and would hide the arrivals.
 *
 * @param response  from `measure.transferFunction`, on the frequencies of its transform, the delay left in
 * @param arrivals  delays to mark, seconds; the first is drawn as the chosen one. None by default
 * @param options  seconds shown, and whether all frequencies count alike
 * @returns a figure, for `show`
 * @throws RangeError when the response stands on other frequencies, is silent, or nothing of it lies in the span
 * @source inverse discrete Fourier transform; the figure: own way, no outside source; check:
 *   tests/lesson/figures/figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const { reference, mains } = predict.recordings(hall, [hall.positions[2]], { seconds: 1, sampleRate: 8000 });
 * const response = measure.transferFunction(reference, mains[0], 8000, { windowLength: 4096 });
 * const { chosen } = measure.estimateDelay(reference, mains[0], 8000);
 * show(draw.impulse(response, [{ delay: chosen.time, label: "chosen" }]));
 */
export function impulseFigure(
  response: Response,
  arrivals: readonly Arrival[] = [],
  options: {
    /** First moment drawn, seconds; 10 ms before the first mark by default. */
    readonly from?: number;
    /** Last moment drawn, seconds; 20 ms after the last mark by default. */
    readonly to?: number;
    /** True lets all frequencies count alike; otherwise the loudest ring over everything. Default false. */
    readonly even?: boolean;
    /** Above the figure. Default "When the sound arrives". */
    readonly title?: string;
  } = {},
): Figure {
  const { samples, sampleRate } = impulseResponse(options.even ? whitened(response) : response);
  const delays = arrivals.map((a) => a.delay);
  const from = options.from ?? Math.max(0, Math.min(...delays, 0.02) - 0.01);
  const to = options.to ?? Math.max(...delays, from + 0.04) + 0.02;
  const first = Math.ceil(from * sampleRate);
  const last = Math.min(samples.length - 1, Math.floor(to * sampleRate));
  if (!(first >= 0 && last > first)) {
    throw new RangeError(`the impulse response has no sample between ${from} and ${to} s`);
  }
  const y = samples.slice(first, last + 1);
  const top = y.reduce((max, v) => Math.max(max, Math.abs(v)), 0);
  if (!(top > 0))
    throw new RangeError("the impulse response is silent: was the microphone's channel recorded?");
  const late = (delay: number) => delay > from + 0.6 * (to - from);
  const inMilliseconds = (i: number) => ((first + i) / sampleRate) * 1000;
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
      yaxis: linearAxis("Pressure (largest = 1)", -1.1, 1.8, { tickvals: [-1, 0, 1] }),
      shapes: arrivals.map((a, i) => ({
        type: "line",
        x0: a.delay * 1000,
        x1: a.delay * 1000,
        y0: -1.1,
        y1: 1.65 - 0.22 * (i % 3),
        line: { color: i === 0 ? "@mark" : "@faint", width: 2, dash: i === 0 ? "solid" : "dash" },
      })),
      annotations: arrivals.map((a, i) => ({
        text: `${plotText(a.label)}, ${(a.delay * 1000).toFixed(1)} ms`,
        x: a.delay * 1000,
        y: 1.68 - 0.22 * (i % 3),
        xanchor: late(a.delay) ? "right" : "left",
        xshift: late(a.delay) ? -4 : 4,
        showarrow: false,
        font: { color: i === 0 ? "@mark" : "@ink" },
      })),
    },
  };
}

/** Its phase alone: magnitude 1 where there is any. */
function whitened(response: Response): Response {
  const size = response.re.map((x, i) => Math.hypot(x, response.im[i]) || 1);
  return {
    ...response,
    re: response.re.map((x, i) => x / size[i]),
    im: response.im.map((x, i) => x / size[i]),
  };
}

/** Inverse transform of a response whose frequencies are those of a transform, from one bin up to half the sample rate. */
function impulseResponse({ frequency, re, im, coherence }: Response): {
  samples: Float64Array;
  sampleRate: number;
} {
  const bins = frequency.length;
  const step = frequency[0];
  const size = 2 * bins;
  const even = Math.abs(frequency[bins - 1] - bins * step) < 1e-6 * frequency[bins - 1];
  if (!even || (size & (size - 1)) !== 0) {
    throw new RangeError(
      `the response has ${bins} frequencies from ${step} Hz that are not those of one transform: use measure.transferFunction()`,
    );
  }
  const transform = fourierTransform(size);
  transform.re.fill(0);
  transform.im.fill(0);
  for (let k = 1; k <= bins; k++) {
    const weight = coherence ? coherence[k - 1] : 1;
    transform.re[k] = weight * re[k - 1];
    transform.im[k] = k === bins ? 0 : weight * im[k - 1];
    transform.re[size - k] = transform.re[k];
    transform.im[size - k] = -transform.im[k];
  }
  transform.inverse();
  return { samples: transform.re.slice(), sampleRate: size * step };
}
