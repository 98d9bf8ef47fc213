/**
 * Alignment: delay and polarity of the subs so that they help the mains through the crossover, for one place or for
 * all, and what that costs elsewhere.
 */

import { delayFactor } from "../../numeric/complexes";
import { minimise } from "../../numeric/search";
import { median } from "../../numeric/statistics";
import type { Survey } from "../../survey/survey";
import { audienceWeights, hasAudience } from "../balance/audience";
import { type CrossSpectrum, crossSpectrum, hasPhase, interference } from "./cross-spectrum";
import { type Overlap, type OverlapOptions, overlapBand } from "./overlap";
import { alignmentReasons } from "./reasons";
import type { AlignmentChoice, AlignmentOptions, AlignmentResult } from "./result";

/**
 * Delay and polarity of the subs so that they help the mains through the crossover, for one position or for all, and what that
 * costs elsewhere.
 *
 * Minimises how far the sum in the overlap band stays below the in-phase sum, (|mains| + |subs|)²: a grid of 32 steps per
 * period of the band's upper edge, then golden section, for either polarity. Of choices within a tenth of a decibel of the
 * best, the one with the least delay comes first.
 *
 * @param survey  measured with phase, or modelled
 * @param options  whom to align for; delays, seconds, polarities and band, hertz, to search; filters to try
 * @returns choices, best first (delay in milliseconds, loss in dB), each with its cost at every position, and reasons
 * @throws RangeError when no position has a phase, when mains and subs do not overlap, or a setting makes no sense
 * @source sum of two phasors; check: tests/decision/alignment/alignment.test.ts
 * @example
 * const frequency = acoustics.bands.grid(20, 2000, 200);
 * const late = (delay: number) => acoustics.filters.response({ kind: "delay", delay }, frequency);
 * const [mains, subs] = [0, 0.004].map((delay) => ({ frequency, ...late(delay) })); // subs 4 ms late
 * const [position] = venues.positions(read.venue("ombrik-cellar"));
 * decide.alignment(measure.survey([{ position, mains, subs }])).choices[0].delay_ms // -4.0
 */
export function alignment(survey: Survey, options: AlignmentOptions = {}): AlignmentResult {
  const { delays = [-0.02, 0.02], polarity = "both", offset = 0, filters, coherenceLimit } = options;
  if (!(Number.isFinite(delays[0]) && Number.isFinite(delays[1]) && delays[0] <= delays[1])) {
    throw new RangeError(`delays is ${delays[0]} to ${delays[1]} s, expected two numbers in order`);
  }
  if (!Number.isFinite(offset)) throw new RangeError(`offset is ${offset}, expected decibels`);
  const gain = 10 ** (offset / 20);
  const rows = survey.positions.flatMap((_, i) => (hasPhase(survey, i) ? [i] : []));
  if (rows.length === 0) {
    throw new RangeError(
      `survey "${survey.name}" has no phase anywhere: alignment needs a measurement with phase`,
    );
  }
  const everyone = everyoneIn(survey, rows, options.weights);
  const wanted = options.at ? pointWeights(survey, rows, options.at) : everyone;
  const overlap = options.band
    ? undefined
    : overlapOf(survey, rows, options.at ? [wanted, everyone] : [everyone], { gain, filters });
  const band = overlap ?? checkedBand(options.band as readonly [number, number]);
  const cross = crossSpectrum(survey, rows, band, { gain, filters, coherenceLimit });
  const grid = delayGrid(delays, 1 / (32 * band.upper));
  const signs = polarity === "both" ? ([1, -1] as const) : ([polarity] as const);
  const { own, costs, atStake } = sweep(cross, wanted, everyone, grid, signs);
  const describe = (delay: number, sign: 1 | -1) => choiceAt(cross, delay, sign, wanted, everyone, own);
  const dips = signs.flatMap((sign, k) =>
    localBest(cross, wanted, grid, sign, costs[k]).map((delay) => describe(delay, sign)),
  );
  const choices = leastDelayFirst(dips).slice(0, 6);
  const result: Omit<AlignmentResult, "reasons"> = {
    survey: survey.name,
    for: options.at ?? "audience",
    band_hz: [band.lower, band.upper],
    crossover_hz: overlap?.crossover ?? null,
    positions: rows.map((i) => survey.positions[i].id),
    choices,
    current: describe(0, 1),
    own: own.map(({ delay, sign, loss }) => ({ delay_ms: delay * 1000, polarity: sign, loss_db: loss })),
    atStake,
  };
  return {
    ...result,
    reasons: alignmentReasons(result, {
      withoutPhase: survey.positions.length - rows.length,
      fillsWithoutPhase: rows.filter((i) => survey.fills?.[i].magnitudeOnly).length,
    }),
  };
}

/**
 * Best first; but of choices within a tenth of a decibel of the best, the one with the least delay: a period more or
 * less hardly shows in the level of the sum, and smears every beat.
 */
function leastDelayFirst(choices: readonly AlignmentChoice[]): AlignmentChoice[] {
  const least = Math.min(...choices.map((c) => c.loss_db));
  const near = (c: AlignmentChoice) => c.loss_db <= least + 0.1;
  const byDelay = (a: AlignmentChoice, b: AlignmentChoice) => Math.abs(a.delay_ms) - Math.abs(b.delay_ms);
  const byLoss = (a: AlignmentChoice, b: AlignmentChoice) => a.loss_db - b.loss_db;
  return [...choices.filter(near).sort(byDelay), ...choices.filter((c) => !near(c)).sort(byLoss)];
}

/** The overlap at the first positions that have one: where one position's mains and subs don't meet, those of all do. */
function overlapOf(
  survey: Survey,
  rows: readonly number[],
  [first, ...others]: readonly Float64Array[],
  options: OverlapOptions,
): Overlap {
  const weights = new Float64Array(survey.positions.length);
  rows.forEach((i, row) => {
    weights[i] = first[row];
  });
  try {
    return overlapBand(survey, weights, options);
  } catch (error) {
    if (others.length === 0 || !(error instanceof RangeError)) throw error;
    return overlapOf(survey, rows, others, options);
  }
}

interface Own {
  readonly delay: number;
  readonly sign: 1 | -1;
  readonly loss: number;
}

/** Sum below the in-phase sum, dB, kept below 100 so that a full cancellation stays a number. */
function lossOf(cross: CrossSpectrum, row: number, sign: number, help: number): number {
  const ideal = cross.ideal[row];
  if (!(ideal > 0)) return 0;
  const sum = cross.mains[row] + cross.subs[row] + 2 * sign * help;
  return Math.max(0, -10 * Math.log10(Math.max(sum / ideal, 1e-10)));
}

function meanLoss(cross: CrossSpectrum, weights: Float64Array, sign: number, help: Float64Array): number {
  let sum = 0;
  for (let row = 0; row < cross.rows; row++) {
    if (weights[row] > 0) sum += weights[row] * lossOf(cross, row, sign, help[row]);
  }
  return sum;
}

/** Delays from end to end, no farther apart than a step, seconds. */
function delayGrid([from, to]: readonly [number, number], step: number): Float64Array {
  const count = Math.max(1, Math.ceil((to - from) / step));
  return Float64Array.from({ length: count + 1 }, (_, i) => from + ((to - from) * i) / count);
}

/** Every delay once: what each position would have for itself, the mean loss for either polarity, what the setting may change. */
function sweep(
  cross: CrossSpectrum,
  weights: Float64Array,
  everyone: Float64Array,
  grid: Float64Array,
  signs: readonly (1 | -1)[],
): { own: Own[]; costs: Float64Array[]; atStake: AlignmentResult["atStake"] } {
  const help = new Float64Array(cross.rows);
  const delay = new Float64Array(cross.rows);
  const most = new Float64Array(cross.rows).fill(Number.NEGATIVE_INFINITY);
  const least = new Float64Array(cross.rows).fill(Number.POSITIVE_INFINITY);
  const sign = new Int8Array(cross.rows).fill(signs[0]);
  const costs = signs.map(() => new Float64Array(grid.length));
  const ofAll = weights === everyone ? costs : signs.map(() => new Float64Array(grid.length));
  grid.forEach((tau, i) => {
    interference(cross, tau, help);
    signs.forEach((s, k) => {
      costs[k][i] = meanLoss(cross, weights, s, help);
      if (ofAll !== costs) ofAll[k][i] = meanLoss(cross, everyone, s, help);
      for (let row = 0; row < cross.rows; row++) {
        least[row] = Math.min(least[row], s * help[row]);
        if (s * help[row] > most[row] + 1e-12 * cross.ideal[row]) {
          most[row] = s * help[row];
          delay[row] = tau;
          sign[row] = s;
        }
      }
    });
  });
  const own = Array.from(delay, (tau, row) => ({
    delay: tau,
    sign: sign[row] as 1 | -1,
    loss: lossOf(cross, row, 1, most[row]),
  }));
  const between = (losses: readonly Float64Array[]) => {
    let [best, worst] = [Number.POSITIVE_INFINITY, 0];
    for (const line of losses) {
      for (const loss of line) {
        best = Math.min(best, loss);
        worst = Math.max(worst, loss);
      }
    }
    return worst - best;
  };
  const apart = own.map(({ loss }, row) => lossOf(cross, row, 1, least[row]) - loss);
  return {
    own,
    costs,
    atStake: { for_db: between(costs), audience_db: between(ofAll), onePosition_db: median(apart) },
  };
}

/** Delays at which the mean loss has a dip, refined. */
function localBest(
  cross: CrossSpectrum,
  weights: Float64Array,
  grid: Float64Array,
  sign: 1 | -1,
  costs: Float64Array,
): number[] {
  const help = new Float64Array(cross.rows);
  const cost = (delay: number) => meanLoss(cross, weights, sign, interference(cross, delay, help));
  const last = grid.length - 1;
  const dips: number[] = [];
  for (let i = 0; i <= last; i++) {
    const left = Math.max(0, i - 1);
    const right = Math.min(last, i + 1);
    if (costs[i] > costs[left] || costs[i] > costs[right] || (i > 0 && costs[i] === costs[left])) continue;
    const { x } = minimise(cost, grid[left], grid[right], grid[right] - grid[left] || 1, 1e-8);
    dips.push(x);
  }
  return dips;
}

function choiceAt(
  cross: CrossSpectrum,
  delay: number,
  sign: 1 | -1,
  wanted: Float64Array,
  everyone: Float64Array,
  own: readonly Own[],
): AlignmentChoice {
  const help = interference(cross, delay, new Float64Array(cross.rows));
  const loss = Array.from(help, (h, row) => lossOf(cross, row, sign, h));
  let within = 0;
  loss.forEach((l, row) => {
    if (l <= 3) within += everyone[row];
  });
  return {
    delay_ms: delay * 1000,
    polarity: sign,
    loss_db: meanLoss(cross, wanted, sign, help),
    audienceLoss_db: meanLoss(cross, everyone, sign, help),
    within3dB_fraction: Math.min(1, within),
    positionLoss_db: loss,
    positionCost_db: loss.map((l, row) => Math.max(0, l - own[row].loss)),
    phase_deg: loss.map((_, row) => meanPhase(cross, row, delay, sign)),
  };
}

/** Phase of the cross spectrum summed over the band: its parts weigh as much as they do in the sum. */
function meanPhase(cross: CrossSpectrum, row: number, delay: number, sign: 1 | -1): number {
  const n = cross.frequency.length;
  const by = delayFactor(cross.frequency, -delay, sign);
  let re = 0;
  let im = 0;
  for (let k = 0, at = row * n; k < n; k++, at++) {
    re += cross.re[at] * by.re[k] - cross.im[at] * by.im[k];
    im += cross.re[at] * by.im[k] + cross.im[at] * by.re[k];
  }
  return re === 0 && im === 0 ? 0 : (180 / Math.PI) * Math.atan2(im, re);
}

function everyoneIn(
  survey: Survey,
  rows: readonly number[],
  weights: ArrayLike<number> | undefined,
): Float64Array {
  const people = hasAudience(survey) || weights !== undefined;
  const all = audienceWeights(survey, people ? weights : survey.positions.map(() => 1));
  const inRows = Float64Array.from(rows, (i) => all[i]);
  const total = inRows.reduce((sum, x) => sum + x, 0);
  if (!(total > 0)) {
    throw new RangeError(
      "no position with a phase stands for any people: alignment needs a measurement with phase",
    );
  }
  return inRows.map((x) => x / total);
}

function pointWeights(survey: Survey, rows: readonly number[], ids: readonly string[]): Float64Array {
  if (ids.length === 0) throw new RangeError("at is empty, expected ids of positions to align for");
  const weights = new Float64Array(rows.length);
  for (const id of ids) {
    const i = survey.positions.findIndex((p) => p.id === id);
    if (i < 0) throw new RangeError(`at names "${id}", which survey "${survey.name}" does not have`);
    const row = rows.indexOf(i);
    if (row < 0)
      throw new RangeError(`the response at "${id}" has no phase: alignment needs a measurement with phase`);
    weights[row] = 1 / ids.length;
  }
  return weights;
}

function checkedBand(band: readonly [number, number]): { lower: number; upper: number } {
  if (!(band[0] > 0 && band[1] > band[0])) {
    throw new RangeError(`band is ${band[0]} to ${band[1]} Hz, expected two positive frequencies in order`);
  }
  return { lower: band[0], upper: band[1] };
}
