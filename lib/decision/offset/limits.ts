/**
 * What the level of the subs must not exceed: their headroom, and level and dose at the front row.
 *
 * The power at a seat is a quadratic in the subs' gain, so is any weighted sum over bands; the gain at which it reaches
 * a limit is a root of that quadratic, no search is needed.
 */
import { fromDecibel, levelOfMeanSquare } from "../../acoustics/level/decibel";
import { allowedTime, type ExposureCriterion, nioshCriterion } from "../../acoustics/level/dose";
import { frequencyWeighting, type Weighting } from "../../acoustics/level/weighting";
import { partOfSurvey } from "../../survey/part";
import type { Survey } from "../../survey/survey";
import { audienceParts } from "../balance/audience";
import { type BandPowers, bandPowers, coveredThirdOctaves, type SubSetting } from "../balance/band-powers";

export interface Limits {
  /** How far the subs can be turned up from the current level before they run out, dB. */
  readonly headroom?: number;
  /** Highest level at the front row, dB re 20 µPa, power mean over its people. Needs a survey in pascals. */
  readonly frontLevel?: { readonly level: number; readonly weighting: Weighting };
  /** Highest noise dose at the front row. Local law rules. */
  readonly frontDose?: {
    /** Percent of what the recommendation allows. */
    readonly percent: number;
    /** Time at this level, seconds. */
    readonly duration: number;
    /** The recommendation. Default: that of NIOSH, 85 dB(A) over 8 hours. */
    readonly criterion?: ExposureCriterion;
  };
  /** Level of the show over that of the survey, dB: a model is driven at a fixed level, a show is not. Default 0. */
  readonly drive?: number;
}

export interface LimitFound {
  /** Highest offset that all limits allow, dB; Infinity without limits is given as null. */
  readonly highest_db: number | null;
  /** The limit that binds first, in words; null without limits. */
  readonly binding: string | null;
  /** Limits that no offset can keep, because the mains alone exceed them. */
  readonly beyond: readonly string[];
}

/**
 * The highest offset that the limits allow.
 *
 * @param survey  a survey; in pascals when a level or dose is limited
 * @param weights  share of the audience per position
 * @param limits  what must not be exceeded
 * @param setting  polarity and delay of the subs
 * @throws RangeError when a level is limited and the survey holds ratios
 */
export function highestOffset(
  survey: Survey,
  weights: Float64Array,
  limits: Limits,
  setting: SubSetting = {},
): LimitFound {
  const found: { offset: number; why: string }[] = [];
  const beyond: string[] = [];
  if (limits.headroom !== undefined) {
    if (!Number.isFinite(limits.headroom)) {
      throw new RangeError(`limits.headroom is ${limits.headroom}, expected decibels`);
    }
    found.push({ offset: limits.headroom, why: "the subs' headroom" });
  }
  for (const { level, weighting, why } of levelLimits(limits)) {
    const offset = offsetAtLevel(survey, weights, level - (limits.drive ?? 0), weighting, setting);
    if (offset === undefined) beyond.push(why);
    else found.push({ offset, why });
  }
  found.sort((a, b) => a.offset - b.offset);
  const first = found[0];
  return { highest_db: first?.offset ?? null, binding: first?.why ?? null, beyond };
}

/**
 * Level at the front row, all bands together.
 *
 * @param survey  a survey in pascals
 * @param weights  share of the audience per position
 * @param offset  of the subs, dB
 * @param weighting  frequency weighting
 * @param setting  polarity and delay of the subs
 * @returns dB re 20 µPa, power mean over the people of the front row
 */
export function frontRowLevel(
  survey: Survey,
  weights: Float64Array,
  offset: number,
  weighting: Weighting,
  setting: SubSetting = {},
): number {
  const [a, b, c] = frontRowPower(survey, weights, weighting, setting);
  const g = 10 ** (offset / 20);
  return levelOfMeanSquare(Math.max(1e-30, a + g * (2 * b + g * c)));
}

/** Level at the front row at an offset, and how long the recommendation allows it. */
export interface FrontRow {
  /** A-weighted level, dB re 20 µPa, power mean over the people of the front row, with the limits' `drive`. */
  readonly levelA_db: number;
  /** The same, C-weighted. */
  readonly levelC_db: number;
  /** Time in which this level uses up the whole dose, hours, by the recommendation named. Local law rules. */
  readonly allowed_h: number;
  /** Name of the recommendation. */
  readonly criterion: string;
}

/**
 * Level and allowed time at the front row, for a report's caution.
 *
 * @param survey  a survey; one of ratios has no level, and gives null
 * @param weights  share of the audience per position
 * @param offset  of the subs, dB
 * @param limits  for its drive and its criterion of dose
 * @param setting  polarity and delay of the subs
 */
export function frontRowAt(
  survey: Survey,
  weights: Float64Array,
  offset: number,
  limits: Limits,
  setting: SubSetting = {},
): FrontRow | null {
  if (survey.quantity !== "pressure") return null;
  const drive = limits.drive ?? 0;
  const criterion = limits.frontDose?.criterion ?? nioshCriterion;
  const levelA_db = frontRowLevel(survey, weights, offset, "A", setting) + drive;
  return {
    levelA_db,
    levelC_db: frontRowLevel(survey, weights, offset, "C", setting) + drive,
    allowed_h: allowedTime(levelA_db, criterion) / 3600,
    criterion: criterion.name,
  };
}

function levelLimits(limits: Limits): { level: number; weighting: Weighting; why: string }[] {
  const out: { level: number; weighting: Weighting; why: string }[] = [];
  if (limits.frontLevel) {
    const { level, weighting } = limits.frontLevel;
    out.push({ level, weighting, why: `${level} dB(${weighting}) at the front row` });
  }
  if (limits.frontDose) {
    const { percent, duration, criterion = nioshCriterion } = limits.frontDose;
    if (!(percent > 0 && duration > 0)) {
      throw new RangeError(
        `limits.frontDose is ${percent} % over ${duration} s, expected two numbers above 0`,
      );
    }
    const allowed = (percent / 100) * (criterion.duration / duration);
    const level = criterion.level + criterion.exchangeRate * Math.log2(allowed);
    out.push({ level, weighting: "A", why: `a dose of ${percent} % at the front row (${criterion.name})` });
  }
  return out;
}

/** Offset at which the front row reaches a level; undefined when it does so without subs. */
function offsetAtLevel(
  survey: Survey,
  weights: Float64Array,
  level: number,
  weighting: Weighting,
  setting: SubSetting,
): number | undefined {
  const [a, b, c] = frontRowPower(survey, weights, weighting, setting);
  const over = a - 20e-6 ** 2 * fromDecibel(level);
  if (over >= 0) return undefined;
  if (!(c > 0)) return Number.POSITIVE_INFINITY;
  return 20 * Math.log10((-b + Math.sqrt(b * b - over * c)) / c);
}

/** Coefficients a, b, c of the front row's weighted power a + 2 g b + g² c, pascals squared. */
function frontRowPower(
  survey: Survey,
  weights: Float64Array,
  weighting: Weighting,
  setting: SubSetting,
): [number, number, number] {
  if (survey.quantity !== "pressure") {
    throw new RangeError(
      `a limit on level needs sound pressure, but survey "${survey.name}" holds ratios: measure or model in pascals`,
    );
  }
  const { front } = audienceParts(survey.positions, weights);
  const thirds = coveredThirdOctaves(survey.frequency, 20, 16000);
  const powers = bandPowers(partOfSurvey(survey, front), thirds, setting);
  const fraction = front.map((i) => weights[i]);
  return [powers.mains, powers.cross, powers.subs].map((x) => weighted(powers, x, fraction, weighting)) as [
    number,
    number,
    number,
  ];
}

function weighted(
  powers: BandPowers,
  values: Float64Array,
  fraction: number[],
  weighting: Weighting,
): number {
  const total = fraction.reduce((sum, x) => sum + x, 0);
  let sum = 0;
  fraction.forEach((w, row) => {
    powers.bands.forEach((band, k) => {
      const factor = fromDecibel(frequencyWeighting(band.exact, weighting));
      sum += (w / total) * factor * values[row * powers.bands.length + k];
    });
  });
  return sum;
}
