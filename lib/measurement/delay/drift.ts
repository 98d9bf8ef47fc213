/**
 * Clock drift: two devices that each kept their own time.
 */
import { requireWithin } from "../../guard/arguments";
import { median } from "../../numeric/statistics";
import { resample } from "../signals/resample";
import { type DelayOptions, estimateDelay } from "./delay";

export interface ClockDrift {
  /** How much faster the signal's clock runs than the reference's, parts per million. */
  readonly ppm: number;
  /** Half width of the interval that holds it with 95 % confidence, parts per million. */
  readonly uncertainty: number;
  /** Whether the drift is larger than its uncertainty and moves the delay by more than a sample over the recording. */
  readonly significant: boolean;
  /** Delay at the start of the recording, seconds. */
  readonly delay: number;
  /** Number of stretches of the recording whose delay was reliable. */
  readonly stretches: number;
}

export interface DriftOptions extends Pick<DelayOptions, "from" | "to" | "band"> {
  /** Length of a stretch, of which one delay is found, seconds, 0.05 to 600. Default 2. */
  readonly stretch?: number;
}

/**
 * Drift between the clock of a reference and that of a signal recorded on another device.
 *
 * The delay of each stretch is found; its slope over time is the drift. A second round, on the signal corrected by
 * the first, takes away the blur that drift leaves within a stretch.
 *
 * @param reference  samples
 * @param signal  samples at the same nominal rate
 * @param sampleRate  hertz, 1000 to 400 000
 * @param options  delays looked for and length of a stretch, seconds; band, hertz
 * @returns drift and its uncertainty, parts per million; delay at the start, seconds
 * @throws RangeError when fewer than four stretches have a reliable delay (too short, or not the same sound), the drift is
 *   beyond 2 %, or an option is out of its range
 * @source slope by Theil and Sen (median of the slopes of all pairs), robust against stretches that went wrong; check: tests/measurement/delay/drift.test.ts
 * @example
 * const sent = Float64Array.from({ length: 64000 }, () => Math.random() - 0.5);
 * const apart = measure.resample(sent, 1 - 60e-6); // as a device keeps it that runs 60 ppm fast
 * measure.clockDrift(sent, apart, 8000, { stretch: 0.5, from: -0.02, to: 0.02 }).ppm // 60
 */
export function clockDrift(
  reference: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  options: DriftOptions = {},
): ClockDrift {
  const first = slopeOfDelay(reference, signal, sampleRate, options);
  const second = slopeOfDelay(reference, resample(signal, 1 + first.slope), sampleRate, options);
  const slope = (1 + first.slope) * (1 + second.slope) - 1;
  const seconds = Math.min(reference.length, signal.length) / sampleRate;
  const ppm = 1e6 * slope;
  const uncertainty = 1e6 * second.error;
  return {
    ppm,
    uncertainty,
    significant: Math.abs(ppm) > uncertainty && Math.abs(slope) * seconds * sampleRate > 1,
    delay: second.start,
    stretches: second.stretches,
  };
}

/**
 * The signal as the reference's clock would have recorded it.
 *
 * @param signal  samples
 * @param ppm  how much faster the signal's clock ran, parts per million, −20 000 to 20 000, as `clockDrift` finds it
 * @returns samples; fewer where the signal's clock was the faster one, more where it was the slower
 * @throws RangeError when the drift is beyond 2 %
 * @source resampling by the ratio of the clocks: own way, no outside source; check: tests/measurement/delay/drift.test.ts
 * @example
 * measure.correctDrift(new Float64Array(100001), 100).length // 99991
 */
export function correctDrift(signal: Float64Array, ppm: number): Float64Array {
  return resample(signal, 1 + ppm * 1e-6);
}

function slopeOfDelay(
  reference: Float64Array,
  signal: Float64Array,
  sampleRate: number,
  { from = -0.05, to = 0.5, band, stretch = 2 }: DriftOptions,
): { slope: number; error: number; start: number; stretches: number } {
  requireWithin("sample rate", sampleRate, 1000, 400_000);
  requireWithin("stretch in seconds", stretch, 0.05, 600);
  const length = Math.round(stretch * sampleRate);
  const times: number[] = [];
  const delays: number[] = [];
  for (let at = 0; at + length <= Math.min(reference.length, signal.length); at += length) {
    const piece = reference.subarray(at, at + length);
    if (piece.every((x) => x === 0)) continue;
    const { chosen } = estimateDelay(piece, signal.subarray(at, at + length), sampleRate, {
      from,
      to,
      band,
      count: 1,
    });
    if (!chosen.reliable) continue;
    times.push((at + length / 2) / sampleRate);
    delays.push(chosen.time);
  }
  if (times.length < 4) {
    throw new RangeError(
      `${times.length} stretches of ${stretch} s have a reliable delay, expected 4 or more to tell a drift: record longer`,
    );
  }
  const slopes: number[] = [];
  for (let i = 0; i < times.length; i++) {
    for (let j = i + 1; j < times.length; j++) slopes.push((delays[j] - delays[i]) / (times[j] - times[i]));
  }
  const slope = median(slopes);
  const starts = delays.map((d, i) => d - slope * times[i]);
  const start = median(starts);
  // Median deviation, scaled to the standard deviation of a normal law; less than a fiftieth of a sample is not believed.
  const scatter = Math.max(1.4826 * median(starts.map((s) => Math.abs(s - start))), 0.02 / sampleRate);
  const mean = times.reduce((a, b) => a + b, 0) / times.length;
  const spread = Math.sqrt(times.reduce((sum, t) => sum + (t - mean) ** 2, 0));
  return { slope, error: (1.96 * 1.05 * scatter) / spread, start, stretches: times.length };
}
