/** What is true at seats of a hall where no microphone stood, as truth.py tells it, for any setting of the subs. */
import type { SubsSetting } from "../../lib/study/answer";

export interface TrueSeats {
  /** Powers in the low band, and of the mains in the mid band. */
  readonly mains: readonly number[];
  readonly subs: readonly number[];
  readonly middle: readonly number[];
  /** Mains times the subs' conjugate, by seat and hertz; the mean over the low band is their sum. */
  readonly frequency_hz: readonly number[];
  readonly cross_re: readonly (readonly number[])[];
  readonly cross_im: readonly (readonly number[])[];
}

export interface TrueBest {
  readonly offset_db: number;
  /** Root mean square deviation from the target, dB. */
  readonly cost_db: number;
}

/** What the audience gets with a setting of the subs. */
export function audienceWith(seats: TrueSeats, tilt: number, setting: SubsSetting) {
  const turns = seats.frequency_hz.map((f) => (2 * Math.PI * f * setting.delay_ms) / 1000);
  const cross = seats.mains.map((_, s) =>
    turns.reduce(
      (sum, turn, k) => sum + seats.cross_re[s][k] * Math.cos(turn) - seats.cross_im[s][k] * Math.sin(turn),
      0,
    ),
  );
  const deviations = (offset_db: number): number[] => {
    const g = 10 ** (offset_db / 20);
    return seats.mains.map((mains, s) => {
      const power = mains + 2 * g * setting.polarity * cross[s] + g * g * seats.subs[s];
      return 10 * Math.log10(power / seats.middle[s]) - tilt;
    });
  };
  const cost = (offset_db: number): number => {
    const all = deviations(offset_db);
    return Math.sqrt(all.reduce((sum, d) => sum + d * d, 0) / all.length);
  };
  const within3dB = (offset_db: number): number => {
    const all = deviations(offset_db);
    return all.filter((d) => Math.abs(d) <= 3).length / all.length;
  };
  /** The level that suits them best. */
  const best = (): TrueBest => {
    const levels = Array.from({ length: 1001 }, (_, i) => -25 + 0.05 * i);
    const offset_db = levels.reduce((a, b) => (cost(b) < cost(a) ? b : a));
    return { offset_db, cost_db: cost(offset_db) };
  };
  return { cost, within3dB, best };
}

/** The best of all levels, both polarities and delays up to 10 ms: its cost, dB. */
export function bestOfAll(seats: TrueSeats, tilt: number): number {
  const delays = Array.from({ length: 41 }, (_, i) => -10 + 0.5 * i);
  return Math.min(
    ...delays.flatMap((delay_ms) =>
      ([1, -1] as const).map((polarity) => audienceWith(seats, tilt, { polarity, delay_ms }).best().cost_db),
    ),
  );
}
