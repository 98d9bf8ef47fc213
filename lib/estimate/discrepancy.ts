/**
 * How far the sound of a real room strays from a careful drawing's model.
 *
 * A wall a hand's breadth off, another absorption, a bar that nobody drew send waves from all directions: what is missing in the
 * model is a random wave field. Between two places it correlates as sin(kr)/kr, from one frequency of a model to the next hardly
 * at all. Beside it each group's level is off as a whole and by bands.
 *
 * @source random wave fields: Schroeder and Kuttruff, J. Acoust. Soc. Am. 34 (1962); sin(kr)/kr: Cook et al., J. Acoust. Soc. Am. 27
 *   (1955) (both from memory). The sizes: random halls by waves, each as drawn and as it might be, `scripts/discrepancy.ts`.
 */

/** Below this frequency, hertz, what is missing is a field with a phase; above it levels alone are off. */
export const FIELD_BELOW = 160;

/**
 * Parts of the mean square that are another field than the model's: by the mean over places, and by the model's own at each place.
 * The model's is left with the rest.
 */
export interface MissingShares {
  readonly everywhere: number;
  readonly here: number;
}

/**
 * @param frequency  hertz
 * @param isRoom  false in the open, where less comes back; that case has not been held against anything
 */
export function missingShares(frequency: number, isRoom: boolean): MissingShares {
  const whole = (isRoom ? 0.225 : 0.07) * (Math.min(frequency, 130) / 40);
  return { everywhere: 0.62 * whole, here: 0.38 * whole };
}

/** Errors of levels, standard deviations in dB: of both groups together, of one, of one by bands that are this many octaves wide. */
export const LEVEL_ERROR = { both: 0.7, group: 1.1, bands: 1.1, width: 0.35 };

/** Of a group's level at one place, dB, below `FIELD_BELOW` and above it, alike within so many metres. */
export const PLACE_ERROR = { low: 0.8, high: 0.9, metres: 4 };

/** Of the subs' delay relative to the mains, seconds. */
export const DELAY_ERROR = 0.0005;
