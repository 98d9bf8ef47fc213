/**
 * Samples that went missing on the way, or came twice: by the loop-back beside what was sent, by the device's clock, and by what repeats.
 *
 * One stream plays and records, so the loop-back trails what was sent by one and the same number of samples from beginning to end.
 */
import { estimateDelay } from "../../lib/measurement/delay/delay";
import { median } from "../../lib/numeric/statistics";

/** Where the loop-back no longer follows what was sent. */
export interface Break {
  /** Seconds from the start of the recording. */
  readonly time: number;
}

export interface LoopBack {
  /** Seconds by which the recording trails what was sent. */
  readonly delay: number;
  /** How alike the two are, 0 to 1. */
  readonly likeness: number;
  readonly breaks: readonly Break[];
}

/**
 * Holds a recorded loop-back against the noise that was sent, piece by piece.
 *
 * Both are differenced, which makes pink noise so treble-rich that a shift by a single sample changes the correlation much.
 *
 * @param sent  samples of broadband noise, from the recording's first frame on
 * @param heard  the recorded loop-back
 * @returns nothing where what was recorded does not follow what was sent
 */
export function followLoopBack(
  sent: Float64Array,
  heard: Float64Array,
  sampleRate: number,
): LoopBack | undefined {
  const { candidates } = estimateDelay(sent, heard, sampleRate, { from: 0, to: LONGEST });
  // After a loss there are two delays, and either may be the stronger one.
  const [best] = candidates
    .map(({ time }) => piecesAt(sent, heard, Math.round(time * sampleRate)))
    .sort((a, b) => b.following.length - a.following.length);
  const { lag, pieces, following } = best;
  if (following.length < 3) return undefined;
  const usual = [0, 1, 2].map((k) => median(following.map(({ alike }) => alike[k])));
  const likeness = Math.max(...usual);
  const off = ({ alike }: Piece) => alike.some((c, k) => Math.abs(c - usual[k]) > MOST_OFF);
  // A loss shifts all pieces after it, or, where most lie after it, makes those before it the ones that are off.
  const breaks = pieces.flatMap((piece, i) =>
    i > 0 && off(piece) !== off(pieces[i - 1]) ? [{ time: (piece.at + lag) / sampleRate }] : [],
  );
  return { delay: lag / sampleRate, likeness, breaks };
}

interface Piece {
  readonly at: number;
  /** Coefficients of correlation a sample before the lag, at it, and a sample after it. */
  readonly alike: readonly number[];
}

function piecesAt(sent: Float64Array, heard: Float64Array, lag: number) {
  const pieces: Piece[] = [];
  const loudest = energyOf(sent, 0, sent.length) / sent.length;
  for (let from = 1; from + PIECE + lag + 2 <= Math.min(sent.length, heard.length); from += PIECE) {
    if (energyOf(sent, from, from + PIECE) < 1e-4 * loudest * PIECE) continue;
    pieces.push({ at: from, alike: [-1, 0, 1].map((step) => alikeness(sent, heard, from, lag + step)) });
  }
  return { lag, pieces, following: pieces.filter(({ alike }) => Math.max(...alike) > FOLLOWS) };
}

/** Of unrelated noise a coefficient of a piece stays below 0.2. */
const FOLLOWS = 0.3;
/** Seconds that a loop-back may trail. */
const LONGEST = 1;
const PIECE = 1024; // samples
/** A shift by one sample moves the coefficients of differenced pink noise by 0.5 or more; noise 20 dB down by 0.05. */
const MOST_OFF = 0.25;

function energyOf(x: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let n = from; n < to; n++) sum += x[n] * x[n];
  return sum;
}

/** Coefficient of correlation of the differences of a piece and of what was heard `lag` samples later. */
function alikeness(sent: Float64Array, heard: Float64Array, from: number, lag: number): number {
  let [xx, yy, xy] = [0, 0, 0];
  for (let n = from; n < from + PIECE; n++) {
    const x = sent[n] - sent[n - 1];
    const at = n + lag;
    const y = at >= 1 ? heard[at] - heard[at - 1] : 0;
    xx += x * x;
    yy += y * y;
    xy += x * y;
  }
  return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0;
}

/**
 * Jumps of the device's clock against the frames that came.
 *
 * @param clock  frame and the device's time, seconds, for each block
 * @returns seconds of sound that are missing, and at which frame
 */
export function clockJumps(
  clock: readonly (readonly [frame: number, time: number])[],
  sampleRate: number,
): { readonly frame: number; readonly seconds: number }[] {
  const ahead = clock.map(([frame, time]) => time - frame / sampleRate);
  const found: { frame: number; seconds: number }[] = [];
  for (let i = NEAR; i + NEAR <= ahead.length; i++) {
    // Single blocks come early or late as the system finds time; only what lasts is a jump.
    const step = median(ahead.slice(i, i + NEAR)) - median(ahead.slice(i - NEAR, i));
    // Samples too many are found by what repeats; a clock that falls back is some system's way to say how full its buffers are.
    if (step < JUMP) continue;
    found.push({ frame: clock[i][0], seconds: step });
    i += NEAR;
  }
  return found;
}

const NEAR = 9; // blocks
/** Seconds; a driver's word for the time is hardly finer than this. */
const JUMP = 0.02;

/**
 * Where a stretch of a microphone's samples comes a second time, as where a buffer was handed over twice.
 *
 * No microphone gives the same dozens of samples twice to the last bit, since its own noise is in them.
 *
 * @returns seconds at which it comes again; nothing where none does
 */
export function repeatedAt(samples: Float64Array, sampleRate: number): number | undefined {
  const anchors = new Map<number, number>();
  const within = Math.round(SOON * sampleRate);
  for (let n = 0; n + RUN <= samples.length; n++) {
    const key = samples[n] * 1e6 + samples[n + 1];
    const before = anchors.get(key);
    if (before !== undefined && n - before <= within && isSame(samples, before, n)) return n / sampleRate;
    if (n % STRIDE === 0 && samples[n] !== samples[n + 1]) anchors.set(key, n);
    if (anchors.size > 1e6) anchors.clear();
  }
  return undefined;
}

const SOON = 0.5; // seconds
const STRIDE = 16; // samples
const RUN = 48; // samples

function isSame(x: Float64Array, a: number, b: number): boolean {
  if (b - a < RUN) return false;
  for (let i = 0; i < RUN; i++) if (x[a + i] !== x[b + i]) return false;
  return true;
}
