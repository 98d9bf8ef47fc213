/**
 * How sure a trace is: one reflection, some noise, a number of averages, and what a measurement would show.
 */
import { logGrid } from "../../acoustics/bands/bands";
import type { Response } from "../../acoustics/response";
import { confidenceBand } from "../../measurement/transfer/confidence-band";
import { delayFactor } from "../../numeric/complexes";
import { normal } from "../../numeric/random";
import { inDecibels } from "../../text/decibels";
import { overFrequencyFigure } from "../figures/parts/over-frequency";
import type { PanelKind, SliderValues, View } from "./panel";

/** Nothing but the sliders is needed; `seed` draws another measurement. */
export interface CertaintyData {
  readonly seed?: number;
}

export interface CertaintyContent {
  readonly seed: number;
}

export const certainty: PanelKind<CertaintyData, CertaintyContent> = {
  title: "May this dip be believed?",
  sliders: () => [
    { name: "ratio", label: "Signal over noise", unit: "dB", min: -15, max: 30, step: 1, value: 3 },
    { name: "averages", label: "Averages", unit: "", min: 5, max: 200, step: 5, value: 10 },
    { name: "delay", label: "Reflection later by", unit: "ms", min: 1, max: 12, step: 0.5, value: 5 },
    { name: "level", label: "Reflection's level", unit: "dB", min: -20, max: -1, step: 1, value: -5 },
  ],
  reduce: ({ seed = 3 }) => ({ seed }),
  prepare:
    ({ seed }) =>
    (values) =>
      view(values, seed),
};

const frequency = logGrid(40, 400, 160);

function view({ ratio, averages, delay, level }: SliderValues, seed: number): View {
  const coherence = 10 ** (ratio / 10) / (1 + 10 ** (ratio / 10));
  const truth = direct(delay / 1000, 10 ** (level / 20));
  const measured = withNoise(truth, coherence, averages, normal(seed));
  const band = confidenceBand(measured);
  const whole = (1 / (2 * delay)) * 1000;
  const notch = whole < frequency[0] ? 3 * whole : whole;
  const at = frequency.findIndex((f) => f >= notch);
  const width = (band.upper[at] - band.lower[at]) / 2;
  const depth = 20 * Math.log10((1 + 10 ** (level / 20)) / (1 - 10 ** (level / 20)));
  return {
    words: `Coherence ${coherence.toFixed(2)}, ${averages} averages: at the dip of ${Math.round(notch)} Hz the truth lies within about ±${inDecibels(width)} of the line. The ripple is ${inDecibels(depth)} from top to bottom${width > depth / 2 ? ": it can't be told from chance" : ""}.`,
    figures: [
      overFrequencyFigure({
        title: "What is there, what is measured, and the 95 % band within the windows",
        frequency,
        curves: {
          measured: band.level,
          "there in truth": levelOf(truth),
          "band, upper": band.upper,
          "band, lower": band.lower,
        },
        top: 15,
        span: 45,
        yTitle: "Level (dB re the direct sound)",
      }),
    ],
  };
}

function direct(delay: number, ratio: number): Response {
  const { re, im } = delayFactor(frequency, delay, ratio);
  return { frequency, re: re.map((x) => 1 + x), im };
}

/**
 * One draw of a measurement: the error of H1 is complex normal with this variance.
 * Noise is taken as even with the signal at the microphone, so that coherence is the same at every frequency.
 */
function withNoise(truth: Response, coherence: number, averages: number, random: () => number): Response {
  const fraction = Math.sqrt((1 - coherence) / (2 * averages * coherence));
  const re = truth.re.slice();
  const im = truth.im.slice();
  re.forEach((_, i) => {
    const size = Math.hypot(truth.re[i], truth.im[i]);
    re[i] += size * fraction * random();
    im[i] += size * fraction * random();
  });
  return {
    frequency,
    re,
    im,
    coherence: new Float64Array(re.length).fill(coherence),
    averages: new Float64Array(re.length).fill(averages),
  };
}

const levelOf = ({ re, im }: Response): Float64Array =>
  re.map((x, i) => 20 * Math.log10(Math.hypot(x, im[i])));
