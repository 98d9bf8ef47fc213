/** What a benchmark tells, and how times are taken. */
import { median } from "../../lib/numeric/statistics";

/** Seconds; no peer where the figure stands alone. */
export interface Row {
  readonly name: string;
  readonly ours_s: number;
  readonly peer: string;
  readonly peer_s: number | null;
  readonly ratio: number | null;
}

export const alone = (name: string, ours_s: number): Row => ({
  name,
  ours_s,
  peer: "",
  peer_s: null,
  ratio: null,
});

export const beside = (name: string, ours_s: number, peer: string, peer_s: number): Row => ({
  name,
  ours_s,
  peer,
  peer_s,
  ratio: ours_s / peer_s,
});

/**
 * Several ways in turn, so that all meet the same machine.
 *
 * @param ways  each runs once and gives its seconds
 * @param runs  that count
 * @param warmUps  that come before and do not
 * @returns the median of each
 */
export async function medians(
  ways: readonly (() => number | Promise<number>)[],
  runs: number,
  warmUps = 0,
): Promise<number[]> {
  const times = ways.map(() => [] as number[]);
  for (let i = -warmUps; i < runs; i++) {
    for (const [k, way] of ways.entries()) {
      const seconds = await way();
      if (i >= 0) times[k].push(seconds);
    }
  }
  return times.map(median);
}

/** Seconds of one call, whose result is looked at outside of them. */
export function timed<T>(work: () => T, look: (value: T) => void = () => {}): number {
  const start = performance.now();
  const value = work();
  const seconds = (performance.now() - start) / 1000;
  look(value);
  return seconds;
}
