/** What is true at seats of a hall where no microphone stood, as truth.py tells it, for any setting of the subs. */
import type { SubsSetting } from "../../lib/study/answer";

export interface TrueSeats {
  /** In the low band, as means, with the mains' power in the mid band. */
  readonly balance: Pair & { readonly middle: readonly number[] };
  /** In the octave around the crossover, as sums. */
  readonly meeting: Pair;
}

/** Mains and subs in a band: powers by seat, and mains times the subs' conjugate by seat and hertz. */
interface Pair {
  readonly mains: readonly number[];
  readonly subs: readonly number[];
  readonly frequency_hz: readonly number[];
  readonly cross_re: readonly (readonly number[])[];
  readonly cross_im: readonly (readonly number[])[];
}

/** What mains and subs have in common at each seat with a setting of the subs. */
function inCommon({ frequency_hz, cross_re, cross_im }: Pair, { polarity, delay_ms }: SubsSetting): number[] {
  const turns = frequency_hz.map((f) => (2 * Math.PI * f * delay_ms) / 1000);
  return cross_re.map((re, s) =>
    turns.reduce(
      (sum, turn, k) => sum + polarity * (re[k] * Math.cos(turn) - cross_im[s][k] * Math.sin(turn)),
      0,
    ),
  );
}

/** How much louder the two are together, where they meet, than by their powers alone: mean over the seats, dB. */
export function togetherWith({ meeting }: TrueSeats, setting: SubsSetting, offset_db: number): number {
  const g = 10 ** (offset_db / 20);
  const gains = inCommon(meeting, setting).map((cross, s) => {
    const apart = meeting.mains[s] + g * g * meeting.subs[s];
    return 10 * Math.log10((apart + 2 * g * cross) / apart);
  });
  return gains.reduce((sum, x) => sum + x, 0) / gains.length;
}

export interface TrueBest {
  readonly offset_db: number;
  /** Root mean square deviation from the target, dB. */
  readonly cost_db: number;
}

/** What the audience gets with a setting of the subs. */
export function audienceWith({ balance }: TrueSeats, tilt: number, setting: SubsSetting) {
  const cross = inCommon(balance, setting);
  const deviations = (offset_db: number): number[] => {
    const g = 10 ** (offset_db / 20);
    return cross.map((c, s) => {
      const power = balance.mains[s] + 2 * g * c + g * g * balance.subs[s];
      return 10 * Math.log10(power / balance.middle[s]) - tilt;
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
