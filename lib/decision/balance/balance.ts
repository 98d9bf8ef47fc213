/**
 * Balance: how loud the low band stands over the mains' mid band at each position, against the tilt one wants.
 *
 * The low band is that of the sum of mains (with fills) and subs, by amplitude and phase: through the crossover two
 * levels never add as decibels. The mid band is that of the mains with fills, without subs.
 */

import type { Band } from "../../acoustics/bands/bands";
import { ratiosToLevels } from "../../acoustics/level/of-ratios";
import type { Point } from "../../acoustics/point";
import type { Survey } from "../../survey/survey";
import { listed } from "../../text/listed";
import { audienceParts, hasAudience } from "./audience";
import { type BandPowers, bandPowers, coveredThirdOctaves, span } from "./band-powers";
import { type AudienceSummary, summarise } from "./summary";
import { leftOutReason, voting } from "./voting";

export interface BalanceOptions {
  /** Lowest and highest nominal third octave of the low band, hertz. Default 31.5 and 80. */
  readonly lowBand?: readonly [number, number];
  /** The same for the mid band, hertz. Default 500 and 2000: above the crossover and the room's modes, below where air and
   * aiming take over. */
  readonly midBand?: readonly [number, number];
  /** Target for the level of the low band over the mid band, dB. Default 6 (common practice, no source; it is taste). */
  readonly targetTilt?: number;
  /** 1 (default) as measured, −1 with the subs inverted. */
  readonly polarity?: 1 | -1;
  /** Extra delay of the subs, seconds, positive is later. Default 0. */
  readonly delay?: number;
  /** Number of people per position, to be used instead of the survey's own. */
  readonly weights?: ArrayLike<number>;
  /** Magnitude-squared coherence below which a measured frequency does not count, 0…1. Default 0: all count. */
  readonly coherenceLimit?: number;
}

/** Plain data; every key carries its unit. */
export interface BalanceResult {
  /** Name of the survey. */
  readonly survey: string;
  /** Level offset of the subs, positive is louder than measured. */
  readonly offset_db: number;
  /** Polarity of the subs: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** Extra delay of the subs, positive is later. */
  readonly delay_ms: number;
  /** Target for the level of the low band over the mid band. */
  readonly targetTilt_db: number;
  /** Lowest and highest nominal third octave of the low band. */
  readonly lowBand_hz: readonly [number, number];
  /** Lowest and highest nominal third octave of the mid band. */
  readonly midBand_hz: readonly [number, number];
  /** Nominal mid-band frequencies of the third-octave bands below. */
  readonly thirdOctaves_hz: readonly number[];
  /** One entry per position, in the order of the survey. */
  readonly positions: readonly PositionBalance[];
  /** Where nobody is anywhere, every position counts the same, and the reasons say so. */
  readonly audience: AudienceSummary;
  /** What one should know to trust these numbers, in plain words. */
  readonly reasons: readonly string[];
}

export interface PositionBalance {
  /** Name of the position. */
  readonly id: string;
  /** Part of the audience or venue that it belongs to. */
  readonly area: string;
  /** Number of people that it stands for. */
  readonly people: number;
  /** Where it is, metres. */
  readonly point: Point;
  /** Level of the low band of the sum, per third-octave band: dB re 20 µPa for pressure, re 1 for ratios. */
  readonly low_db: number;
  /** Level of the mains' mid band, per third-octave band. */
  readonly mid_db: number;
  /** low_db − mid_db */
  readonly balance_db: number;
  /** balance_db − targetTilt_db: positive is too much bass. */
  readonly deviation_db: number;
  /** Each third octave of the sum over the mid band, dB. */
  readonly thirdOctaves_db: readonly number[];
  /** "power" where a phase was missing: mains and subs are then added as if unrelated. */
  readonly summedBy: "complex" | "power";
  /** Fraction of the low band that is coherent enough, 0…1; a position with less than a quarter does not count. */
  readonly coherent_fraction: number;
}

/** A survey made ready for trying many offsets: each costs a fraction of a millisecond. */
export interface PreparedBalance {
  /** The whole balance at an offset. */
  evaluate(offset_db: number): BalanceResult;
  /** Deviation per position alone, dB, written into `out` where one is given. */
  deviations(offset_db: number, out?: Float64Array): Float64Array;
}

/** Below this a cancellation is as good as silence; keeps −∞ off the screen. */
export const FLOOR_DB = -200;
export const FLOOR = 10 ** (FLOOR_DB / 10);

/**
 * Balance at each position of a survey: how loud the low band is relative to the mains' mid band, and how far from the target.
 *
 * The low band is that of the sum of mains (with fills) and subs, by amplitude and phase. The mid band is that of the mains
 * with fills, without subs.
 *
 * @param survey  measured or modelled
 * @param options  bands, hertz; target and offset, dB; polarity and delay, seconds, of the subs
 * @returns levels, balance and deviation per position, dB, and a summary over the people
 * @throws RangeError when a band lies outside the survey's frequencies, or the mains are silent in the mid band
 * @source mean square over log frequency in the third-octave bands of IEC 61260-1; check: tests/decision/balance/balance.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const [seat] = decide.balance(survey, { offset: 3, targetTilt: 6 }).positions;
 * seat.balance_db - seat.deviation_db // 6.0
 */
export function balance(
  survey: Survey,
  options: BalanceOptions & {
    /** Level offset of the subs, dB, positive is louder than measured. Default 0. */
    readonly offset?: number;
  } = {},
): BalanceResult {
  return prepareBalance(survey, options).evaluate(options.offset ?? 0);
}

/**
 * Does once what all offsets share, for a slider or a search.
 *
 * @param survey  measured or modelled
 * @param options  as for `balance`, without the offset
 * @throws RangeError as `balance` does
 */
export function prepareBalance(survey: Survey, options: BalanceOptions = {}): PreparedBalance {
  const { lowBand, midBand, targetTilt, polarity, delay, coherenceLimit } = withDefaults(options);
  const people = hasAudience(survey) || options.weights !== undefined;
  const vote = voting(
    survey,
    lowBand,
    coherenceLimit,
    people ? options.weights : survey.positions.map(() => 1),
  );
  const { weights } = vote;
  const parts = audienceParts(survey.positions, weights);
  const thirds = coveredThirdOctaves(survey.frequency, 20, 16000);
  const powers = lowBandPowers(survey, options, thirds);
  const core = deviationForms(survey, options, powers);
  const reference = survey.quantity === "pressure" ? 20e-6 ** 2 : 1;
  const reasons = reasonsFor(survey, options, people, vote.leftOut);
  const scratch = new Float64Array(survey.positions.length);
  const deviations = (offset: number, out = new Float64Array(survey.positions.length)) =>
    deviationsAt(core, offset, out);
  const evaluate = (offset: number): BalanceResult => {
    const deviation = deviationsAt(core, offset, scratch);
    const gain = 10 ** (offset / 20);
    const positions = survey.positions.map((p, i): PositionBalance => {
      const mid = core.mid[i];
      const mid_db = 10 * Math.log10(mid / reference);
      const balance_db = deviation[i] + targetTilt;
      return {
        id: p.id,
        area: p.area,
        people: p.people,
        point: p.point,
        low_db: mid_db + balance_db,
        mid_db,
        balance_db,
        deviation_db: deviation[i],
        thirdOctaves_db: thirdOctavesOver(powers, i, gain, mid),
        summedBy: survey.mains[i].magnitudeOnly || survey.subs[i].magnitudeOnly ? "power" : "complex",
        coherent_fraction: vote.trusted[i],
      };
    });
    return {
      survey: survey.name,
      offset_db: offset,
      polarity,
      delay_ms: delay * 1000,
      targetTilt_db: targetTilt,
      lowBand_hz: lowBand,
      midBand_hz: midBand,
      thirdOctaves_hz: thirds.map((t) => t.nominal),
      positions,
      audience: summarise(survey.positions, weights, deviation, parts),
      reasons,
    };
  };
  return { evaluate, deviations };
}

/** What the deviation at each position depends on: a quadratic in the gain, over the target low band. */
export interface DeviationForms {
  /** Coefficients of the low band's power over the target: a + 2 g b + g² c. */
  readonly a: Float64Array;
  readonly b: Float64Array;
  readonly c: Float64Array;
  /** Mean square of the mains' mid band. */
  readonly mid: Float64Array;
}

/**
 * Powers in the low band as a whole, the first of the bands, and in the mains' mid band.
 *
 * @param options  as for `balance`
 * @param others  more bands, which follow the first
 */
export function lowBandPowers(
  survey: Survey,
  options: BalanceOptions,
  others: readonly Band[] = [],
): BandPowers {
  const { midBand, polarity, delay, coherenceLimit } = withDefaults(options);
  const low = span(lowThirdOctaves(survey, options));
  const mainsBand = span(coveredThirdOctaves(survey.frequency, midBand[0], midBand[1], "the mid band"));
  return bandPowers(survey, [low, ...others], { polarity, delay, coherenceLimit, mainsBand });
}

/** The third-octave bands of the low band. */
export function lowThirdOctaves(survey: Survey, options: BalanceOptions): Band[] {
  const { lowBand } = withDefaults(options);
  return coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band");
}

/** The quadratic forms behind `deviationsAt`, for searches that need nothing else. */
export function deviationForms(
  survey: Survey,
  options: BalanceOptions = {},
  powers = lowBandPowers(survey, options),
): DeviationForms {
  const { targetTilt } = withDefaults(options);
  const n = survey.positions.length;
  const stride = powers.bands.length;
  const forms: DeviationForms = {
    a: new Float64Array(n),
    b: new Float64Array(n),
    c: new Float64Array(n),
    mid: powers.mainsAlone,
  };
  const tilt = 10 ** (targetTilt / 10);
  for (let i = 0; i < n; i++) {
    const mid = forms.mid[i];
    if (!(mid > 0)) {
      throw new RangeError(
        `the mains are silent in the mid band at "${survey.positions[i].id}": there is nothing to balance the subs with`,
      );
    }
    forms.a[i] = powers.mains[i * stride] / (mid * tilt);
    forms.b[i] = powers.cross[i * stride] / (mid * tilt);
    forms.c[i] = powers.subs[i * stride] / (mid * tilt);
  }
  return forms;
}

/** Deviation at each position for an offset, dB, never below the floor. */
export function deviationsAt(forms: DeviationForms, offset: number, out: Float64Array): Float64Array {
  if (!Number.isFinite(offset)) throw new RangeError(`offset is ${offset}, expected decibels`);
  const { a, b, c } = forms;
  const g = 10 ** (offset / 20);
  for (let i = 0; i < a.length; i++) {
    const ratio = a[i] + g * (2 * b[i] + g * c[i]);
    out[i] = Math.max(ratio, FLOOR);
  }
  ratiosToLevels(out);
  return out;
}

const DB_PER_NEPER = 10 / Math.LN10;

/** Of all bands but the first. */
function thirdOctavesOver(powers: BandPowers, row: number, gain: number, mid: number): number[] {
  const n = powers.bands.length;
  const out = new Array<number>(n - 1);
  for (let k = 1; k < n; k++) {
    const at = row * n + k;
    const power = powers.mains[at] + gain * (2 * powers.cross[at] + gain * powers.subs[at]);
    out[k - 1] = DB_PER_NEPER * Math.log(Math.max(power / mid, FLOOR));
  }
  return out;
}

/** Options with their defaults, checked. */
export function withDefaults(options: BalanceOptions): {
  lowBand: readonly [number, number];
  midBand: readonly [number, number];
  targetTilt: number;
  polarity: 1 | -1;
  delay: number;
  coherenceLimit: number;
} {
  const {
    lowBand = [31.5, 80],
    midBand = [500, 2000],
    targetTilt = 6,
    polarity = 1,
    delay = 0,
    coherenceLimit = 0,
  } = options;
  if (!Number.isFinite(targetTilt)) throw new RangeError(`targetTilt is ${targetTilt}, expected decibels`);
  return { lowBand, midBand, targetTilt, polarity, delay, coherenceLimit };
}

function reasonsFor(
  survey: Survey,
  options: BalanceOptions,
  people: boolean,
  leftOut: readonly string[],
): string[] {
  const { lowBand, midBand, targetTilt } = withDefaults(options);
  const reasons = [
    `Low band ${lowBand[0]} to ${lowBand[1]} Hz of mains and subs together, relative to ${midBand[0]} to ${midBand[1]} Hz of the mains; target: ${targetTilt} dB more low than mid.`,
  ];
  if (!people) reasons.push("No position stands for people, so each counts the same.");
  if (leftOut.length > 0) reasons.push(leftOutReason(leftOut));
  const blind = survey.positions.filter(
    (_, i) => survey.mains[i].magnitudeOnly || survey.subs[i].magnitudeOnly,
  );
  if (blind.length > 0) {
    reasons.push(
      `No phase at ${listed(blind.map((p) => p.id))}: mains and subs are added by power there, which can be up to 3 dB too little where they agree and far too much where they cancel.`,
    );
  }
  return reasons;
}
