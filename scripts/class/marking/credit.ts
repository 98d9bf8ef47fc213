/** From what answers were worth in the rooms to points. */

/** Mean share from which on a form counts: its lines are few enough to be guessed, and what is half right mostly was. */
export const FORM_COUNTS = 0.8;

/**
 * Credit begins where the best answer that is the same in all rooms ends.
 *
 * @param least  mean share below which there is none
 */
export function creditOf(shares: readonly number[], blind: number, least = 0): number {
  if (shares.length === 0) return 0;
  const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
  if (mean < least) return 0;
  return Math.max(0, (mean - blind) / (1 - blind));
}
