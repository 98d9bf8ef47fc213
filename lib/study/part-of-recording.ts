/**
 * Which part of a recording to use: the one that the show file names, and of what is too long to hold its steadiest and loudest
 * (of a noise-floor recording its steadiest and quietest). Only a fifth of it is read for that, in small pieces.
 */
import type { WavReader } from "../measurement/wav/read";

/** Frames of a recording. */
export interface Part {
  readonly start: number;
  readonly frames: number;
}

/** What of a recording may be used. */
export interface Wanted {
  /** Seconds from the start of the file, where the show file names them. */
  readonly from?: number;
  readonly to?: number;
  /** Frames that are held at the most. */
  readonly most: number;
  /** Channels from 0 whose level decides. */
  readonly channels: readonly number[];
  /** Whether a signal or the quiet is looked for. */
  readonly look: "loud" | "quiet";
}

/**
 * The frames to use, and of how many.
 *
 * A window is judged by the level that it holds for four fifths of its time. Shorter windows, down to an eighth, are preferred where
 * they hold 6 dB more: a minute of noise in an hour of work is found as such.
 *
 * @source own way, no outside source; check: tests/study/part-of-recording.test.ts
 */
export function partOfRecording(
  reader: WavReader,
  { from, to, most, channels, look }: Wanted,
): Part & { readonly of: number } {
  const { sampleRate, frames } = reader;
  const first = Math.min(frames, Math.round((from ?? 0) * sampleRate));
  const last = Math.min(frames, Math.round((to ?? Number.POSITIVE_INFINITY) * sampleRate));
  const of = last - first;
  if (of <= most) return { start: first, frames: of, of };
  const step = Math.max(1, Math.round(STEP * sampleRate));
  const levels = levelsOf(reader, channels, first, last, step);
  const score = look === "loud" ? loudness(levels) : quietness(levels);
  const windows = [1, 2, 4, 8]
    .map((divisor) => Math.max(1, Math.floor(most / divisor / step)))
    .map((length) => bestWindow(score, length));
  const least = Math.max(...windows.map((w) => w.held)) / 4;
  const { at, length } = windows.find((w) => w.held >= least)!;
  return { start: first + at * step, frames: Math.min(most, length * step), of };
}

const STEP = 0.5; // seconds from one glance to the next
const GLANCE = 0.1; // seconds that are read of each

/** Mean square over the channels at each step. */
function levelsOf(
  reader: WavReader,
  channels: readonly number[],
  first: number,
  last: number,
  step: number,
): Float64Array {
  const into: (Float64Array | undefined)[] = new Array(reader.channels).fill(undefined);
  for (const c of channels) into[c] = new Float64Array(Math.max(1, Math.round(GLANCE * reader.sampleRate)));
  return Float64Array.from({ length: Math.floor((last - first) / step) }, (_, i) => {
    const got = reader.read(into, first + i * step);
    let sum = 0;
    for (const c of channels) for (let n = 0; n < got; n++) sum += into[c]![n] ** 2;
    const level = sum / Math.max(1, got * channels.length);
    return Number.isFinite(level) ? level : 0;
  });
}

/** More than 30 dB below the loud parts everything is one and the same quiet. */
function loudness(levels: Float64Array): Float64Array {
  const loud = Float64Array.from(levels).sort()[Math.floor(0.98 * (levels.length - 1))];
  return levels.map((level) => Math.max(level, loud / 1000));
}

/** Nothing at all, below −140 dB (a channel that was not yet on), is no noise floor: it counts as loud. */
const quietness = (levels: Float64Array): Float64Array =>
  levels.map((level) => (level > 1e-14 ? 1 / level : 0));

/** The window with the highest score held for four fifths of it; among equals the one that holds it longest. */
function bestWindow(score: Float64Array, wanted: number): { at: number; length: number; held: number } {
  const length = Math.min(wanted, score.length);
  let best = { at: 0, length, held: -1, mean: -1 };
  for (let at = 0; at + length <= score.length; at++) {
    const window = score.slice(at, at + length).sort();
    const held = window[Math.floor(0.2 * (length - 1))];
    const mean = window.reduce((sum, x) => sum + Math.min(x, 2 * held), 0) / length;
    if (held > 1.05 * best.held || (held > best.held / 1.05 && mean > 1.05 * best.mean))
      best = { at, length, held, mean };
  }
  return best;
}
