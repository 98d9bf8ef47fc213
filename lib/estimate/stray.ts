/**
 * How far this room strays from its drawing: rooms differ in it more than any one number holds, and microphones tell.
 */
import type { Response } from "../acoustics/response";
import { FIELD_BELOW, leftShare, STRAY_SPREAD } from "./discrepancy";
import type { MissingSquare } from "./missing-square";
import type { Heard } from "./to-model-time";

/** Factors of the missing share that are tried: from a quarter to four, and beyond it there is hardly a model left. */
const FACTORS = Array.from({ length: 17 }, (_, i) => 4 ** (i / 8 - 1));
/** Neighbouring frequencies tell the same up to about this many hertz apart. */
const APART = 2.5;

/**
 * The factor by which what is missing of the model's field is more, or less, than is thought beforehand.
 *
 * What was heard is a part of the model's own response and a random field, complex normal; the likeliest factor, with what is
 * thought of it beforehand.
 *
 * @param own  the model's mains and subs at all places, as loud as they were heard
 * @param missing  what they lack
 * @param at  for each microphone its place
 * @source maximum a posteriori of a complex normal distribution, any textbook of statistics; check: tests/estimate/stray.test.ts
 */
export function strayOf(
  own: readonly (readonly Response[])[],
  missing: readonly MissingSquare[],
  heard: readonly Heard[],
  at: readonly number[],
  isRoom: boolean,
): number {
  const likelihood = FACTORS.map((factor) => -0.5 * (Math.log(factor) / STRAY_SPREAD) ** 2);
  (["mains", "subs"] as const).forEach((name, g) => {
    const { frequency } = own[g][0];
    const below = frequency.filter((f) => f < FIELD_BELOW).length;
    at.forEach((i, a) => {
      const [mine, theirs] = [own[g][i], heard[a][name]];
      for (let n = 0; n < below - 1; n++) {
        const weight = Math.min(1, (frequency[n + 1] - frequency[n]) / APART);
        FACTORS.forEach((factor, k) => {
          const left = Math.sqrt(leftShare(frequency[n], isRoom, factor));
          const square = missing[g](i, n, factor) + 1e-300;
          const off = (theirs.re[n] - left * mine.re[n]) ** 2 + (theirs.im[n] - left * mine.im[n]) ** 2;
          likelihood[k] -= weight * (Math.log(square) + off / square);
        });
      }
    });
  });
  return FACTORS[likelihood.indexOf(Math.max(...likelihood))];
}
