/** How far one model of a venue is from another that is held for true. */
import { levelInBand } from "../../lib/acoustics/response";
import { prepareBalance } from "../../lib/decision/balance/balance";
import { levelOffset } from "../../lib/decision/offset/offset";
import { rankReferences } from "../../lib/decision/reference/rank";
import type { Survey } from "../../lib/survey/survey";

export const thirds = [25, 31.5, 40, 50, 63, 80, 100, 125];

export interface Model {
  readonly seats: Survey;
  readonly zone: Survey;
}

export interface Figures {
  /** Size of the subs' error at seats, dB, by third octave: sorted. */
  readonly subs: readonly Float64Array[];
  /** Of the mains, in the third octaves where they sound: from 63 Hz. */
  readonly mains: readonly Float64Array[];
  /** What the position that the model ranks best loses against the truly best one, dB. */
  readonly loss: number;
  /** What a position taken by chance loses on the mean. */
  readonly chance: number;
  /** Spearman's correlation of the scores. */
  readonly correlation: number;
  /** Share of the people within 3 dB at the model's offset, 0…1: promised and true. */
  readonly promised: number;
  readonly reached: number;
}

export function figuresOf(model: Model, truth: Model): Figures {
  const errors = (group: "mains" | "subs", f: number): Float64Array => {
    const middle = 1000 * 10 ** (Math.round(10 * Math.log10(f / 1000)) / 10);
    const level = (survey: Survey, i: number): number =>
      levelInBand(survey[group][i], middle * 10 ** -0.05, middle * 10 ** 0.05);
    return Float64Array.from(model.seats.positions, (_, i) =>
      Math.abs(level(model.seats, i) - level(truth.seats, i)),
    ).sort();
  };
  const offset = levelOffset(model.seats).offset_db;
  const scores = ({ seats, zone }: Model): Map<string, number> =>
    new Map(rankReferences(seats, zone, { offset }).positions.map((p) => [p.id, p.score_db]));
  const [guessed, real] = [scores(model), scores(truth)];
  const ids = [...real.keys()];
  const truly = ids.map((id) => real.get(id) as number);
  const best = Math.min(...truly);
  const [chosen] = [...guessed].sort((a, b) => a[1] - b[1])[0];
  const share = (survey: Survey): number =>
    prepareBalance(survey).evaluate(offset).audience.within3dB_fraction;
  return {
    subs: thirds.map((f) => errors("subs", f)),
    mains: thirds.filter((f) => f >= 63).map((f) => errors("mains", f)),
    loss: (real.get(chosen) as number) - best,
    chance: truly.reduce((sum, s) => sum + s, 0) / truly.length - best,
    correlation: spearman(
      ids.map((id) => guessed.get(id) as number),
      truly,
    ),
    promised: share(model.seats),
    reached: share(truth.seats),
  };
}

export const quantileOf = (sorted: Float64Array, share: number): number =>
  sorted[Math.round(share * (sorted.length - 1))];

function spearman(a: readonly number[], b: readonly number[]): number {
  const [p, q] = [ranksOf(a), ranksOf(b)];
  const mean = (a.length - 1) / 2;
  const product = (x: readonly number[], y: readonly number[]): number =>
    x.reduce((sum, value, i) => sum + (value - mean) * (y[i] - mean), 0);
  return product(p, q) / Math.sqrt(product(p, p) * product(q, q));
}

function ranksOf(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((i, j) => values[i] - values[j]);
  const ranks: number[] = [];
  order.forEach((i, rank) => {
    ranks[i] = rank;
  });
  return ranks;
}
