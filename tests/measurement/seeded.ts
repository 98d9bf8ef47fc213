/** Random numbers that are the same on every machine. */
export interface Seeded {
  /** 0 … less than 1 */
  uniform(): number;
  /** Whole number from 0 to less than n. */
  below(n: number): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
}

/** The generator known as mulberry32: 32 bits of state, good enough to draw test cases. */
export function seeded(seed: number): Seeded {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    uniform,
    below: (n) => Math.floor(uniform() * n),
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  };
}
