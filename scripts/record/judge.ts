/** Whether a take can be used: each reason against it is a sentence that says what to do. */
import { recordingHealth } from "../../lib/measurement/health/recording";
import { openWav, type WavReader } from "../../lib/measurement/wav/read";
import { isCopy } from "../../lib/study/same-sound";
import { clockJumps, followLoopBack, repeatedAt } from "./lost-samples";

/** What the recorder says at the end of a take. */
export interface TakeReport {
  readonly file: string;
  /** Whether all that was asked for lies in the file. */
  readonly whole: boolean;
  /** Whether it was ended before its time. */
  readonly stopped: boolean;
  /** Why it could not be ended well. */
  readonly failed: string | null;
  readonly frames: number;
  /** Losses that the system told of: frame and words. */
  readonly flags: readonly (readonly [frame: number, words: string])[];
  /** The device's time of each block: frame and seconds. */
  readonly clock: readonly (readonly [frame: number, time: number])[];
}

export interface Judged {
  readonly report: TakeReport;
  /** Channels of the microphones, from 1. */
  readonly microphones: readonly number[];
  /** What was sent, from the first frame on, and the loop-back's channel from 1; absent where nothing played. */
  readonly played?: { readonly sent: Float64Array; readonly reference: number };
  /** Where the file lies; by default where the report says. */
  readonly file?: string;
}

/** Why a take is refused; nothing where it is good. */
export function reasonsAgainst({ report, microphones, played, file = report.file }: Judged): string[] {
  if (report.failed)
    return [
      `the recording broke off: ${report.failed}; what was recorded until then is in ${report.file}.part`,
    ];
  if (report.stopped) return ["the recording was stopped before its end"];
  const reader = openWav(file);
  try {
    const { sampleRate } = reader;
    const at = (frame: number) => `${(frame / sampleRate).toFixed(2)} s`;
    const flags = report.flags
      .slice(0, 1)
      .map(
        ([frame, words]) =>
          `the system told of a loss at ${at(frame)} (${words}${report.flags.length > 1 ? `, and ${report.flags.length - 1} more` : ""}); close other programs and record again`,
      );
    const jumps = clockJumps(report.clock, sampleRate)
      .slice(0, 1)
      .map(
        ({ frame, seconds }) =>
          `at ${at(frame)} the device's clock jumps by ${(1000 * seconds).toFixed(0)} ms against the samples that came; close other programs and record again`,
      );
    return [...flags, ...jumps, ...soundReasons(reader, microphones, played)];
  } finally {
    reader.close();
  }
}

function soundReasons(reader: WavReader, microphones: readonly number[], played: Judged["played"]): string[] {
  const wanted = [...new Set([...(played ? [played.reference] : []), ...microphones])];
  const missing = wanted.filter((n) => n > reader.channels);
  if (missing.length)
    return [`the recording has ${reader.channels} channels and none with number ${missing.join(", ")}`];
  const sent = played ? [played.reference - 1] : [];
  const { faults } = recordingHealth(reader, { sent, silence_db: played ? -80 : -140 });
  const faulty = faults
    .filter(
      ({ kind, channel }) => kind !== "offset" && (channel === undefined || wanted.includes(channel + 1)),
    )
    .map(({ message }) => message.replace(/^recording "[^"]*": /, ""));
  if (faulty.length) return faulty;
  return [
    // The loop-back tells of what came twice, too; where nothing played the microphones' own noise has to.
    ...(played
      ? loopBackReasons(reader, played)
      : [...unsteady(reader, microphones), ...repeated(reader, microphones[0])]),
    ...doubled(reader, wanted),
  ];
}

/** One channel, numbered from 1. */
function channel(reader: WavReader, n: number, frames = reader.frames, start = 0): Float64Array {
  const into: (Float64Array | undefined)[] = new Array(reader.channels).fill(undefined);
  const samples = new Float64Array(Math.min(frames, reader.frames - start));
  into[n - 1] = samples;
  reader.read(into, start);
  return samples;
}

function loopBackReasons(reader: WavReader, { sent, reference }: NonNullable<Judged["played"]>): string[] {
  const followed = followLoopBack(sent, channel(reader, reference), reader.sampleRate);
  if (!followed)
    return [
      `channel ${reference}, the loop-back, does not hold what was played; connect an output of the interface that plays the signal to this input`,
    ];
  return followed.breaks
    .slice(0, 1)
    .map(
      ({ time }) =>
        `at ${time.toFixed(2)} s the loop-back no longer follows what was sent (${followed.breaks.length} ${followed.breaks.length === 1 ? "place" : "places"} in all): samples were lost or came twice; close other programs and record again`,
    );
}

/** A buffer that is handed over twice comes twice on every channel: one is enough. */
function repeated(reader: WavReader, microphone: number): string[] {
  const time = repeatedAt(channel(reader, microphone), reader.sampleRate);
  return time === undefined
    ? []
    : [
        `channel ${microphone} holds the same samples twice at ${time.toFixed(2)} s; close other programs and record again`,
      ];
}

/** Noise that changes tells nothing of the noise in the takes. */
function unsteady(reader: WavReader, microphones: readonly number[]): string[] {
  const second = reader.sampleRate;
  return microphones.flatMap((n) => {
    const samples = channel(reader, n);
    const levels = Array.from({ length: Math.floor(samples.length / second) }, (_, s) => {
      let sum = 0;
      for (let i = s * second; i < (s + 1) * second; i++) sum += samples[i] * samples[i];
      return 10 * Math.log10(sum / second + 1e-20);
    });
    const middle = [...levels].sort((a, b) => a - b)[levels.length >> 1];
    const worst = levels.reduce((a, level, s) => (level > levels[a] ? s : a), 0);
    const above = levels[worst] - middle;
    return above > UNSTEADY
      ? [
          `the noise on channel ${n} was not steady: ${above.toFixed(0)} dB louder than usual at ${worst} s; wait until it is quiet and record again`,
        ]
      : [];
  });
}

const UNSTEADY = 6; // dB within a second; common practice, no source

function doubled(reader: WavReader, wanted: readonly number[]): string[] {
  const start = Math.floor(reader.frames / 3);
  const parts = wanted.map((n) => channel(reader, n, COMPARED, start));
  const pairs = wanted.flatMap((n, i) =>
    wanted
      .slice(0, i)
      .filter((_, j) => isCopy(parts[j], parts[i]))
      .map((m) => `${m} and ${n}`),
  );
  if (pairs.length === 0) return [];
  return [`channels ${pairs.join(", ")} hold the same sound, one microphone twice; compare the patch`];
}

const COMPARED = 300_000; // samples
