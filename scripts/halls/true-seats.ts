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
  /** The same in the octave around the crossover, by hertz and seat; powers by seat. */
  readonly meeting: {
    readonly frequency_hz: readonly number[];
    readonly cross_re: readonly (readonly number[])[];
    readonly cross_im: readonly (readonly number[])[];
    readonly mains: readonly number[];
    readonly subs: readonly number[];
  };
}

/** How much louder the two are together, where they meet, than by their powers alone: mean over the seats, dB. */
export function togetherWith({ meeting }: TrueSeats, { polarity, delay_ms }: SubsSetting, offset_db: number) {
  const g = 10 ** (offset_db / 20);
  const gains = meeting.mains.map((mains, s) => {
    const apart = mains + g * g * meeting.subs[s];
    const cross = meeting.frequency_hz.reduce((sum, f, k) => {
      const turn = (2 * Math.PI * f * delay_ms) / 1000;
      return sum + meeting.cross_re[k][s] * Math.cos(turn) - meeting.cross_im[k][s] * Math.sin(turn);
    }, 0);
    return 10 * Math.log10((apart + 2 * g * polarity * cross) / apart);
  });
  return gains.reduce((sum, x) => sum + x, 0) / gains.length;
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

export const AS_IT_IS: SubsSetting = { polarity: 1, delay_ms: 0 };

/** Both polarities with delays up to 10 ms. */
const settings = Array.from({ length: 41 }, (_, i) => -10 + 0.5 * i).flatMap((delay_ms) =>
  ([1, -1] as const).map((polarity): SubsSetting => ({ polarity, delay_ms })),
);

/** The least that the best level costs with any setting, dB. */
export const bestOfAll = (seats: TrueSeats, tilt: number): number =>
  Math.min(...settings.map((setting) => audienceWith(seats, tilt, setting).best().cost_db));

/** The most that the two are together with any setting. */
export const mostTogether = (seats: TrueSeats, offset_db: number): number =>
  Math.max(...settings.map((setting) => togetherWith(seats, setting, offset_db)));
