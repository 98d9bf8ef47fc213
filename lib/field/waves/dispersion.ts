/**
 * What the grid does to a wave: the isotropic scheme of nineteen points sounds a little flat, alike in all directions.
 *
 * A plane wave of wave number k obeys, to the fourth order in kh, 4 sin²(ωT/2)/T² = c² k² (1 − (kh)²/12 + (kh)⁴/280); the last
 * term is a mean over directions. So the response at a frequency is read at the slightly lower one at which the grid carries
 * the same wave number, and a source's strength is set right by the slope of the same curve.
 */
export interface Dispersion {
  /** The grid's radian frequency, per second, for a wave number, radians per metre. */
  radian(waveNumber: number): number;
  /** Factor on pressure that makes a source on the grid as strong as in air. */
  strength(waveNumber: number): number;
}

/**
 * @param size  of a cube, metres
 * @param step  of time, seconds
 * @param speed  of sound, metres per second
 */
export function dispersionOf(size: number, step: number, speed: number): Dispersion {
  return {
    radian(k) {
      const square = (k * size) ** 2;
      const grid = k * Math.sqrt(1 - square / 12 + square ** 2 * FOURTH);
      return (2 / step) * Math.asin((speed * step * grid) / 2);
    },
    strength(k) {
      const square = (k * size) ** 2;
      return 1 - square / 6 + 3 * FOURTH * square ** 2;
    },
  };
}

/** Mean over all directions of the sixth powers: 3/(7 · 360) of the single axes and 6/(35 · 72) of their products. */
const FOURTH = 1 / 280;
