import type { Misconception } from "../misconceptions";

/** An answer that a mistake leads to. */
export type Tempting = readonly [mistake: Misconception, answer: number];

/**
 * The mistake whose answer lies nearest to a wrong one.
 *
 * @param answer  the wrong answer
 * @param tempting  what each mistake would have answered
 * @param within  farther away than this it is none of them
 * @param otherwise  what it is then
 */
export function nearestMistake(
  answer: number,
  tempting: readonly Tempting[],
  within: number,
  otherwise: Misconception,
): Misconception {
  const away = ([, value]: Tempting) => Math.abs(value - answer);
  const [first] = [...tempting].sort((a, b) => away(a) - away(b));
  return first && away(first) <= within ? first[0] : otherwise;
}
