/**
 * Do the microphones agree? All of them at one place, hearing one signal.
 */
import type { Response } from "../../acoustics/response";
import { estimateDelay } from "../delay/delay";
import { transferFunctions } from "../transfer/transfer-function";

export interface MatchOptions {
  /** Levels and phases are compared in this band, hertz. Default 100 to 2000. */
  readonly band?: { readonly from: number; readonly to: number };
  /** Largest level difference that passes, dB. Default 1. */
  readonly level?: number;
  /** Largest phase difference that passes after the delay is taken out, degrees. Default 10. */
  readonly phase?: number;
  /** Largest delay difference that passes, seconds; a few centimetres of distance. Default 0.0001. */
  readonly delay?: number;
  /** Least coherence of a frequency that takes part, and of a channel that passes, 0…1. Default 0.8. */
  readonly coherence?: number;
}

export interface MicrophoneMatch {
  /** Which channel: from 0 in `measure.matchMicrophones`; the recording's number, from 1, in `measure.show`. */
  readonly channel: number;
  /** Level relative to the median of all channels, dB. */
  readonly level: number;
  /** Polarity relative to the majority: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** Largest phase difference from the first channel over the band after polarity and delay, degrees. */
  readonly phase: number;
  /** Delay relative to the median of all channels, seconds, positive is later. */
  readonly delay: number;
  /** Mean coherence with the first channel over the band, 0…1. */
  readonly coherence: number;
  /** Whether it stays within all limits. */
  readonly pass: boolean;
  /** What fails, in words; empty when it passes. */
  readonly faults: readonly string[];
  /** What would make it match: dB to add, polarity to multiply by, seconds to delay by. */
  readonly correction: { readonly gain: number; readonly polarity: 1 | -1; readonly delay: number };
}

/**
 * Compares microphones that stand at one position and hear one signal: level, polarity, delay and phase of each.
 *
 * Each channel's transfer function from the first gives level, polarity, delay and phase; the median channel is
 * the norm for level and delay, the majority for polarity, so that a faulty first channel is found as well.
 *
 * @param channels  samples, one array per microphone, two or more, same clock
 * @param sampleRate  hertz
 * @param options  band, hertz (100 to 2000 by default), and limits (1 dB, 10°, 0.1 ms, coherence 0.8 by default)
 * @returns one entry per channel, in order: dB, degrees, seconds
 * @throws RangeError when there are fewer than two channels, or one is silent or shorter than a twelfth of a second or so
 * @source own way, no outside source; the limits: common practice, no source; check: tests/measurement/health/microphones.test.ts
 * @example
 * const sent = Float64Array.from({ length: 16000 }, () => Math.random() - 0.5);
 * const inverted = sent.map((v) => -v); // a cable wired the wrong way
 * measure.matchMicrophones([sent, sent, inverted], 16000).map((m) => m.polarity) // [1, 1, -1]
 */
export function matchMicrophones(
  channels: readonly Float64Array[],
  sampleRate: number,
  options: MatchOptions = {},
): MicrophoneMatch[] {
  if (channels.length < 2) throw new RangeError("one channel can't be matched: expected two or more");
  const band = options.band ?? { from: 100, to: 2000 };
  const limits = { level: 1, phase: 10, delay: 1e-4, coherence: 0.8, ...options };
  const found = channels.map((channel, i) =>
    i === 0
      ? { time: 0, polarity: 1 as const }
      : estimateDelay(channels[0], channel, sampleRate, { from: -0.02, to: 0.02 }).chosen,
  );
  const responses = transferFunctions(channels[0], channels, sampleRate, {
    delays: found.map((c) => c.time),
    windowLength: 2 ** Math.round(Math.log2(sampleRate / 12)),
  });
  const raw = responses.map((response, i) => ({
    delay: found[i].time,
    sign: found[i].polarity,
    ...compareWithFirst(response, band, limits.coherence, found[i].polarity),
  }));
  const level = median(raw.map((r) => r.level));
  const delay = median(raw.map((r) => r.delay));
  const majority = raw.reduce((sum, r) => sum + r.sign, 0) >= 0 ? 1 : -1;
  return raw.map((r, channel) => {
    const polarity = (r.sign * majority) as 1 | -1;
    const match = {
      channel,
      level: r.level - level,
      polarity,
      phase: r.phase,
      delay: r.delay - delay,
      coherence: r.coherence,
    };
    const faults = faultsOf(match, limits);
    return {
      ...match,
      pass: faults.length === 0,
      faults,
      correction: { gain: -match.level, polarity, delay: -match.delay },
    };
  });
}

/** Level, phase and coherence over the band, from the frequencies that are coherent (from all where none is). */
function compareWithFirst(
  { frequency, re, im, coherence = new Float64Array(frequency.length) }: Response,
  band: { readonly from: number; readonly to: number },
  limit: number,
  sign: 1 | -1,
): { level: number; phase: number; coherence: number } {
  const within = [...frequency.keys()].filter((k) => frequency[k] >= band.from && frequency[k] <= band.to);
  const coherent = within.filter((k) => coherence[k] >= limit);
  const used = coherent.length > 0 ? coherent : within;
  const mean = (value: (k: number) => number, of: readonly number[]) =>
    of.reduce((sum, k) => sum + value(k), 0) / of.length;
  // |H1|² / γ² is the ratio of the two channels' powers: noise of the first channel does not pull it down.
  const ratio = mean((k) => (re[k] ** 2 + im[k] ** 2) / Math.max(coherence[k], 1e-12), used);
  const phases = used.map((k) => (Math.atan2(sign * im[k], sign * re[k]) * 180) / Math.PI);
  return {
    level: 10 * Math.log10(Math.max(ratio, 1e-30)),
    phase: phases.reduce((worst, p) => (Math.abs(p) > Math.abs(worst) ? p : worst), 0),
    coherence: mean((k) => coherence[k], within),
  };
}

function faultsOf(
  m: { level: number; polarity: number; phase: number; delay: number; coherence: number },
  limits: { level: number; phase: number; delay: number; coherence: number },
): string[] {
  const faults: string[] = [];
  if (m.coherence < limits.coherence) {
    faults.push(`coherence with the first channel is ${m.coherence.toFixed(2)}: noise, or another signal`);
  }
  if (m.polarity < 0) faults.push("polarity is inverted");
  if (Math.abs(m.level) > limits.level) {
    faults.push(`level is ${Math.abs(m.level).toFixed(1)} dB ${m.level < 0 ? "low" : "high"}`);
  }
  if (Math.abs(m.delay) > limits.delay) {
    faults.push(`${Math.abs(m.delay * 1000).toFixed(2)} ms ${m.delay < 0 ? "early" : "late"}`);
  }
  if (Math.abs(m.phase) > limits.phase)
    faults.push(`phase differs by up to ${Math.abs(m.phase).toFixed(0)}°`);
  return faults;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
