/** Mains, subs and their sum at one place over frequency, beside the in-phase sum and the phase between them. */
import { filterResponse } from "../../acoustics/filters/response";
import { mainsWithFills } from "../../survey/mains-with-fills";
import type { Survey } from "../../survey/survey";
import { FLOOR_DB } from "../balance/balance";
import { hasPhase } from "./cross-spectrum";
import type { AlignmentOptions } from "./result";

/** Plain data; levels in dB re 20 µPa for pressure, re 1 for ratios. */
export interface CrossoverSum {
  /** Id of the position. */
  readonly position: string;
  /** The survey's frequencies, in the order of every list below. */
  readonly frequency_hz: readonly number[];
  /** The mains with fills and filters. */
  readonly mains_db: readonly number[];
  /** The subs as set. */
  readonly subs_db: readonly number[];
  /** Both, by amplitude and phase. */
  readonly sum_db: readonly number[];
  /** Both in phase at every frequency. */
  readonly inPhase_db: readonly number[];
  /** Phase of the mains less that of the subs, −180…180°. */
  readonly phase_deg: readonly number[];
}

/**
 * Mains, subs and their sum over frequency at one position for a setting of the subs, beside the in-phase sum and the phase
 * between them.
 *
 * @param survey  a survey with phase at the position
 * @param id  of the position
 * @param options  delay in seconds (positive is later), polarity, offset in dB, filters on either side
 * @returns levels, dB re 20 µPa (re 1 for a survey of ratios), and phase, degrees, at each of the survey's frequencies
 * @throws RangeError when the survey lacks the position or its phase
 * @source sum of two phasors; check: tests/decision/alignment/alignment.test.ts
 * @example
 * const frequency = acoustics.bands.grid(20, 2000, 200);
 * const flat = { frequency, ...acoustics.filters.response({ kind: "gain", gain: 0 }, frequency) };
 * const [position] = venues.positions(read.venue("ombrik-cellar"));
 * const survey = measure.survey([{ position, mains: flat, subs: flat }]);
 * decide.crossoverSum(survey, position.id).sum_db[0] // 6.02
 */
export function crossoverSum(
  survey: Survey,
  id: string,
  options: Pick<AlignmentOptions, "offset" | "filters"> & {
    /** Extra delay of the subs, seconds, positive is later. Default 0. */
    readonly delay?: number;
    /** Polarity of the subs: 1 (default) as measured, −1 inverted. */
    readonly polarity?: 1 | -1;
  } = {},
): CrossoverSum {
  const { delay = 0, polarity = 1, offset = 0, filters = {} } = options;
  const i = survey.positions.findIndex((p) => p.id === id);
  if (i < 0) throw new RangeError(`survey "${survey.name}" has no position "${id}"`);
  if (!hasPhase(survey, i)) throw new RangeError(`the response at "${id}" has no phase: a sum needs one`);
  const { frequency } = survey;
  const onMains = filterResponse(filters.mains ?? [], frequency);
  const onSubs = filterResponse(
    [
      ...(filters.subs ?? []),
      { kind: "delay", delay },
      { kind: "polarity", polarity },
      { kind: "gain", gain: offset },
    ],
    frequency,
  );
  const reference = survey.quantity === "pressure" ? 20e-6 : 1;
  const level = (re: number, im: number) =>
    Math.max(FLOOR_DB, 20 * Math.log10(Math.max(Math.hypot(re, im) / reference, 1e-20)));
  const mains = mainsWithFills(survey, i);
  const rows = Array.from(frequency, (_, k) => {
    const a = mains.re[k];
    const b = mains.im[k];
    const m = { re: a * onMains.re[k] - b * onMains.im[k], im: a * onMains.im[k] + b * onMains.re[k] };
    const c = survey.subs[i].re[k];
    const d = survey.subs[i].im[k];
    const s = { re: c * onSubs.re[k] - d * onSubs.im[k], im: c * onSubs.im[k] + d * onSubs.re[k] };
    return {
      mains: level(m.re, m.im),
      subs: level(s.re, s.im),
      sum: level(m.re + s.re, m.im + s.im),
      ideal: level(Math.hypot(m.re, m.im) + Math.hypot(s.re, s.im), 0),
      phase: (180 / Math.PI) * Math.atan2(m.im * s.re - m.re * s.im, m.re * s.re + m.im * s.im),
    };
  });
  return {
    position: id,
    frequency_hz: Array.from(frequency),
    mains_db: rows.map((r) => r.mains),
    subs_db: rows.map((r) => r.subs),
    sum_db: rows.map((r) => r.sum),
    inPhase_db: rows.map((r) => r.ideal),
    phase_deg: rows.map((r) => r.phase),
  };
}
