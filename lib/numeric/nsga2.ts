/**
 * Selection for several aims at once, by rank and loneliness.
 *
 * No optimiser for several aims on npm is both kept up and free of a platform, so the published algorithm stands here: it is short.
 *
 * @source Deb, Pratap, Agarwal and Meyarivan, A fast and elitist multiobjective genetic algorithm: NSGA-II, IEEE Trans. Evol.
 *   Comput. 6 (2002), 182-197: non-dominated sorting (III-A), crowding (III-B), constrained domination (VI-A);
 *   check: tests/numeric/pareto.test.ts
 */
import { crowdingDistance, dominates } from "./pareto";

export interface Rated {
  /** Smaller is better. */
  readonly aims: readonly number[];
  /** How far outside the limits, 0 inside. */
  readonly violation: number;
}

export interface Ranked<T> {
  readonly one: T;
  /** 0 for those on the Pareto front. */
  readonly rank: number;
  readonly crowding: number;
}

/**
 * The best of a population, with rank and crowding.
 *
 * @param population  all of them
 * @param count  how many to keep
 * @returns the kept ones, best rank first; within the last rank that fits only in part, the loneliest
 */
export function survivors<T extends Rated>(population: readonly T[], count: number): Ranked<T>[] {
  const kept: Ranked<T>[] = [];
  for (const [rank, front] of fronts(population).entries()) {
    const crowding = crowdingDistance(front.map((one) => one.aims));
    const ranked = front.map((one, i) => ({ one, rank, crowding: crowding[i] }));
    if (kept.length + ranked.length > count) {
      // A stable sort keeps the result the same on every machine.
      ranked.sort((a, b) => Number(b.crowding > a.crowding) - Number(b.crowding < a.crowding));
      return [...kept, ...ranked.slice(0, count - kept.length)];
    }
    kept.push(...ranked);
  }
  return kept;
}

/** The better of two drawn by chance: lower rank, then more alone. */
export function tournament<T>(ranked: readonly Ranked<T>[], chance: () => number): T {
  const draw = () => ranked[Math.min(ranked.length - 1, Math.floor(chance() * ranked.length))];
  const a = draw();
  const b = draw();
  if (a.rank !== b.rank) return a.rank < b.rank ? a.one : b.one;
  return b.crowding > a.crowding ? b.one : a.one;
}

/** The population in fronts: the first dominated by none, each other only by those before it. */
export function fronts<T extends Rated>(population: readonly T[]): T[][] {
  const beats: number[][] = population.map(() => []);
  const beatenBy = new Int32Array(population.length);
  for (let i = 0; i < population.length; i++) {
    for (let j = i + 1; j < population.length; j++) {
      if (better(population[i], population[j])) {
        beats[i].push(j);
        beatenBy[j]++;
      } else if (better(population[j], population[i])) {
        beats[j].push(i);
        beatenBy[i]++;
      }
    }
  }
  const all: T[][] = [];
  let current = population.map((_, i) => i).filter((i) => beatenBy[i] === 0);
  while (current.length > 0) {
    all.push(current.map((i) => population[i]));
    const next: number[] = [];
    for (const i of current) {
      for (const j of beats[i]) if (--beatenBy[j] === 0) next.push(j);
    }
    current = next.sort((i, j) => i - j);
  }
  return all;
}

function better(a: Rated, b: Rated): boolean {
  if (a.violation !== b.violation) return a.violation < b.violation;
  return dominates(a.aims, b.aims);
}
