/**
 * Offset, polarity and delay of the subs decided together: in the low band the three can't be told apart, since a
 * delay changes how far subs and mains help each other, and with it the level that the audience needs.
 */

import { type Minimum, minimise } from "../../numeric/search";
import type { Survey } from "../../survey/survey";
import { type DeviationForms, deviationForms, withDefaults } from "../balance/balance";
import { coveredThirdOctaves, span } from "../balance/band-powers";
import { voting } from "../balance/voting";
import type { Criterion } from "../offset/criterion";
import { levelOffset } from "../offset/offset";
import type { OffsetOptions, OffsetResult } from "../offset/result";
import { costIn, type SeatCosts, type SeatPhases, seatCosts } from "../offset/seat-costs";
import { type CrossSpectrum, crossSpectrum, hasPhase } from "./cross-spectrum";

export interface JointOptions extends Omit<OffsetOptions, "polarity" | "delay"> {
  /** Delays of the subs to search, seconds, positive is later. Default −0.01 to 0.01. */
  readonly delays?: readonly [number, number];
}

/** Plain data; every key carries its unit. */
export interface JointResult {
  /** Extra delay of the subs, positive is later. */
  readonly delay_ms: number;
  /** Polarity of the subs: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** The level offset with this delay and polarity. */
  readonly offset: OffsetResult;
  /** Cost with the best offset, delay and polarity as measured, dB. */
  readonly currentCost_db: number;
  /** Other dips of the cost, best first: settings worth a listen when they cost about the same. */
  readonly others: readonly JointChoice[];
  /** The decision and its limits, in sentences. */
  readonly reasons: readonly string[];
}

/** One setting of the subs, and what it costs. */
export interface JointChoice {
  /** Extra delay of the subs, positive is later. */
  readonly delay_ms: number;
  /** Polarity of the subs: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** The level offset that suits it best. */
  readonly offset_db: number;
  /** Mean, root mean square or largest deviation then, after the criterion. */
  readonly cost_db: number;
}

/**
 * Level offset, polarity and delay of the subs that together suit the audience.
 *
 * In the low band the three can't be told apart, since a delay changes how far subs and mains help each other, and with it the
 * level that the audience needs. Coarse: twelve delays per period of the low band's upper edge, two decibels per step of the
 * offset. Fine: golden section over the delay in the best dips, with the offset searched inside.
 *
 * @param survey  measured with phase, or modelled
 * @param options  as for `decide.offset`, and the delays to search, seconds
 * @returns the setting (delay in milliseconds), its level offset in dB, and other settings that come near; as measured where
 *   nothing gains a tenth of a decibel
 * @throws RangeError as `decide.offset` does, and when no position has a phase
 * @source own way, no outside source; check: tests/decision/alignment/joint.test.ts, against trying everything
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const survey = predict.survey(hall, venues.seats(hall, { count: 12 }), { order: 0 });
 * const { delay_ms, polarity, offset } = decide.jointOffset(survey, { delays: [0, 0.008] });
 * offset.offset_db
 */
export function jointOffset(survey: Survey, options: JointOptions = {}): JointResult {
  const { delays = defaultDelays } = options;
  const asItIs = levelOffset(survey, options);
  const found = searchTogether(survey, options);
  const worthIt = found[0].cost_db < asItIs.cost_db - WORTH;
  const unchanged: JointChoice = {
    delay_ms: 0,
    polarity: 1,
    offset_db: asItIs.offset_db,
    cost_db: asItIs.cost_db,
  };
  const [best, ...others] = worthIt ? found : [unchanged, ...found];
  const setting = { delay: best.delay_ms / 1000, polarity: best.polarity };
  const offset = worthIt ? levelOffset(survey, { ...options, ...setting }) : asItIs;
  const atEnd = Math.min(setting.delay - delays[0], delays[1] - setting.delay) < 1e-4;
  return {
    delay_ms: best.delay_ms,
    polarity: best.polarity,
    offset,
    currentCost_db: asItIs.cost_db,
    others,
    reasons: [
      worthIt
        ? `With the subs ${best.delay_ms >= 0 ? "later" : "earlier"} by ${Math.abs(best.delay_ms).toFixed(2)} ms${best.polarity === 1 ? "" : " and inverted"} the best offset costs ${best.cost_db.toFixed(1)} dB, compared with ${asItIs.cost_db.toFixed(1)} dB as measured.`
        : `No delay or polarity evens out the low band by more than ${WORTH} dB: leave both as measured.`,
      ...(atEnd
        ? ["The best delay lies at an end of the range searched: a longer one may be better still."]
        : []),
      "This judges the evenness of the low band alone: check the crossover for this setting before using it.",
      ...offset.reasons,
    ],
  };
}

/** A delay that gains less than this is not worth its smear, dB. */
const WORTH = 0.1;

const defaultDelays = [-0.01, 0.01] as const;

/**
 * The search alone, without what a report needs.
 *
 * @param survey  measured with phase, or modelled
 * @param options  as for `jointOffset`
 * @returns settings, best first
 */
export function searchTogether(survey: Survey, options: JointOptions = {}): JointChoice[] {
  const { delays = defaultDelays, criterion = "least mean square", range = [-30, 30] } = options;
  if (!(Number.isFinite(delays[0]) && Number.isFinite(delays[1]) && delays[0] <= delays[1])) {
    throw new RangeError(`delays is ${delays[0]} to ${delays[1]} s, expected two numbers in order`);
  }
  const task = prepare(survey, options, criterion, range);
  // A sample of the seats finds where the dips are; all seats then decide among the best.
  const few = sample(task, 400);
  const dips = coarseDips(few, delays).slice(0, 6);
  const near = distinct(dips.map((dip) => refine(few, dip, delays)).sort((a, b) => a.cost_db - b.cost_db));
  const fine = near.slice(0, 3).map((choice) => refine(task, asDip(choice), delays));
  return distinct(fine.sort((a, b) => a.cost_db - b.cost_db));
}

interface Task {
  readonly forms: DeviationForms;
  readonly weights: Float64Array;
  readonly phases: SeatPhases;
  readonly costs: SeatCosts;
  readonly criterion: Criterion;
  readonly range: readonly [number, number];
}

function prepare(
  survey: Survey,
  options: JointOptions,
  criterion: Criterion,
  range: readonly [number, number],
): Task {
  const { lowBand, targetTilt, coherenceLimit } = withDefaults(options);
  const all = voting(survey, lowBand, coherenceLimit, options.weights).weights;
  const seats = survey.positions.map((_, i) => i).filter((i) => all[i] > 0);
  const forms = deviationForms(survey, options);
  const low = span(coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band"));
  const heard = seats.filter((i) => hasPhase(survey, i));
  if (heard.length === 0) {
    throw new RangeError(
      `survey "${survey.name}" has no phase where people are: a delay can't be decided on`,
    );
  }
  const pick = (x: Float64Array) => (seats.length === x.length ? x : Float64Array.from(seats, (i) => x[i]));
  const picked = { a: pick(forms.a), b: pick(forms.b), c: pick(forms.c), mid: pick(forms.mid) };
  const cross = crossSpectrum(survey, heard, low, { coherenceLimit });
  const phases = phasesOf(seats, heard, cross, picked.mid, 10 ** (targetTilt / 10));
  return taskOf(picked, pick(all), phases, criterion, range);
}

/** Rows of the seats in the unit of the forms; where there is no phase, nothing helps or hinders. */
function phasesOf(
  seats: readonly number[],
  heard: readonly number[],
  { frequency, re, im }: CrossSpectrum,
  mid: Float64Array,
  tilt: number,
): SeatPhases {
  const n = frequency.length;
  const out = { frequency, re: new Float64Array(seats.length * n), im: new Float64Array(seats.length * n) };
  let from = 0;
  seats.forEach((seat, i) => {
    if (seat !== heard[from / n]) return;
    const scale = 1 / (mid[i] * tilt);
    for (let k = i * n; k < (i + 1) * n; k++, from++) {
      out.re[k] = scale * re[from];
      out.im[k] = scale * im[from];
    }
  });
  return out;
}

function taskOf(
  forms: DeviationForms,
  weights: Float64Array,
  phases: SeatPhases,
  criterion: Criterion,
  range: readonly [number, number],
): Task {
  return { forms, weights, phases, costs: seatCosts(forms, weights, { phases }), criterion, range };
}

function bestAt(
  task: Task,
  delay: number,
  sign: 1 | -1,
  range: readonly [number, number],
  step: number,
  tolerance: number,
): Minimum {
  task.costs.delay(delay, sign);
  return minimise((offset) => task.costs.of(offset, task.criterion), range[0], range[1], step, tolerance);
}

interface Dip {
  readonly delay: number;
  readonly sign: 1 | -1;
  readonly offset: number;
  readonly cost: number;
  /** How far from here the best may lie, seconds and decibels. */
  readonly step: number;
  readonly reach: number;
}

function coarseDips(task: Task, delays: readonly [number, number]): Dip[] {
  const upper = task.phases.frequency[task.phases.frequency.length - 1];
  const count = Math.max(1, Math.ceil((delays[1] - delays[0]) * 12 * upper));
  const step = (delays[1] - delays[0]) / count;
  const dips: Dip[] = [];
  for (const sign of [1, -1] as const) {
    const line: Dip[] = [];
    for (let i = 0; i <= count; i++) {
      const delay = delays[0] + i * step;
      task.costs.delay(delay, sign);
      line.push({ delay, sign, step, reach: 3, ...coarseOffset(task) });
    }
    line.forEach((dip, i) => {
      const left = line[i - 1]?.cost ?? Number.POSITIVE_INFINITY;
      const right = line[i + 1]?.cost ?? Number.POSITIVE_INFINITY;
      if (dip.cost <= left && dip.cost < right) dips.push(dip);
    });
  }
  return dips.sort((a, b) => a.cost - b.cost);
}

function coarseOffset(task: Task): { offset: number; cost: number } {
  let best = { offset: task.range[0], cost: Number.POSITIVE_INFINITY };
  for (let offset = task.range[0]; offset <= task.range[1]; offset += 2) {
    const cost = costIn(task.costs.sums(offset), task.criterion);
    if (cost < best.cost) best = { offset, cost };
  }
  return best;
}

function refine(task: Task, dip: Dip, delays: readonly [number, number]): JointChoice {
  const near: [number, number] = [
    Math.max(task.range[0], dip.offset - dip.reach),
    Math.min(task.range[1], dip.offset + dip.reach),
  ];
  const from = Math.max(delays[0], dip.delay - dip.step);
  const to = Math.min(delays[1], dip.delay + dip.step);
  // The cost is flat around its best offset, so a hundredth of a decibel is exact enough to compare delays by.
  const { x: delay } = minimise(
    (d) => bestAt(task, d, dip.sign, near, 2, 1e-2).cost,
    from,
    to,
    Math.max(to - from, 1e-9) / 2,
    1e-5,
  );
  const { x, cost } = bestAt(task, delay, dip.sign, near, 0.5, 1e-4);
  return { delay_ms: delay * 1000, polarity: dip.sign, offset_db: x, cost_db: cost };
}

/** Where to look on with all seats: those of the sample may want a little more or less. */
function asDip(choice: JointChoice): Dip {
  return {
    delay: choice.delay_ms / 1000,
    sign: choice.polarity,
    offset: choice.offset_db,
    cost: choice.cost_db,
    step: 2e-4,
    reach: 1,
  };
}

/** A task of at most so many of its seats, spread over all of them without the rhythm of rows. */
function sample(task: Task, most: number): Task {
  const { forms, weights, phases } = task;
  const n = weights.length;
  if (n <= most) return task;
  const columns = phases.frequency.length;
  const golden = (Math.sqrt(5) - 1) / 2;
  const chosen = [...new Set(Array.from({ length: most }, (_, k) => Math.floor(((k * golden) % 1) * n)))];
  const seats = (x: Float64Array) => Float64Array.from(chosen, (i) => x[i]);
  const lines = (x: Float64Array) => {
    const out = new Float64Array(chosen.length * columns);
    chosen.forEach((i, k) => {
      out.set(x.subarray(i * columns, (i + 1) * columns), k * columns);
    });
    return out;
  };
  const some = { a: seats(forms.a), b: seats(forms.b), c: seats(forms.c), mid: seats(forms.mid) };
  const shares = seats(weights);
  const total = shares.reduce((sum, w) => sum + w, 0);
  return taskOf(
    some,
    shares.map((w) => w / total),
    { frequency: phases.frequency, re: lines(phases.re), im: lines(phases.im) },
    task.criterion,
    task.range,
  );
}

/** Dips that ran into the same place count once. */
function distinct(choices: readonly JointChoice[]): JointChoice[] {
  return choices.filter(
    (c, i) =>
      !choices.slice(0, i).some((d) => d.polarity === c.polarity && Math.abs(d.delay_ms - c.delay_ms) < 0.05),
  );
}
