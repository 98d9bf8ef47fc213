/**
 * Wind and warm air bring the sound sooner or later from moment to moment, so that what should add up over a take cancels: taken out piece
 * by piece, and only where that makes a take plainly more coherent.
 */
import { sampleAt } from "../measurement/signals/interpolate-samples";
import { fourierTransform } from "../measurement/spectra/fft";
import { timeWindow } from "../measurement/spectra/windows";
import { listed } from "../text/listed";
import type { Placed } from "./common-time";
import type { OpenTake } from "./open-take";
import type { RecordedTake } from "./show-file";

/** Seconds of a piece: gusts are slower. */
const PIECE = 0.08;
/** Seconds by which a piece may come sooner or later. */
const REACH = 1.5e-3;
const STEP = 5e-5;
/** Hertz in which pieces are compared. */
const BAND = { from: 400, to: 2800 };
/** A take moves where its pieces do by this much, RMS seconds, and their coherence gains this much by being aligned. Own way, no source. */
const MOVES = { least: 5e-5, gain: 0.1 };
/** Pieces that tell whether it is worth looking at all of them. */
const SAMPLED = 24;

/**
 * A take with its microphones' pieces aligned; the take itself where the air stood still.
 *
 * @param low       the same at a low rate, in which pieces are compared
 * @param placed    positions and what is taken out there
 * @param warnings  is added to
 */
export function calmed(
  take: RecordedTake,
  opened: OpenTake,
  low: OpenTake,
  placed: readonly Placed[],
  warnings: string[],
): OpenTake {
  if (take.playing === "subs" || placed.length === 0) return opened;
  // The longer the way, the more of it.
  const far = placed.reduce((a, b) => (b.bulk > a.bulk ? b : a));
  const track = ({ position, bulk }: Placed, most?: number) =>
    trackOf(low.reference, low.channels.get(take.microphones[position])!, bulk, low.sampleRate, most);
  if (!moves(track(far, SAMPLED))) return opened;
  const moving = placed.flatMap((place) => {
    const found = track(place);
    return moves(found) ? [{ ...place, ...found! }] : [];
  });
  if (moving.length === 0) return opened;
  const most = 1000 * Math.max(...moving.map((m) => m.rms));
  warnings.push(
    `recording "${take.recording}": at ${listed(moving.map((m) => m.position))} the sound comes sooner or later from moment to moment, by up to ${most.toFixed(2)} ms RMS, as in wind; that was taken out piece by piece`,
  );
  const channels = new Map(opened.channels);
  for (const { position, centres, delays } of moving) {
    const number = take.microphones[position];
    channels.set(number, aligned(opened.channels.get(number)!, centres, delays, opened.sampleRate));
  }
  return { ...opened, channels };
}

interface Track {
  /** Middle of each piece, seconds. */
  readonly centres: Float64Array;
  /** How much later than in the mean it comes, seconds. */
  readonly delays: Float64Array;
  /** Of the delays beside what drifts evenly, seconds. */
  readonly rms: number;
  /** How much of 1 the mean coherence gains by alignment. */
  readonly gain: number;
}

const moves = (track: Track | undefined): boolean =>
  track !== undefined && track.rms > MOVES.least && track.gain > MOVES.gain;

interface Piece {
  readonly centre: number;
  readonly x: Spectrum;
  readonly y: Spectrum;
}
interface Spectrum {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** When each piece arrives beside the mean of all, by what is most like the mean; again and again, as the mean grows sharper. */
function trackOf(
  reference: Float64Array,
  signal: Float64Array,
  bulk: number,
  rate: number,
  most = Number.POSITIVE_INFINITY,
): Track | undefined {
  const length = 2 ** Math.round(Math.log2(PIECE * rate));
  const first = Math.ceil((BAND.from * length) / rate);
  const last = Math.floor((Math.min(BAND.to, 0.45 * rate) * length) / rate);
  const pieces = piecesOf(reference, signal, Math.round(bulk * rate), length, most, first, last);
  if (pieces.length < SAMPLED / 2) return undefined;
  const angle = Float64Array.from(
    { length: last - first + 1 },
    (_, k) => (2 * Math.PI * (first + k) * rate) / length,
  );
  const heard = angle.map((_, k) => pieces.reduce((sum, { y }) => sum + y.re[k] ** 2 + y.im[k] ** 2, 0));
  const sent = angle.map((_, k) => pieces.reduce((sum, { x }) => sum + x.re[k] ** 2 + x.im[k] ** 2, 0));
  let delays = new Float64Array(pieces.length);
  let mean = meanOf(pieces, delays, angle);
  const coherence = () =>
    angle.reduce((sum, _, k) => sum + (mean.re[k] ** 2 + mean.im[k] ** 2) / (sent[k] * heard[k] || 1), 0) /
    angle.length;
  const before = coherence();
  for (let round = 0; round < 4; round++) {
    delays = Float64Array.from(pieces, (piece) => arrival(piece, mean, sent, heard, angle));
    mean = meanOf(pieces, delays, angle);
  }
  const centres = Float64Array.from(pieces, ({ centre }) => centre / rate);
  const rms = rootMeanSquare(withoutTrend(centres, delays));
  const middle = delays.reduce((a, b) => a + b, 0) / delays.length;
  return { centres, delays: delays.map((d) => d - middle), rms, gain: coherence() - before };
}

/** Spectra of pieces of what was sent and of what was heard, where something was sent; evenly chosen where only so many are wanted. */
function piecesOf(
  reference: Float64Array,
  signal: Float64Array,
  shift: number,
  length: number,
  most: number,
  first: number,
  last: number,
): Piece[] {
  const start = Math.max(0, -shift);
  const end = Math.min(reference.length, signal.length - shift) - length;
  const count = Math.min(most, Math.floor((2 * (end - start)) / length));
  const { re, im, forward } = fourierTransform(length);
  const window = timeWindow("hann", length);
  const all = Array.from({ length: Math.max(0, count) }, (_, i) => {
    const from = start + Math.floor((i * (end - start)) / count);
    for (let n = 0; n < length; n++) {
      re[n] = window[n] * reference[from + n];
      im[n] = window[n] * signal[from + shift + n];
    }
    forward();
    const [x, y] = [0, 1].map(() => ({
      re: new Float64Array(last - first + 1),
      im: new Float64Array(last - first + 1),
    }));
    for (let k = first; k <= last; k++) {
      const m = length - k;
      x.re[k - first] = (re[k] + re[m]) / 2;
      x.im[k - first] = (im[k] - im[m]) / 2;
      y.re[k - first] = (im[k] + im[m]) / 2;
      y.im[k - first] = (re[m] - re[k]) / 2;
    }
    return {
      centre: from + shift + length / 2,
      x,
      y,
      power: x.re.reduce((sum, v, k) => sum + v * v + x.im[k] ** 2, 0),
    };
  });
  const loudest = all.reduce((a, b) => Math.max(a, b.power), 0);
  return all.filter(({ power }) => power > loudest / 100);
}

/** Σ conj(X) Y with each piece earlier by its delay. */
function meanOf(pieces: readonly Piece[], delays: Float64Array, angle: Float64Array): Spectrum {
  const sum = { re: new Float64Array(angle.length), im: new Float64Array(angle.length) };
  pieces.forEach(({ x, y }, p) => {
    angle.forEach((w, k) => {
      const re = x.re[k] * y.re[k] + x.im[k] * y.im[k];
      const im = x.re[k] * y.im[k] - x.im[k] * y.re[k];
      const [c, s] = [Math.cos(w * delays[p]), Math.sin(w * delays[p])];
      sum.re[k] += re * c - im * s;
      sum.im[k] += re * s + im * c;
    });
  });
  return sum;
}

/** The delay at which a piece is most like the mean response to what was sent. */
function arrival(
  { x, y }: Piece,
  mean: Spectrum,
  sent: Float64Array,
  heard: Float64Array,
  angle: Float64Array,
): number {
  const steps = Math.round(REACH / STEP);
  const likeness = new Float64Array(2 * steps + 1);
  angle.forEach((w, k) => {
    const scale = 1 / (sent[k] * heard[k] || 1);
    const re = x.re[k] * y.re[k] + x.im[k] * y.im[k];
    const im = x.re[k] * y.im[k] - x.im[k] * y.re[k];
    let a = scale * (re * mean.re[k] + im * mean.im[k]);
    let b = scale * (im * mean.re[k] - re * mean.im[k]);
    const turn = (by: number) => {
      const [c, s] = [Math.cos(w * by), Math.sin(w * by)];
      [a, b] = [a * c - b * s, a * s + b * c];
    };
    turn(-REACH);
    const [c, s] = [Math.cos(w * STEP), Math.sin(w * STEP)];
    for (let i = 0; i <= 2 * steps; i++) {
      likeness[i] += a;
      const next = a * c - b * s;
      b = a * s + b * c;
      a = next;
    }
  });
  const i = likeness.indexOf(likeness.reduce((p, q) => Math.max(p, q)));
  const [l, m, r] = [likeness[i - 1] ?? 0, likeness[i], likeness[i + 1] ?? 0];
  const bend = l - 2 * m + r;
  return (i - steps + (bend < 0 ? (0.5 * (l - r)) / bend : 0)) * STEP;
}

const rootMeanSquare = (x: Float64Array): number =>
  Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);

/** Less a straight line: a clock that drifts is no wind. */
function withoutTrend(at: Float64Array, values: Float64Array): Float64Array {
  const mean = (x: Float64Array) => x.reduce((a, b) => a + b, 0) / x.length;
  const [t, v] = [mean(at), mean(values)];
  const square = at.reduce((sum, x) => sum + (x - t) ** 2, 0);
  const slope = square > 0 ? at.reduce((sum, x, i) => sum + (x - t) * (values[i] - v), 0) / square : 0;
  return values.map((x, i) => x - v - slope * (at[i] - t));
}

/** Each sample from as much later as its moment came late; between the middles of pieces by straight lines. */
function aligned(
  samples: Float64Array,
  centres: Float64Array,
  delays: Float64Array,
  rate: number,
): Float64Array {
  let piece = 0;
  return samples.map((_, n) => {
    const t = n / rate;
    while (piece < centres.length - 2 && centres[piece + 1] < t) piece++;
    const way = Math.min(1, Math.max(0, (t - centres[piece]) / (centres[piece + 1] - centres[piece])));
    const late = delays[piece] + way * (delays[piece + 1] - delays[piece]);
    return sampleAt(samples, n + late * rate);
  });
}
