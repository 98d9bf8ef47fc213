/** The word someone probably meant. */

/**
 * The candidate nearest to a mistyped word.
 *
 * Optimal string alignment distance: insertions, deletions, substitutions and swaps of neighbours, case ignored.
 *
 * @param word  what was written
 * @param candidates  what could have been meant
 * @returns the nearest candidate, or undefined when none is near (distance over a third of the longer word)
 * @source Navarro, "A guided tour to approximate string matching", ACM Computing Surveys 33 (2001); from memory
 */
export function nearestWord(word: string, candidates: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of candidates) {
    const allowed = Math.max(1, Math.floor(Math.max(word.length, candidate.length) / 3));
    if (Math.abs(word.length - candidate.length) > allowed) continue;
    const steps = editDistance(word.toLowerCase(), candidate.toLowerCase());
    if (steps <= allowed && steps < least) {
      least = steps;
      best = candidate;
    }
  }
  return best;
}

/**
 * Number of single-letter edits, a swap of neighbours counting as one, that turn one word into another.
 *
 * @param a  a word
 * @param b  another word
 * @returns the optimal string alignment distance, 0 or more
 */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + change);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1);
      }
    }
    before = last;
    last = row;
  }
  return last[b.length];
}
