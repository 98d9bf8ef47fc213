/**
 * When two layouts are as good as each other: a drawing tells their difference no better than this.
 *
 * Between what a drawing says of two layouts' evenness and what the hall itself has lie 0.3 dB rms, in halls whose walls are 0.1 m and whose
 * absorption is 0.7 log-odds off (`scripts/causes-truth.ts layouts`). Of front row and stage the same is taken.
 */

/** dB. */
export const TIE = 0.3;

export const isTie = (a: number, b: number): boolean => Math.abs(a - b) < TIE;

/**
 * Whether one layout is nowhere worse than another and somewhere better by more than a tie.
 *
 * @param a  its aims, dB, smaller is better
 * @param b  the other's, as many
 */
export const beats = (a: readonly number[], b: readonly number[]): boolean =>
  a.every((x, k) => Math.round(100 * x) <= Math.round(100 * b[k])) && a.some((x, k) => b[k] - x >= TIE);
