/**
 * A study as JSON: plain numbers with their units in the keys, documented by data/study-result.schema.json.
 *
 * Decibels are rounded to thousandths, which is finer than any ear or microphone.
 */

import type { Calibration } from "../decision/calibration/result";
import type { ExplainedDip } from "../decision/dips/causes";
import type { LayoutComparison } from "../decision/layouts/compare-result";
import { targetLevelReason } from "../decision/offset/target-level";
import type { Interval } from "../estimate/interval";
import { DIFFUSE_SPREAD } from "../field/room/diffuse";
import type { MicrophoneMatch } from "../measurement/health/microphones";
import type { ShowAnswer, SubsSetting } from "./answer";
import type { Findings } from "./findings";
import { type Fitness, fitnessOf } from "./fitness";
import type { FoundDelay } from "./measure-take";
import type { Study } from "./study";
import type { Verification } from "./verification/result";
import type { WalkResult } from "./walk";

export const resultFormat = "evenground study 1";

export interface StudyResult {
  readonly format: typeof resultFormat;
  readonly made_at: string;
  readonly versions: Readonly<Record<string, string>>;
  readonly show: {
    readonly name: string;
    readonly file: string;
    readonly notes?: string;
    readonly measured_by?: string;
    readonly measured_on?: string;
  };
  readonly venue: { readonly name: string; readonly story: string; readonly people: number };
  readonly microphones: readonly MicrophoneResult[];
  readonly delays: readonly DelayResultRow[];
  /** What is decided for every seat from drawing and microphones together, with 90 % intervals. */
  readonly answer: FindingsResult & {
    /** What to change of the subs beside their level. */
    readonly setting: SubsSetting;
    /** Lower and upper end. */
    readonly intervals: { readonly [K in keyof ShowAnswer["intervals"]]: readonly [number, number] };
    readonly heard_count: number;
    /** How the subs played relative to the venue file. */
    readonly played: SubsSetting;
  };
  /** Whether the answer is fit for use, and why. */
  readonly fitness: Fitness;
  /** Behind the answer: the microphones by themselves, each for the people nearest to it. Absent where fewer than two could be used. */
  readonly measured?: FindingsResult;
  /** Behind the answer: the drawing by itself, at every seat. */
  readonly model: FindingsResult;
  /** Dips at the microphones (without a measurement: at the venue's named positions) and their causes. */
  readonly dips: readonly ExplainedDip[];
  /** Behind the answer: the drawing's few uncertain values fitted to the microphones; absent without a measurement. */
  readonly calibration?: Omit<Calibration, "venue">;
  /** Levels along walks, where they part, and where to stop. */
  readonly walks: readonly WalkResult[];
  /** The same subs in other positions; absent where there are none. */
  readonly layouts?: LayoutComparison;
  /** Whether the result was reached once the setting had been entered; absent where nothing was recorded since. */
  readonly verification?: Verification;
  readonly problems: readonly string[];
  readonly warnings: readonly string[];
  readonly assumptions: readonly string[];
  readonly cautions: readonly string[];
}

export interface MicrophoneResult {
  readonly channel: number;
  readonly pass: boolean;
  readonly level_db: number;
  readonly polarity: 1 | -1;
  readonly delay_ms: number;
  readonly phase_deg: number;
  readonly faults: readonly string[];
}

export interface DelayResultRow {
  readonly position: string;
  readonly playing: string;
  readonly delay_ms: number;
  readonly uncertainty_ms: number;
  /** By the drawing and the delay that all positions have in common; null for subs, and where too few positions tell. */
  readonly expected_ms: number | null;
  readonly given_by_user: boolean;
  /** The next candidate; null where nothing else stands out of the noise. */
  readonly second_delay_ms: number | null;
  /** How far the second lies below the first, dB. */
  readonly second_strength_db: number | null;
}

/** Findings of one survey. Lists with one entry for each position are empty where there are more than 100 of them. */
export type FindingsResult = Omit<Findings, "survey"> & {
  readonly survey: string;
  readonly positions_count: number;
};

/**
 * The result of a study as plain data, ready to be written as JSON: each key carries its unit, numbers are rounded to
 * thousandths.
 *
 * Lists with an entry for each position stay empty where there are more than 100 positions.
 *
 * @param study  from `studies.run`
 * @param made  when, and with which versions
 * @returns the result, as data/study-result.schema.json describes it
 * @source own way, no outside source; check: tests/study/study.test.ts
 * @example
 * const made = { at: new Date().toISOString(), versions: { node: process.version } };
 * const resultOf = (folder: string) => studies.result(studies.run(read.show(folder)), made);
 */
export function studyResult(
  study: Study,
  made: {
    /** Date and time, such as "2031-05-04T16:20:00Z"; written as it is given. */
    readonly at: string;
    /** Of the programs that made it, by their names. */
    readonly versions: Readonly<Record<string, string>>;
  },
): StudyResult {
  const { show, measurement, measured, model } = study;
  const { name, notes, measuredBy, measuredOn } = show.file;
  const result: Omit<StudyResult, "fitness"> = {
    format: resultFormat,
    made_at: made.at,
    versions: made.versions,
    show: {
      name,
      file: show.fileName,
      ...(notes !== undefined && { notes }),
      ...(measuredBy !== undefined && { measured_by: measuredBy }),
      ...(measuredOn !== undefined && { measured_on: measuredOn }),
    },
    venue: {
      name: show.venue.name,
      story: show.venue.story,
      people: Math.round(model.survey.positions.reduce((sum, p) => sum + p.people, 0)),
    },
    microphones: measurement.microphones.map(microphone),
    delays: measurement.delays.map(delayRow),
    answer: {
      ...findingsResult(study.answer),
      intervals: {
        offset_db: ends(study.answer.intervals.offset_db),
        within3dB_fraction: ends(study.answer.intervals.within3dB_fraction),
        frontToBack_db: ends(study.answer.intervals.frontToBack_db),
      },
    },
    ...(measured && { measured: findingsResult(measured) }),
    model: findingsResult(model),
    dips: study.dips,
    ...(study.calibration && { calibration: behindTheAnswer(study.calibration) }),
    walks: study.walks,
    ...(study.layouts && { layouts: study.layouts }),
    ...(study.verification && { verification: study.verification }),
    problems: measurement.problems,
    warnings: measurement.warnings,
    assumptions: assumptions(study),
    cautions,
  };
  return rounded({ ...result, fitness: fitnessOf(result) }) as StudyResult;
}

/** What every report about levels must carry. */
export const cautions: readonly string[] = [
  "Loud sound harms hearing. Keep the level at the front row within what local law and the venue allow, and measure it.",
  "Loudspeakers overhead are hung, moved and turned by qualified people only, by the local rules.",
  "A model is no substitute for measuring and listening.",
];

function assumptions({ show, measured, model }: Study): string[] {
  const { temperature, relativeHumidity } = show.venue.air;
  return [
    `Air of ${temperature} °C and ${relativeHumidity} % relative humidity.`,
    `Target: ${model.offset.targetTilt_db} dB more in the low band than in the mid band. ${targetLevelReason(model.offset.targetLevel_db)}`,
    "The model knows the venue file's flat surfaces and cabinets and nothing else: no furniture, no people standing up.",
    ...(show.venue.room
      ? [
          `Of the room it knows how much is absorbed, not how much is scattered: from 250 Hz to 4 kHz the mains may be ${DIFFUSE_SPREAD.level} dB louder or softer than it says, and fall ${DIFFUSE_SPREAD.slope} dB more or less from the nearest to the farthest seat (one standard deviation, from ray tracing of boxes).`,
        ]
      : []),
    ...(measured
      ? [
          "Between the microphones each seat is as drawn, corrected by what they heard as far as that carries.",
        ]
      : []),
  ];
}

/** Without its first reason, which tells the offset of the fitted drawing: that is not what is recommended. */
function behindTheAnswer({ venue: _venue, reasons, ...rest }: Calibration): Omit<Calibration, "venue"> {
  return { ...rest, reasons: reasons.slice(1) };
}

const ends = ({ lower, upper }: Interval): [number, number] => [lower, upper];

const microphone = (m: MicrophoneMatch): MicrophoneResult => ({
  channel: m.channel,
  pass: m.pass,
  level_db: m.level,
  polarity: m.polarity,
  delay_ms: 1000 * m.delay,
  phase_deg: m.phase,
  faults: m.faults,
});

function delayRow({ position, playing, result, expected }: FoundDelay): DelayResultRow {
  const { chosen, candidates, manual } = result;
  const second = candidates.find((c) => c.time !== chosen.time);
  return {
    position,
    playing,
    delay_ms: 1000 * chosen.time,
    uncertainty_ms: 1000 * chosen.uncertainty,
    expected_ms: expected === undefined ? null : 1000 * expected,
    given_by_user: manual,
    second_delay_ms: second ? 1000 * second.time : null,
    second_strength_db: second ? second.strength : null,
  };
}

/** Beyond this many positions, lists with an entry for each would bury the answers: they stay empty. */
const MOST_POSITIONS = 100;

function findingsResult<F extends Findings>(findings: F): Omit<F, "survey"> & FindingsResult {
  const { survey, ranking, ...rest } = findings;
  const count = survey.positions.length;
  const all = { ...rest, survey: survey.name, positions_count: count };
  // Whom the ranking is for is many; where the mix engineer may stand is few, and each of them is an answer.
  return {
    ...((count <= MOST_POSITIONS ? all : withoutPositions(all)) as Omit<F, "survey"> & FindingsResult),
    ...(ranking && { ranking }),
  };
}

const PER_POSITION = new Set([
  "level_db",
  "preferredAt",
  "positions",
  "own",
  "positionLoss_db",
  "positionCost_db",
  "phase_deg",
]);

/** The same with those lists emptied that have one entry for each position. */
function withoutPositions(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutPositions);
  if (value === null || typeof value !== "object") return value;
  const kept = ([key, v]: [string, unknown]) =>
    PER_POSITION.has(key) && Array.isArray(v) ? [key, []] : [key, withoutPositions(v)];
  return Object.fromEntries(Object.entries(value).map(kept));
}

function rounded(value: unknown): unknown {
  if (typeof value === "number") return Number.isFinite(value) ? Math.round(value * 1000) / 1000 : null;
  if (ArrayBuffer.isView(value)) return Array.from(value as Float64Array, rounded);
  if (Array.isArray(value)) return value.map(rounded);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([key, v]) => [key, rounded(v)]));
}
