/**
 * How badly what mains and subs would do together, each changed in some way, fits what was recorded.
 *
 * In the low band and through the crossover complex amplitudes are compared, frequency by frequency, for there a window holds nearly all
 * of a room and the phase tells most. In the mid band levels of third octaves are.
 */
import { thirdOctaves } from "../../acoustics/bands/bands";
import { partOfResponse, type Response } from "../../acoustics/response";
import { meanSquareError } from "../../measurement/health/sum-check";
import { type Complexes, delayFactor } from "../../numeric/complexes";
import { type Change, changed, type Played } from "./played";
import { levelBesides } from "./predicted-level";

/** What one position says. */
export interface Evidence {
  readonly position: string;
  /** Low band and crossover; empty where phases are not known. */
  readonly low: {
    readonly frequency: Float64Array;
    readonly mains: Response;
    readonly subs: Response;
    readonly recorded: Response;
    /** Mean square that the residual may have. */
    readonly allowed: Float64Array;
    /** 0 where the error is as large as the sound. */
    readonly weight: Float64Array;
  };
  /** Levels of third octaves, of the mains as they were measured and as recorded, and the standard error of their difference, dB. */
  readonly mid: readonly MidBand[];
  /** By how much later the mains arrive, seconds. */
  readonly later?: number;
  /** Whether it is no matter when they arrive. */
  readonly atAnyTime?: boolean;
}

export interface MidBand {
  /** Hertz, nominal. */
  readonly frequency: number;
  readonly mains: number;
  readonly recorded: number;
  readonly error: number;
}

export const differenceIn = ({ recorded, mains }: MidBand): number => recorded - mains;

export const LOW = { from: 25, to: 200 };
const MID = { from: 315, to: 2000 };

/**
 * Beside the error of measurement, of the amplitudes of mains and subs. What a room returns late comes at another time in air of another
 * temperature, which its phase tells the more the higher it is: set by halls that were a degree or so warmer or colder.
 */
const tolerance = (frequency: number): number =>
  Math.min(0.5, Math.hypot(0.06, 0.12 * (frequency / 80) ** 1.3));
/** Beside it in a third octave of the mid band, dB: a microphone put back a hand's breadth away. */
const PLACED = 0.5;
/** A frequency of the grid is so much of an independent one. */
const INDEPENDENT = 1 / 3;
/** Beyond ten standard errors it is all the same. */
const MOST = 100;

/** How far mains may arrive earlier or later for another reason than their delay, seconds: air of another temperature, a microphone put back. */
const MOVED = 0.0015;

/**
 * @param entered  as it should play: by its amplitudes the error is judged, whatever is tried
 * @param recorded  on the frequencies of mains and subs
 * @param later  by how much later the mains arrive than before, seconds
 */
export function evidenceAt(
  position: string,
  mains: Response,
  subs: Response,
  recorded: Response,
  entered: Played,
  later: number | undefined,
): Evidence {
  const { frequency } = mains;
  const start = Math.max(
    0,
    frequency.findIndex((f) => f >= LOW.from),
  );
  const beyond = frequency.findIndex((f) => f > LOW.to);
  const cut = (r: Response): Response => partOfResponse(r, start, beyond < 0 ? frequency.length : beyond);
  const hasPhases = !mains.magnitudeOnly && !subs.magnitudeOnly && !recorded.magnitudeOnly;
  const low = hasPhases
    ? lowEvidence(cut(mains), cut(subs), cut(recorded), entered)
    : lowEvidence(
        ...([mains, subs, recorded].map((r) => partOfResponse(r, 0, 0)) as [Response, Response, Response]),
        entered,
      );
  const silent = changed(subs, { gain: 0, delay: 0 });
  const mid = thirdOctaves(MID.from, MID.to)
    .filter(({ upper }) => upper <= frequency[frequency.length - 1])
    .map((band) => {
      const { recorded: there, predicted, error } = levelBesides(mains, silent, recorded, band);
      return { frequency: band.nominal, mains: predicted, recorded: there, error: Math.hypot(error, PLACED) };
    });
  return { position, low, mid, ...(later !== undefined && { later }) };
}

function lowEvidence(mains: Response, subs: Response, recorded: Response, entered: Played): Evidence["low"] {
  const [m, s, v] = [changed(mains, entered.mains), changed(subs, entered.subs), recorded];
  const errors = [m, s, v].map((r) => meanSquareError(r, 16));
  const n = mains.frequency.length;
  const [allowed, weight] = [new Float64Array(n), new Float64Array(n)];
  for (let i = 0; i < n; i++) {
    const size = Math.hypot(m.re[i], m.im[i]) + Math.hypot(s.re[i], s.im[i]);
    const variance = errors.reduce((sum, e) => sum + e[i], 0);
    allowed[i] = variance + (tolerance(mains.frequency[i]) * size) ** 2;
    weight[i] = size > 0 && variance <= (0.5 * size) ** 2 ? INDEPENDENT : 0;
  }
  return { frequency: mains.frequency, mains, subs, recorded, allowed, weight };
}

/** How much of it is told by the low frequencies and by the mid band, in independent values. */
export function amountOf({ low, mid }: Evidence): { readonly low: number; readonly mid: number } {
  return { low: total(low.weight), mid: mid.length };
}

/** Sums of squares of residuals over their error: some 1 for each independent value where all is as tried. */
export interface Misfit {
  readonly low: Float64Array;
  readonly mid: number;
}

/**
 * @param louder  factor on everything
 */
export function misfitAt(evidence: Evidence, played: Played, louder = 1): Misfit {
  const { low, mid, later } = evidence;
  const rest = (later ?? 0) - played.mains.delay;
  // What air and stand did to the time of all is no matter; an arrival found elsewhere may be an echo.
  const shifts =
    Math.abs(rest) <= MOVED || later === undefined ? [later === undefined ? 0 : rest] : [rest, 0];
  const tries = shifts.map((shift) => squaresOf(low, played, louder, shift));
  const squares = tries.reduce((a, b) => (total(b) < total(a) ? b : a));
  const change = 20 * Math.log10(Math.max(1e-3, Math.abs(played.mains.gain * louder)));
  const inMid = mid.reduce(
    (sum, band) => sum + Math.min(MOST, ((differenceIn(band) - change) / band.error) ** 2),
    0,
  );
  const inTime = later === undefined || evidence.atAnyTime ? 0 : Math.min(9, (rest / MOVED) ** 2);
  return { low: squares, mid: inMid + inTime };
}

function squaresOf(low: Evidence["low"], played: Played, louder: number, shift: number): Float64Array {
  const { frequency, mains, subs, recorded, allowed, weight } = low;
  const factor = ({ gain, delay }: Change) => delayFactor(frequency, delay + shift, gain * louder);
  const [a, b] = [factor(played.mains), factor(played.subs)];
  return frequency.map((_, i) => {
    if (weight[i] === 0) return 0;
    const re = recorded.re[i] - real(mains, a, i) - real(subs, b, i);
    const im = recorded.im[i] - imaginary(mains, a, i) - imaginary(subs, b, i);
    return weight[i] * Math.min(MOST, (re * re + im * im) / allowed[i]);
  });
}

const real = (x: Complexes, by: Complexes, i: number) => x.re[i] * by.re[i] - x.im[i] * by.im[i];
const imaginary = (x: Complexes, by: Complexes, i: number) => x.re[i] * by.im[i] + x.im[i] * by.re[i];
const total = (values: Float64Array) => values.reduce((a, b) => a + b, 0);

export const sumOf = ({ low, mid }: Misfit): number => total(low) + mid;
