/**
 * Several aims at once: which choices no other one beats.
 *
 * Every aim is a number to be made small. A choice dominates another when it is at least as good in every aim and better in
 * one; the Pareto set holds those that nothing dominates.
 */

/**
 * Whether one choice dominates another.
 *
 * @param a  its aims, smaller is better
 * @param b  the other's, as many
 */
export function dominates(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  let better = false;
  for (let k = 0; k < a.length; k++) {
    if (a[k] > b[k]) return false;
    if (a[k] < b[k]) better = true;
  }
  return better;
}

/**
 * Adds a choice to a set in which nothing dominates anything, and takes out what it dominates.
 *
 * @param set  the set, changed in place
 * @param choice  to add; one with the same aims as a member takes its place with less effort, else stays out
 * @returns whether it was added
 */
export function addToPareto<T extends { readonly aims: ArrayLike<number>; readonly effort: number }>(
  set: T[],
  choice: T,
): boolean {
  for (const [i, member] of set.entries()) {
    if (dominates(member.aims, choice.aims)) return false;
    if (!sameAims(member.aims, choice.aims)) continue;
    if (choice.effort >= member.effort) return false;
    set[i] = choice;
    return true;
  }
  let kept = 0;
  for (const member of set) if (!dominates(choice.aims, member.aims)) set[kept++] = member;
  set.length = kept;
  set.push(choice);
  return true;
}

/**
 * How lonely each choice is among others of its rank: the larger, the more its loss would leave a gap.
 *
 * The sum over the aims of the gap between its neighbours, relative to the whole span; the ends of each aim count as endless.
 *
 * @param aims  one row per choice
 * @returns crowding distance per choice
 * @source Deb, Pratap, Agarwal and Meyarivan, A fast and elitist multiobjective genetic algorithm: NSGA-II, IEEE Trans. Evol.
 *   Comput. 6 (2002), section III-B
 */
export function crowdingDistance(aims: readonly ArrayLike<number>[]): number[] {
  const distance = aims.map(() => 0);
  for (let k = 0; k < (aims[0]?.length ?? 0); k++) {
    const order = aims.map((_, i) => i).sort((i, j) => aims[i][k] - aims[j][k] || i - j);
    const last = order.length - 1;
    const span = aims[order[last]][k] - aims[order[0]][k];
    distance[order[0]] = Number.POSITIVE_INFINITY;
    distance[order[last]] = Number.POSITIVE_INFINITY;
    if (!(span > 0)) continue;
    for (let r = 1; r < last; r++) {
      distance[order[r]] += (aims[order[r + 1]][k] - aims[order[r - 1]][k]) / span;
    }
  }
  return distance;
}

function sameAims(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}
