/**
 * How well a prediction agrees with what was heard, as a likelihood.
 *
 * The level over frequency at a place, less its neighbourhood, is held against the predicted one. A few percent of frequency
 * are forgiven: walls are drawn a little off, microphones stand a little off, the air is warmer. What the suspect does is what it gains over
 * the sources and the ground alone.
 */

/** Found by trials on invented venues other than those that are reported: see tests/decision/dips/causes.test.ts. */
export const TOLERANCE = {
  /** dB by which level over frequency differs from a prediction that is right. */
  level: 3.1,
  /** Degrees of freedom of that difference: the fewer, the less a single large one counts. */
  tail: 6,
  /** dB beyond which a dip or peak is as deep as can be. */
  deepest: 5.4,
  /** Octaves by which one place may be off. */
  shift: 0.045,
  /** Independent differences per octave. */
  perOctave: 4,
} as const;

/**
 * Logarithm of the likelihood of one place's curve.
 *
 * @param heard  depth below the neighbourhood, dB, on the grid
 * @param predicted  the same as predicted
 * @param weight  of each frequency, 0…1
 * @param pointsPerOctave  of the grid
 */
export function likelihood(
  heard: ArrayLike<number>,
  predicted: ArrayLike<number>,
  weight: ArrayLike<number>,
  pointsPerOctave: number,
): number {
  const { level, tail, deepest, shift, perOctave } = TOLERANCE;
  const cap = (x: number): number => Math.max(-deepest, Math.min(deepest, x));
  const fraction = perOctave / pointsPerOctave;
  const logs: number[] = [];
  const reach = Math.ceil(2 * shift * pointsPerOctave);
  for (let s = -reach; s <= reach; s++) {
    const off = s / pointsPerOctave / shift;
    let log = (-off * off) / 2;
    for (let f = 0; f < heard.length; f++) {
      if (weight[f] === 0 || f - s < 0 || f - s >= predicted.length) continue;
      const r = (cap(heard[f]) - cap(predicted[f - s])) / level;
      log -= weight[f] * fraction * ((tail + 1) / 2) * Math.log(1 + (r * r) / tail);
    }
    logs.push(log);
  }
  return logSum(logs);
}

/** Logarithm of the sum of numbers given by their logarithms. */
export function logSum(logs: readonly number[]): number {
  const most = Math.max(...logs);
  return most + Math.log(logs.reduce((sum, x) => sum + Math.exp(x - most), 0));
}
