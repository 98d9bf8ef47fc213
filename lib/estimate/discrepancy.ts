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
 * @param stray  how much more there is in this room, as a factor
 */
export function missingShares(frequency: number, isRoom: boolean, stray = 1): MissingShares {
  const whole = Math.min(0.95, stray * (isRoom ? 0.225 : 0.07) * (Math.min(frequency, 130) / 40));
  return { everywhere: EVERYWHERE * whole, here: (1 - EVERYWHERE) * whole };
}

/** The part of the mean square that is the model's own. */
export function leftShare(frequency: number, isRoom: boolean, stray = 1): number {
  const { everywhere, here } = missingShares(frequency, isRoom, stray);
  return 1 - everywhere - here;
}

/**
 * The part that is as strong everywhere: more would leave the back as loud as the front. Set, as the next, by forty shows in halls of another
 * library (`scripts/answer-truth.ts`, seed 777001).
 */
const EVERYWHERE = 0.1;

/** Of the factor by which a room has more of it, or less: standard deviation of its logarithm. */
export const STRAY_SPREAD = 0.7;

/** Errors of levels, standard deviations in dB: of both groups together, of one, of one by bands that are this many octaves wide. */
export const LEVEL_ERROR = { both: 0.7, group: 1.1, bands: 1.1, width: 0.35 };

/**
 * Of a group's level at one place, dB, below `FIELD_BELOW` and above it, alike within so many metres. What makes a room fall faster or slower
 * than drawn does so at all frequencies: the two are correlated.
 */
export const PLACE_ERROR = { low: 0.6, high: 0.9, metres: 8, correlation: 0.9 };

/**
 * Metres within which louder and softer spots of the model's are alike: about half of what sin(kr)/kr takes to its first zero in the subs' range.
 */
export const PATTERN = 1.3;

/** Of the subs' delay relative to the mains, seconds. */
export const DELAY_ERROR = 0.0005;
