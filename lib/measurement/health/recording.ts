/**
 * Whether a recording can be trusted: clipping, silence, gaps, constant offset, samples that are no numbers, too short.
 *
 * One pass over the samples in blocks, so an hour costs no more memory than a minute.
 */

import type { Recording, WavReader } from "../wav/read";
import { type ChannelHealth, channelHealth } from "./channel";

export type FaultKind = "not-a-number" | "silence" | "clipping" | "gap" | "offset" | "too-short";

/** One thing wrong with a recording. */
export interface RecordingFault {
  /** What is wrong. */
  readonly kind: FaultKind;
  /** Channel from 0; absent where it concerns the whole file. */
  readonly channel?: number;
  /** Seconds from the start of the file, where it begins. */
  readonly time?: number;
  /** True where no result may rest on the channel; false where it may, with doubt. */
  readonly fatal: boolean;
  /** One sentence naming file, channel, time and remedy; channels count from 1 here. */
  readonly message: string;
}

export interface RecordingHealth {
  /** Name of the recording's file. */
  readonly name: string;
  /** seconds */
  readonly duration: number;
  /** Figures of each channel, in order. */
  readonly channels: readonly ChannelHealth[];
  /** Everything that is wrong; empty where nothing is. */
  readonly faults: readonly RecordingFault[];
}

export interface HealthOptions {
  /** Shortest useful recording, seconds: one window and its delay. Default 1. */
  readonly minimumDuration?: number;
  /** A channel whose RMS value is no higher than this is silent, dB re full scale. Default −80. */
  readonly silence_db?: number;
  /** Shortest run of exact zeros that cuts into a sound and counts as a gap, seconds. Default 0.01. */
  readonly gap?: number;
  /** Channels from 0 that hold what was sent: zeros for more than 50 ms are a pause there. Default none. */
  readonly sent?: readonly number[];
  /** Where in the file the samples begin, seconds: added to the times of what is found. Default 0. */
  readonly start?: number;
}

/**
 * Checks whether a recording can be trusted: clipping, silence, gaps, constant offset, samples that are no numbers, too short.
 *
 * Clipping: three or more samples in a row at full scale, or a flat top that the signal reaches by a jump, as a stage
 * before the recorder leaves it. An analogue stage that rounds its peaks is not found: watch its meters.
 *
 * @param recording  in memory, as `read.wav` gives it, full scale 1; or open to be read in blocks (it stays open)
 * @param options  what counts as short and as a gap, seconds; as silent, dB re full scale
 * @returns figures per channel (full scale is 1, times in seconds) and everything that is wrong; an empty list of faults is a
 *   clean bill
 * @source limits: common practice, no source; check: tests/measurement/health/recording.test.ts
 * @example
 * const hot = Float64Array.from({ length: 48000 }, (_, n) => 2 * Math.sin(n / 20));
 * const clipped = hot.map((v) => Math.max(-1, Math.min(1, v)));
 * const take = { name: "mains.wav", sampleRate: 48000, channels: [clipped], warnings: [] };
 * measure.health(take).faults[0].kind // "clipping"
 */
export function recordingHealth(
  recording: Recording | WavReader,
  { minimumDuration = 1, silence_db = -80, gap = 0.01, start = 0, sent = [] }: HealthOptions = {},
): RecordingHealth {
  const { sampleRate } = recording;
  const accumulators: ReturnType<typeof channelHealth>[] = [];
  let frames = 0;
  for (const block of "blocks" in recording ? recording.blocks() : [recording.channels]) {
    block.forEach((samples, c) => {
      accumulators[c] ??= channelHealth({
        sampleRate,
        gap,
        ...(sent.includes(c) && { pause: PAUSE }),
        step: stepOf(recording),
      });
      accumulators[c].feed(samples);
    });
    frames += block[0].length;
  }
  const channels = accumulators.map((accumulator) => accumulator.result());
  const duration = frames / sampleRate;
  const faults: RecordingFault[] = [];
  if (duration < minimumDuration) {
    faults.push({
      kind: "too-short",
      fatal: true,
      message: `recording "${recording.name}": length is ${duration.toFixed(2)} s, expected ${minimumDuration.toFixed(2)} s or more; record longer`,
    });
  }
  channels.forEach((health, channel) => {
    for (const found of channelFaults(health, silence_db)) {
      const fault = found.time === undefined ? found : { ...found, time: start + found.time };
      const at = fault.time === undefined ? "" : ` at ${fault.time.toFixed(3)} s`;
      faults.push({
        ...fault,
        channel,
        message: `recording "${recording.name}": channel ${channel + 1}${at} ${fault.message}`,
      });
    }
  });
  return { name: recording.name, duration, channels, faults };
}

/** Seconds: a buffer that was lost is shorter, and hardly a pause in music is. */
const PAUSE = 0.05;

/** Step between neighbouring sample values; of a recording in memory it isn't known, and 16 bit the coarsest. */
function stepOf(recording: Recording | WavReader): number {
  return "encoding" in recording && recording.encoding !== "int16" ? 2 ** -23 : 2 ** -15;
}

function channelFaults(health: ChannelHealth, silence_db: number): Omit<RecordingFault, "channel">[] {
  const faults: Omit<RecordingFault, "channel">[] = [];
  if (health.notNumbers.count > 0) {
    faults.push({
      kind: "not-a-number",
      time: health.notNumbers.first,
      fatal: true,
      message: `and in ${count(health.notNumbers.count, "sample")} in all is no usable number; export the recording again`,
    });
  } else if (health.effective <= 10 ** (silence_db / 20)) {
    const level =
      health.effective > 0 ? `${(20 * Math.log10(health.effective)).toFixed(0)} dB` : "nothing but zeros";
    faults.push({
      kind: "silence",
      fatal: true,
      message: `is silent (${level}, expected above ${silence_db} dB re full scale); check cable, phantom power and routing, and record anew`,
    });
  }
  if (health.clipped.count > 0) {
    faults.push({
      kind: "clipping",
      time: health.clipped.first,
      fatal: false,
      message: `and in ${count(health.clipped.count, "place")} in all is clipped; lower the gain and record anew`,
    });
  }
  if (health.gaps.count > 0) {
    faults.push({
      kind: "gap",
      time: health.gaps.first,
      fatal: false,
      message: `and in ${count(health.gaps.count, "place")} in all drops to exact zeros; check the connection and record anew`,
    });
  }
  if (Math.abs(health.mean) > 0.01 && Math.abs(health.mean) > 0.1 * health.effective) {
    faults.push({
      kind: "offset",
      fatal: false,
      message: `has a constant offset of ${(100 * health.mean).toFixed(1)} % of full scale; check the interface, or filter below 10 Hz`,
    });
  }
  return faults;
}

function count(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? "" : "s"}`;
}
