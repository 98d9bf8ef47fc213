/** What no single offset can mend: how far each third-octave band of the low band stays from the target. */
import type { Survey } from "../../survey/survey";
import { type BalanceOptions, FLOOR_DB, withDefaults } from "./balance";
import { bandPowers, coveredThirdOctaves } from "./band-powers";

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
 * @param survey  a survey
 * @param weights  share of the audience per position
 * @param mid  mean square of the mains' mid band per position
 * @param offset  of the subs, dB
 * @param options  as for `balance`
 */
export function residualPerThirdOctave(
  survey: Survey,
  weights: Float64Array,
  mid: Float64Array,
  offset: number,
  options: BalanceOptions,
): Residual {
  const { lowBand, targetTilt, polarity, delay, coherenceLimit } = withDefaults(options);
  const thirds = coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band");
  const { mains, cross, subs } = bandPowers(survey, thirds, { polarity, delay, coherenceLimit });
  const g = 10 ** (offset / 20);
  const mean_db: number[] = [];
  const spread_db: number[] = [];
  for (let k = 0; k < thirds.length; k++) {
    let mean = 0;
    let square = 0;
    for (let row = 0; row < weights.length; row++) {
      const at = row * thirds.length + k;
      const ratio = (mains[at] + g * (2 * cross[at] + g * subs[at])) / mid[row];
      const level = Math.max(FLOOR_DB, 10 * Math.log10(Math.max(ratio, 1e-30))) - targetTilt;
      mean += weights[row] * level;
      square += weights[row] * level * level;
    }
    mean_db.push(mean);
    spread_db.push(Math.sqrt(Math.max(0, square - mean * mean)));
  }
  return { thirdOctaves_hz: thirds.map((t) => t.nominal), mean_db, spread_db };
}
