/** Repeatable randomness: the same seed gives the same numbers on every machine. */

/**
 * Numbers evenly spread over 0…1, 1 excluded.
 *
 * @param seed  any whole number
 * @returns a function that gives the next number
 * @source Marsaglia, Xorshift RNGs, J. Stat. Softw. 8(14) (2003), the 32-bit triple (13, 17, 5), two of them joined
 */
export function uniform(seed: number): () => number {
  let state = (Math.imul(seed | 0, 2654435761) ^ 0x9e3779b9) >>> 0 || 1;
  const next = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state;
  };
  for (let i = 0; i < 8; i++) next();
  return () => ((next() >>> 6) * 134217728 + (next() >>> 5)) / 2 ** 53;
}

/**
 * Normally distributed numbers of mean 0 and standard deviation 1.
 *
 * @param next  gives numbers evenly spread over 0…1, 1 excluded
 * @returns a function that gives the next number
 * @source Box and Muller, A note on the generation of random normal deviates, Ann. Math. Stat. 29 (1958)
 */
export function normalFrom(next: () => number): () => number {
  let spare: number | undefined;
  return () => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - next()));
    const angle = 2 * Math.PI * next();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}

/** The same from a seed. */
export const normal = (seed: number): (() => number) => normalFrom(uniform(seed));
