/** What no single offset can mend: how far each third-octave band of the low band stays from the target. */
import { type BalanceOptions, FLOOR_DB, withDefaults } from "./balance";
import type { BandPowers } from "./band-powers";

export interface Residual {
  /** Nominal mid-band frequencies of the low band's third-octave bands. */
  readonly thirdOctaves_hz: readonly number[];
  /** Weighted mean over the people of level minus target level: what an equaliser on the subs could take out. */
  readonly mean_db: readonly number[];
  /** Weighted standard deviation over the people: what differs from seat to seat, so that no equaliser can. */
  readonly spread_db: readonly number[];
}

/**
 * Deviation per third-octave band over the audience at an offset.
 *
 * @param powers  from `lowBandPowers`, with the third-octave bands
 * @param weights  share of the audience per position
 * @param offset  of the subs, dB
 * @param options  as for `balance`
 */
export function residualPerThirdOctave(
  powers: BandPowers,
  weights: Float64Array,
  offset: number,
  options: BalanceOptions,
): Residual {
  const { targetTilt } = withDefaults(options);
  const { bands, mains, cross, subs, mainsAlone: mid } = powers;
  const g = 10 ** (offset / 20);
  const mean_db: number[] = [];
  const spread_db: number[] = [];
  for (let k = 1; k < bands.length; k++) {
    let mean = 0;
    let square = 0;
    for (let row = 0; row < weights.length; row++) {
      const at = row * bands.length + k;
      const ratio = (mains[at] + g * (2 * cross[at] + g * subs[at])) / mid[row];
      const level = Math.max(FLOOR_DB, 10 * Math.log10(Math.max(ratio, 1e-30))) - targetTilt;
      mean += weights[row] * level;
      square += weights[row] * level * level;
    }
    mean_db.push(mean);
    spread_db.push(Math.sqrt(Math.max(0, square - mean * mean)));
  }
  return { thirdOctaves_hz: bands.slice(1).map((band) => band.nominal), mean_db, spread_db };
}
