import { requireInteger, requireWithin } from "../../guard/arguments";
import type { SweepResponse } from "../../measurement/signals/sweep";
import { inDecibels } from "../../text/decibels";
import { decibelAxis, linearAxis } from "./parts/axes";
import { curvesFigure } from "./parts/curves";
import type { Figure } from "./parts/figure";

export interface SweepFigureOptions {
  /** Highest harmonic to show and to name, 1 (the direct sound) to 10. Default 3. */
  readonly orders?: number;
  /** When the direct sound arrives, seconds after the sweep was sent, 0 to 10. Default 0. */
  readonly delay?: number;
  /** Seconds shown after it, 0.01 to 10. Default 0.3. */
  readonly after?: number;
  /** Above the figure. Default "What the sweep sets apart". */
  readonly title?: string;
}

/** Seconds of which the highest sample is drawn. */
const step = 0.002;

/**
 * The impulse response behind a sweep, with the harmonics that come before it.
 *
 * Across: time (ms), 0 when the sweep was sent. Up: level relative to the highest value (dB), down to −80 dB. What the
 * loudspeaker distorts is set apart: each harmonic stands earlier than the direct sound. Look how far below the direct
 * sound the harmonics lie, and whether anything else stands out of the noise.
 *
 * @param sweep  from `measure.sweep`
 * @param options  harmonics to name, delay, span
 * @returns a figure, for `show`
 * @throws RangeError when the impulse response is silent, `orders` is not a whole number from 1 to 10, `delay` not 0 to 10
 *   s or `after` not 0.01 to 10 s
 * @source where the harmonics stand: Farina, AES 108th Convention (2000), preprint 5093 (from memory); check:
 *   tests/lesson/figures/measurement-figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const sweep = { from: 50, to: 1000, seconds: 1, sampleRate: 4000 };
 * const recording = predict.sweep(hall, hall.positions[0], sweep, { harmonics: [-30, -40] });
 * show(draw.sweep(measure.sweep(recording, sweep), { orders: 3 }));
 */
export function sweepFigure(
  sweep: SweepResponse,
  { orders = 3, delay = 0, after = 0.3, title = "What the sweep sets apart" }: SweepFigureOptions = {},
): Figure {
  requireInteger("orders", orders, 1, 10);
  requireWithin("delay in seconds", delay, 0, 10);
  requireWithin("seconds after", after, 0.01, 10);
  const { impulse, origin, sampleRate } = sweep;
  const peak = impulse.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
  // A recording that equals the sweep has the peak 1: this is 160 dB below, rounding and no sound.
  if (!(peak > 1e-8)) throw new RangeError("the sweep's response is silent: was the microphone recorded?");
  const from = -Math.ceil((sweep.lead(orders) - delay + 0.05) * 10) / 10;
  const count = Math.round((after + delay - from) / step);
  const low = -80;
  const x = Array.from({ length: count }, (_, i) => from + (i + 0.5) * step);
  const level = x.map((t) => {
    const first = origin + Math.round((t - step / 2) * sampleRate);
    const piece = impulse.subarray(Math.max(0, first), Math.max(0, first + Math.round(step * sampleRate)));
    const most = piece.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
    return Math.max(low, 20 * Math.log10(most / peak));
  });
  const names = ["direct", "2nd", "3rd", "4th", "5th", "6th"];
  const marks = Array.from({ length: orders }, (_, i) => ({
    label: names[i] ?? `${i + 1}th`,
    x: 1000 * (delay - sweep.lead(i + 1)),
  }));
  const height = (t: number) => Math.max(...level.filter((_, i) => Math.abs(1000 * x[i] - t) <= 10));
  return curvesFigure({
    title,
    alt: `Impulse response of a sweep over time. ${marks.map(({ label, x: t }) => `${label}: ${inDecibels(height(t))} at ${Math.round(t)} ms.`.replace("-", "−")).join(" ")}`,
    curves: [{ label: "", x: x.map((t) => 1000 * t), y: level, colour: "@ink" }],
    xaxis: linearAxis("Time (ms; 0 is when it was sent)", 1000 * from, 1000 * (after + delay)),
    yaxis: { ...decibelAxis("Level (dB re the highest)", [], { top: 5 }), range: [low, 5], dtick: 20 },
    uprights: marks,
    height: 320,
  });
}
