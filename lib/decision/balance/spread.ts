/**
 * Spread: how much mains and subs each change from front to back and from side to side, band by band, and how much of
 * it distance alone explains.
 */
import type { Band } from "../../acoustics/bands/bands";
import type { Point } from "../../acoustics/point";
import type { Survey } from "../../survey/survey";
import { audienceParts, audienceWeights, hasAudience, rowsByDepth } from "./audience";
import { type BalanceOptions, withDefaults } from "./balance";
import { bandPowers, coveredThirdOctaves, span } from "./band-powers";
import { distanceLevel, fitLine } from "./distance";
import { meanOver } from "./summary";

export interface SpreadOptions extends BalanceOptions {
  /** Where the mains and the subs stand, metres. Default: the middle of the stage's front edge, on the floor. */
  readonly origins?: { readonly mains?: readonly Point[]; readonly subs?: readonly Point[] };
}

/** Plain data; every key carries its unit. */
export interface SpreadResult {
  /** Name of the survey. */
  readonly survey: string;
  /** The mains with fills. */
  readonly mains: GroupSpread;
  /** The subs. */
  readonly subs: GroupSpread;
  /** What it says, in sentences. */
  readonly reasons: readonly string[];
}

export interface GroupSpread {
  /** Over the whole low band. */
  readonly low: BandSpread;
  /** Over the whole mid band. */
  readonly mid: BandSpread;
  /** Per third octave, ascending. */
  readonly thirds: readonly BandSpread[];
}

export interface BandSpread {
  /** Nominal mid-band frequency. */
  readonly frequency_hz: number;
  /** Mean level of the tenth of the people nearest the stage less that of the farthest tenth. */
  readonly frontToBack_db: number;
  /** The same from distance alone, by spherical spreading. */
  readonly distanceFrontToBack_db: number;
  /** frontToBack_db − distanceFrontToBack_db: what reflections, aim, air and interference add. */
  readonly restFrontToBack_db: number;
  /** Mean over the rows of the loudest less the softest position in a row; null where no row has two. */
  readonly sideToSide_db: number | null;
  /** Mean level of house left less that of house right; null where one side is empty. */
  readonly leftToRight_db: number | null;
  /** Weighted standard deviation of the level over the people. */
  readonly deviation_db: number;
  /** The same after distance alone is taken out. */
  readonly restDeviation_db: number;
  /** Fraction of the variance that distance alone explains, 0…1; null where the level is the same everywhere. */
  readonly distance_fraction: number | null;
  /** Fitted change of level for each doubling of distance; null where all are equally far. */
  readonly perDoubling_db: number | null;
  /** Level per position, in the order of the survey, dB re the weighted power mean over the people. */
  readonly level_db: readonly number[];
}

/**
 * How much the level of mains and of subs changes over the audience, band by band, and how much of it distance alone explains.
 *
 * @param survey  measured or modelled; fills, where it has them, count with the mains
 * @param options  bands as for `decide.balance`, hertz, and where the sources are, metres
 * @returns per group and band, dB: front to back, side to side, the part of distance, the rest
 * @throws RangeError when a band lies outside the survey's frequencies or a position lies in a source
 * @source spherical spreading; weighted least squares; check: tests/decision/balance/spread.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const of = (group: string) => hall.sources.filter((s) => s.group === group).map((s) => s.point);
 * const { subs } = decide.spread(survey, { origins: { mains: of("mains"), subs: of("subs") } });
 * subs.low.frontToBack_db
 */
export function spread(survey: Survey, options: SpreadOptions = {}): SpreadResult {
  const { lowBand, midBand } = withDefaults(options);
  const people = hasAudience(survey) || options.weights !== undefined;
  const weights = audienceWeights(survey, people ? options.weights : survey.positions.map(() => 1));
  const low = span(coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band"));
  const mid = span(coveredThirdOctaves(survey.frequency, midBand[0], midBand[1], "the mid band"));
  const bands = [low, mid, ...coveredThirdOctaves(survey.frequency, 20, 16000)];
  const powers = bandPowers(survey, bands);
  const stage = [{ x: 0, y: 0, z: 0 }];
  const house = houseOf(survey.positions, weights);
  const group = (values: Float64Array, origins: readonly Point[]): GroupSpread => {
    const expected = survey.positions.map((p) => distanceLevel(p.point, origins));
    const [lowSpread, midSpread, ...thirds] = bands.map((band, k) =>
      bandSpread(
        house,
        band,
        survey.positions.map((_, row) => values[row * bands.length + k]),
        expected,
      ),
    );
    return { low: lowSpread, mid: midSpread, thirds };
  };
  const result = {
    survey: survey.name,
    mains: group(powers.mains, options.origins?.mains ?? stage),
    subs: group(powers.subs, options.origins?.subs ?? stage),
  };
  return { ...result, reasons: reasonsFor(result, options) };
}

/** Who sits where, for all bands alike: indices of positions. */
interface House {
  readonly weights: Float64Array;
  readonly front: readonly number[];
  readonly back: readonly number[];
  readonly left: readonly number[];
  readonly right: readonly number[];
  /** From side to side, with two places or more each. */
  readonly rows: readonly (readonly number[])[];
}

function houseOf(positions: Survey["positions"], weights: Float64Array): House {
  const occupied = positions.map((_, i) => i).filter((i) => weights[i] > 0);
  const side = (sign: 1 | -1) => occupied.filter((i) => positions[i].point.y * sign > 0.25);
  const byDepth = [...occupied].sort((i, j) => positions[i].point.x - positions[j].point.x);
  const rows = rowsByDepth(positions, byDepth).filter((row) => row.length > 1);
  return { weights, ...audienceParts(positions, weights), left: side(1), right: side(-1), rows };
}

function bandSpread(
  house: House,
  band: Band,
  power: readonly number[],
  expected: readonly number[],
): BandSpread {
  const { weights, front, back } = house;
  const mean = power.reduce((sum, p, i) => sum + weights[i] * p, 0);
  // A silent group has no level anywhere: 0 dB spread, rather than differences of −∞.
  const level = power.map((p) => (mean > 0 ? 10 * Math.log10(Math.max(p / mean, 1e-20)) : 0));
  const frontToBack = meanOver(front, weights, level) - meanOver(back, weights, level);
  const fromDistance = meanOver(front, weights, expected) - meanOver(back, weights, expected);
  const rest = level.map((l, i) => l - expected[i]);
  const deviation = standardDeviation(level, weights);
  const restDeviation = standardDeviation(rest, weights);
  // Spherical spreading falls 6.02 dB for each doubling, so its level counts doublings, whatever the sources.
  const doublings = expected.map((e) => -e / DOUBLING);
  return {
    frequency_hz: band.nominal,
    frontToBack_db: frontToBack,
    distanceFrontToBack_db: fromDistance,
    restFrontToBack_db: frontToBack - fromDistance,
    sideToSide_db: sideToSide(house, level),
    leftToRight_db: leftToRight(house, level),
    deviation_db: deviation,
    restDeviation_db: restDeviation,
    distance_fraction: deviation > 1e-9 ? Math.max(0, 1 - (restDeviation / deviation) ** 2) : null,
    perDoubling_db: fitLine(doublings, level, weights)?.slope ?? null,
    level_db: level,
  };
}

const DOUBLING = 20 * Math.log10(2);

function standardDeviation(values: readonly number[], weights: Float64Array): number {
  const mean = values.reduce((sum, x, i) => sum + weights[i] * x, 0);
  return Math.sqrt(values.reduce((sum, x, i) => sum + weights[i] * (x - mean) ** 2, 0));
}

function sideToSide({ rows, weights }: House, level: readonly number[]): number | null {
  let sum = 0;
  let total = 0;
  for (const row of rows) {
    let [least, most, people] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
    for (const i of row) {
      least = Math.min(least, level[i]);
      most = Math.max(most, level[i]);
      people += weights[i];
    }
    sum += people * (most - least);
    total += people;
  }
  return total > 0 ? sum / total : null;
}

function leftToRight({ left, right, weights }: House, level: readonly number[]): number | null {
  if (left.length === 0 || right.length === 0) return null;
  return meanOver(left, weights, level) - meanOver(right, weights, level);
}

function reasonsFor(result: Omit<SpreadResult, "reasons">, options: SpreadOptions): string[] {
  const sentence = (name: string, s: BandSpread, where: string) =>
    `${name} (${where}) ${change(s.frontToBack_db)} from the front row to the back row; distance alone would take ${s.distanceFrontToBack_db.toFixed(1)} dB. ${restWords(s.restFrontToBack_db)}`;
  const reasons = [
    sentence("The mains", result.mains.mid, "mid band"),
    sentence("The subs", result.subs.low, "low band"),
  ];
  const between = result.subs.low.frontToBack_db - result.mains.mid.frontToBack_db;
  reasons.push(
    `So the balance between them drifts by ${Math.abs(between).toFixed(1)} dB: ${between >= 0 ? "more bass in front" : "more bass at the back"}.`,
  );
  if (!options.origins) {
    reasons.push(
      "Distances are taken from the middle of the stage's front edge, since no positions of the sources were given.",
    );
  }
  return reasons;
}

const change = (drop: number): string =>
  drop >= 0 ? `lose ${drop.toFixed(1)} dB` : `gain ${(-drop).toFixed(1)} dB`;

function restWords(rest: number): string {
  if (Math.abs(rest) < 0.5) return "Distance explains it.";
  if (rest > 0) return `The other ${rest.toFixed(1)} dB have other causes: aim, air, interference.`;
  return `They keep ${(-rest).toFixed(1)} dB that distance would take: by aim, reflections or reverberation.`;
}
