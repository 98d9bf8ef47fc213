/**
 * Level offset: how loud to set the subs so that the audience, not one seat, gets the target balance.
 */
import type { Position, Survey } from "../../survey/survey";
import { type AudienceParts, audienceParts } from "../balance/audience";
import {
  type DeviationForms,
  deviationForms,
  deviationsAt,
  lowBandPowers,
  lowThirdOctaves,
  withDefaults,
} from "../balance/balance";
import type { BandPowers } from "../balance/band-powers";
import { residualPerThirdOctave } from "../balance/residual";
import { type AudienceSummary, summarise } from "../balance/summary";
import { leftOutReason, voting } from "../balance/voting";
import { bestOffset, bestOnCurve, costCurve } from "./cost-curve";
import { type Criterion, costOf, criteria } from "./criterion";
import { offsetInterval } from "./interval";
import { frontRowAt, highestOffset } from "./limits";
import { offsetReasons } from "./reasons";
import type { OffsetChoice, OffsetOptions, OffsetResult, PreferredOffset } from "./result";
import { requireTargetLevel, USUAL_LEVEL } from "./target-level";

/**
 * Level offset of the subs that suits the audience: how loud to set them so that the audience, not one seat, gets the target
 * balance.
 *
 * One-dimensional search on a half-decibel grid and by golden section in every dip; the sum with the mains is complex,
 * so neither the deviation nor its cost is a straight line or has a single dip.
 *
 * @param survey  measured or modelled; positions that stand for no people do not vote
 * @param options  as for `decide.balance`, with criterion, range and limits, dB
 * @returns offset, dB, positive is louder than measured; costs of all others, who would ask for what, what is left, with reasons
 * @throws RangeError when nobody is there, a band is missing, the subs are silent in the low band, or a range or limit makes no
 *   sense
 * @source least absolute, least squares and minimax location (median, mean, mid-range); check: tests/decision/offset/offset.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const { offset_db, reasons } = decide.offset(survey, { targetTilt: 6, limits: { headroom: 4 } });
 * offset_db <= 4 // true
 */
export function levelOffset(survey: Survey, options: OffsetOptions = {}): OffsetResult {
  return offsetWithPowers(survey, options).result;
}

/** An audience whose deviations follow from the level. */
export interface Listeners {
  readonly positions: readonly Position[];
  /** Share of the audience per position. */
  readonly weights: Float64Array;
  readonly parts: AudienceParts;
  readonly forms: DeviationForms;
}

/** What they get at a level. */
export const audienceAt = (
  { positions, weights, parts, forms }: Listeners,
  offset: number,
  deviation = new Float64Array(weights.length),
): AudienceSummary => summarise(positions, weights, deviationsAt(forms, offset, deviation), parts);

/**
 * The same with what it was computed from. `powers` holds the low band and its third-octave bands.
 *
 * @param maybe  listeners of surveys that may as well be true, each by itself: the level is then the one that costs least over all of
 *   them, as are costs and shares; what single positions want follows from the survey
 */
export function offsetWithPowers(
  survey: Survey,
  options: OffsetOptions,
  maybe: readonly Listeners[] = [],
): { readonly result: OffsetResult; readonly powers: BandPowers; readonly listeners: Listeners } {
  const {
    criterion = "least mean square",
    range = [-30, 30],
    limits = {},
    targetLevel = USUAL_LEVEL,
  } = options;
  requireTargetLevel(targetLevel);
  if (!(Number.isFinite(range[0]) && Number.isFinite(range[1]) && range[0] < range[1])) {
    throw new RangeError(`range is ${range[0]} to ${range[1]} dB, expected two numbers in order`);
  }
  if (!criteria.includes(criterion)) {
    throw new RangeError(`criterion is "${criterion}", expected ${criteria.map((c) => `"${c}"`).join(", ")}`);
  }
  const { lowBand, targetTilt, polarity, delay, coherenceLimit } = withDefaults(options);
  const { weights, leftOut } = voting(survey, lowBand, coherenceLimit, options.weights);
  const powers = lowBandPowers(survey, options, lowThirdOctaves(survey, options));
  const forms = deviationForms(survey, options, powers);
  if (!forms.c.some((c, i) => weights[i] > 0 && c > 0)) {
    throw new RangeError(
      `the subs of survey "${survey.name}" are silent in the low band: no offset changes anything`,
    );
  }
  const { positions } = survey;
  const listeners = { positions, weights, parts: audienceParts(positions, weights), forms };
  const all = maybe.length > 0 ? together(maybe) : listeners;
  const curve = costCurve(all.forms, all.weights, range);
  const choices = criteria.map((each): OffsetChoice => {
    const { x, cost } = bestOnCurve(curve, all.forms, all.weights, each);
    return { criterion: each, offset_db: x, cost_db: cost, audience: audienceAt(all, x) };
  });
  const free = choices[criteria.indexOf(criterion)];
  const found = highestOffset(survey, weights, limits, { polarity, delay });
  const limited = found.highest_db !== null && found.highest_db < free.offset_db;
  const best = limited
    ? bestOffset(all.forms, all.weights, criterion, [Math.min(range[0], found.highest_db), found.highest_db])
    : { x: free.offset_db, cost: free.cost_db };
  const result: Omit<OffsetResult, "reasons"> = {
    survey: survey.name,
    criterion,
    targetTilt_db: targetTilt,
    targetLevel_db: targetLevel,
    offset_db: best.x,
    cost_db: best.cost,
    audience: audienceAt(all, best.x),
    choices,
    limits: found,
    headroomLeft_db: limits.headroom === undefined ? null : limits.headroom - best.x,
    frontRow: frontRowAt(survey, weights, best.x, limits, { polarity, delay }),
    limited,
    atEndOfRange: Math.min(free.offset_db - range[0], range[1] - free.offset_db) < 1e-3,
    flat_db: flatStretch(all, criterion, best, range),
    curve,
    residual: residualPerThirdOctave(powers, weights, best.x, options),
    preferred: askedOffsets(survey, listeners, all, { ...options, criterion, range }, free),
    preferredAt: survey.positions.map((p, i) => ({ id: p.id, ...preferredOffset(forms, i, range) })),
    interval: offsetInterval(survey, forms, weights, best.x, criterion, options),
  };
  const reasons = [...offsetReasons(result, survey), ...(leftOut.length > 0 ? [leftOutReason(leftOut)] : [])];
  return { result: { ...result, reasons }, powers, listeners };
}

/** All of them as one audience, each as likely as the others. */
function together(maybe: readonly Listeners[]): Listeners {
  const joined = (of: (one: Listeners) => Float64Array, scale = 1) =>
    Float64Array.from(maybe.flatMap((one) => Array.from(of(one), (x) => scale * x)));
  const positions = maybe.flatMap((one) => one.positions);
  const weights = joined((one) => one.weights, 1 / maybe.length);
  return {
    positions,
    weights,
    parts: audienceParts(positions, weights),
    forms: {
      a: joined((one) => one.forms.a),
      b: joined((one) => one.forms.b),
      c: joined((one) => one.forms.c),
      mid: joined((one) => one.forms.mid),
    },
  };
}

/**
 * The offset that one position asks for: where its deviation is 0, or least where it can't be 0.
 *
 * The power there is a quadratic in the gain, so the answer is one of its roots; of two the louder, since below the
 * other one the subs only weaken the mains.
 */
export function preferredOffset(
  forms: DeviationForms,
  i: number,
  range: readonly [number, number],
): { offset_db: number; reachesTarget: boolean } {
  const a = forms.a[i] - 1;
  const b = forms.b[i];
  const c = forms.c[i];
  const clamp = (g: number) => Math.min(range[1], Math.max(range[0], g > 0 ? 20 * Math.log10(g) : range[0]));
  if (!(c > 0)) return { offset_db: Math.min(range[1], Math.max(range[0], 0)), reachesTarget: false };
  const inside = b * b - a * c;
  const g = inside >= 0 ? (-b + Math.sqrt(inside)) / c : -b / c;
  const offset_db = clamp(g);
  const reachesTarget = inside >= 0 && g > 0 && Math.abs(20 * Math.log10(g) - offset_db) < 1e-9;
  return { offset_db, reachesTarget };
}

/** The stretch around the best within which the cost stays at most half a decibel above it. */
function flatStretch(
  { forms, weights }: Listeners,
  criterion: Criterion,
  best: { x: number; cost: number },
  range: readonly [number, number],
): [number, number] {
  const out = new Float64Array(weights.length);
  const cheap = (x: number) => costOf(deviationsAt(forms, x, out), weights, criterion) <= best.cost + 0.5;
  const edge = (direction: 1 | -1): number => {
    const end = direction > 0 ? range[1] : range[0];
    let inside = best.x;
    let step = 0.25;
    while (step > 0.01) {
      const next = inside + direction * step;
      if ((next - end) * direction < 0 && cheap(next)) inside = next;
      else step /= 2;
    }
    return inside;
  };
  return [edge(-1), edge(1)];
}

function askedOffsets(
  survey: Survey,
  { weights, parts, forms }: Listeners,
  all: Listeners,
  options: OffsetOptions & { readonly criterion: Criterion; readonly range: readonly [number, number] },
  best: OffsetChoice,
): PreferredOffset[] {
  const { criterion, range } = options;
  const groups: [PreferredOffset["who"], readonly number[]][] = [
    ["front row", parts.front],
    ["middle", parts.middle],
    ["mix position", mixIndices(survey, options.mixPositions)],
    ["back row", parts.back],
  ];
  const out = new Float64Array(all.weights.length);
  return groups
    .filter(([, indices]) => indices.length > 0)
    .map(([who, indices]) => {
      const own = new Float64Array(weights.length);
      // Where nobody sits, such as at the mix position, each place counts the same.
      const total = indices.reduce((sum, i) => sum + weights[i], 0);
      for (const i of indices) own[i] = total > 0 ? weights[i] / total : 1 / indices.length;
      const offset_db =
        indices.length === 1
          ? preferredOffset(forms, indices[0], range).offset_db
          : bestOffset(forms, own, criterion, range).x;
      const audience = audienceAt(all, offset_db, out);
      return {
        who,
        positions: indices.map((i) => survey.positions[i].id),
        offset_db,
        audience,
        loss_db: Math.max(0, costOf(out, all.weights, criterion) - best.cost_db),
      };
    });
}

function mixIndices(survey: Survey, ids: readonly string[] | undefined): number[] {
  if (!ids) {
    return survey.positions.flatMap((p, i) => (p.area.toLowerCase() === "front of house" ? [i] : []));
  }
  return ids.map((id) => {
    const i = survey.positions.findIndex((p) => p.id === id);
    if (i < 0)
      throw new RangeError(`mixPositions names "${id}", which survey "${survey.name}" does not have`);
    return i;
  });
}
