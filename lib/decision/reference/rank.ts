/**
 * Reference position: where the mix engineer may stand, ranked by how well a judgement made there holds for the audience.
 */

import type { Survey } from "../../survey/survey";
import { signedDecibels } from "../../text/decibels";
import { type BalanceOptions, prepareBalance, withDefaults } from "../balance/balance";
import { changeAround } from "../balance/plane-slope";
import { weightedMedian } from "../balance/summary";
import { voting } from "../balance/voting";
import type { Criterion } from "../offset/criterion";
import { levelOffset } from "../offset/offset";
import { referenceReason } from "./reasons";
import type { Correction, ReferenceOptions, ReferenceResult } from "./result";

/**
 * Ranks positions where the mix engineer may stand, by how well a judgement made there holds for the audience.
 *
 * @param survey  the audience, measured or modelled
 * @param candidates  the positions to rank, as a survey on the same frequencies; they need not stand for people
 * @param options  as for `decide.offset`, the offset at which to judge, dB, and how far neighbours count, metres
 * @returns positions, best first, with bias, dB, change per metre, notches, correction and a sentence each
 * @throws RangeError when there are no candidates, or they stand on other frequencies than the audience
 * @source common practice, no source, for what makes a position good; check: tests/decision/reference/rank.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const zone = predict.survey(hall, venues.zone(hall, { spacing: 2 }), { order: 0 });
 * const [best] = decide.rankPositions(survey, zone).positions;
 * best.rank // 1
 */
export function rankReferences(
  survey: Survey,
  candidates: Survey,
  options: ReferenceOptions = {},
): ReferenceResult {
  requireSameGrid(survey, candidates);
  const offset = options.offset ?? levelOffset(survey, options).offset_db;
  const { lowBand, coherenceLimit } = withDefaults(options);
  const { weights } = voting(survey, lowBand, coherenceLimit, options.weights);
  const { weights: _, ...bands } = options;
  const people = prepareBalance(survey, options).evaluate(offset);
  const positions = prepareBalance(candidates, bands as BalanceOptions).evaluate(offset);
  const deviation = Float64Array.from(people.positions, (p) => p.deviation_db);
  const centre = centreOf(deviation, weights, options.criterion ?? "least mean square");
  const thirds = people.thirdOctaves_hz.filter((f) => f <= HIGHEST);
  const audienceThirdOctaves = thirds.map((_, k) =>
    people.positions.reduce((sum, p, i) => sum + weights[i] * p.thirdOctaves_db[k], 0),
  );
  const field = [...positions.positions, ...people.positions];
  const radius = options.radius ?? 3;
  const ranked = positions.positions
    .map((position) => {
      const bias = position.deviation_db - centre;
      const change = changeAround(position, field, radius);
      const difference = audienceThirdOctaves.map((a, k) => position.thirdOctaves_db[k] - a);
      const mean = difference.reduce((s, x) => s + x, 0) / difference.length;
      const rms = Math.sqrt(difference.reduce((s, x) => s + (x - mean) ** 2, 0) / difference.length);
      const steep = Math.hypot(change.towardBack ?? 0, change.towardLeft ?? 0);
      return {
        id: position.id,
        area: position.area,
        point: position.point,
        score_db: Math.hypot(bias, steep, rms),
        bias_db: bias,
        towardBack_db_per_m: change.towardBack,
        towardLeft_db_per_m: change.towardLeft,
        notches: thirds.flatMap((frequency_hz, k) =>
          difference[k] - mean <= -NOTCH ? [{ frequency_hz, depth_db: mean - difference[k] }] : [],
        ),
        spectrum_rms_db: rms,
        difference_db: difference,
        correction: { low_db: bias, bands: misleading(thirds, difference) },
      };
    })
    .sort(byScoreThenName)
    .map((position, i) => ({ ...position, rank: i + 1 }));
  return {
    survey: survey.name,
    offset_db: offset,
    audience_db: centre,
    thirdOctaves_hz: thirds,
    audienceThirdOctaves_db: audienceThirdOctaves,
    positions: ranked.map((position) => ({ ...position, reason: referenceReason(position, ranked.length) })),
    reasons: [
      `Judged with the subs at ${signedDecibels(offset)} relative to the current level. A position is good when one hears the audience's balance there, when a step changes little, and when no third-octave band is its own.`,
    ],
  };
}

/** Above this, hertz, air and aim differ from seat to seat anyway, and nobody judges the subs by it. */
const HIGHEST = 8000;
/** A third octave this far below the audience's counts as a notch of the place, dB. */
const NOTCH = 4;
/** A third octave this far off misleads; common practice, no source. */
const MISLEADING = 3;

/** Mirrored seats score the same, and each engine's last bit another way: their names decide. */
function byScoreThenName(a: { score_db: number; id: string }, b: { score_db: number; id: string }): number {
  const apart = a.score_db - b.score_db;
  return Math.abs(apart) > SAME ? apart : Number(a.id > b.id) - Number(a.id < b.id);
}
/** Scores this close are one, dB. */
const SAME = 1e-9;

function misleading(thirds: readonly number[], difference: readonly number[]): Correction["bands"] {
  return thirds
    .map((frequency_hz, k) => ({ frequency_hz, heard_db: difference[k] }))
    .filter((band) => Math.abs(band.heard_db) >= MISLEADING)
    .sort((a, b) => Math.abs(b.heard_db) - Math.abs(a.heard_db))
    .slice(0, 4)
    .sort((a, b) => a.frequency_hz - b.frequency_hz);
}

function centreOf(deviation: Float64Array, weights: Float64Array, criterion: Criterion): number {
  if (criterion === "least mean") return weightedMedian(deviation, weights);
  if (criterion === "least mean square") return deviation.reduce((sum, d, i) => sum + weights[i] * d, 0);
  const taken = deviation.filter((_, i) => weights[i] > 0);
  return (Math.max(...taken) + Math.min(...taken)) / 2;
}

function requireSameGrid(survey: Survey, candidates: Survey): void {
  if (candidates.positions.length === 0)
    throw new RangeError("no position to rank: the candidates have none");
  const a = survey.frequency;
  const b = candidates.frequency;
  if (a.length !== b.length || a.some((f, i) => Math.abs(f - b[i]) > 1e-9 * f)) {
    throw new RangeError(
      `the candidates stand on other frequencies (${b.length}) than the audience (${a.length}): model or interpolate both on the same`,
    );
  }
}
