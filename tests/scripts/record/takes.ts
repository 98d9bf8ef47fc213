/** Takes as a healthy interface would record them, and with losses planted. */
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { writeWav } from "../../../lib/measurement/wav/write";
import { normal } from "../../../lib/numeric/random";
import type { TakeReport } from "../../../scripts/record/judge";
import { testSignal } from "../../../scripts/signals/signals";

export const sampleRate = 24_000;
export const folder = mkdtempSync(path.join(tmpdir(), "evenground-takes-"));

/** What is sent: noise with quiet before and after it. */
export const { samples: sent } = testSignal("noise", { sampleRate, seconds: 5 });

/** Channel 1 is the loop-back, then as many microphones, each later and with noise of its own. */
export function healthy(microphones: number, { lag = 312, between = 0, seed = 1 } = {}): Float64Array[] {
  const random = normal(seed);
  const late = (by: number, gain: number, noise: number) =>
    sent.map((_, n) => {
      const whole = sent[n - by] ?? 0;
      const next = sent[n - by - 1] ?? 0;
      return gain * ((1 - between) * whole + between * next) + noise * random();
    });
  return [
    late(lag, 0.5, 1e-5),
    ...Array.from({ length: microphones }, (_, m) => late(lag + 480 * (m + 1), 0.4, 1e-3)),
  ];
}

/** The same with frames taken out at a place, filled up with quiet at the end, as a recorder that was short of them would. */
export const without = (channels: readonly Float64Array[], from: number, count: number): Float64Array[] =>
  channels.map((x) => {
    const y = new Float64Array(x.length);
    y.set(x.subarray(0, from));
    y.set(x.subarray(from + count), from);
    return y;
  });

/** The same with frames handed over a second time. */
export const twice = (channels: readonly Float64Array[], from: number, count: number): Float64Array[] =>
  channels.map((x) => {
    const y = new Float64Array(x.length);
    y.set(x.subarray(0, from + count));
    y.set(x.subarray(from, x.length - count), from + count);
    return y;
  });

let number = 0;

/** Written as a recorder would, with its report. */
export function written(channels: readonly Float64Array[], report: Partial<TakeReport> = {}): TakeReport {
  const file = path.join(folder, `take-${++number}.wav`);
  writeWav(file, { sampleRate, channels, encoding: "float32" });
  const frames = channels[0].length;
  const clock = Array.from(
    { length: Math.floor(frames / 2048) },
    (_, i) => [2048 * i, (2048 * i) / sampleRate] as const,
  );
  return { file, whole: true, stopped: false, failed: null, frames, flags: [], clock, ...report };
}
