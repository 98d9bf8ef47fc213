/**
 * The measured survey: positions with what the mains, the subs and both together do there, on common frequencies and checked.
 */
import { power, type Response } from "../acoustics/response";
import type { Position, Survey } from "../survey/survey";
import { moreLevel } from "../text/more-level";
import { checkSum, type SumCheck, type SumCheckOptions } from "./health/sum-check";
import { coherentPart } from "./transfer/coherence-limit";
import { type InterpolationOptions, interpolateResponse } from "./transfer/interpolate";
import { logWidths } from "./transfer/log-width";

/** What was measured at one position. */
export interface PositionMeasurement {
  /** Where the microphone stood, and how many people it stands for. */
  readonly position: Position;
  /** The mains alone. */
  readonly mains: Response;
  /** The subs alone. */
  readonly subs: Response;
  /** Front fills and delays, where they were measured apart from the mains. */
  readonly fills?: Response;
  /** Everything playing together, for the check that it is the sum of its parts. */
  readonly both?: Response;
}

export interface MeasuredSurveyOptions extends SumCheckOptions {
  /** Where it was measured, in words for captions. Default "measured". */
  readonly name?: string;
  /** "ratio" (default) for transfer functions, "pressure" for responses in pascals. */
  readonly quantity?: "ratio" | "pressure";
  /** Common frequencies, hertz, ascending. Default: those of the first position's mains. */
  readonly frequency?: Float64Array;
  /**
   * How responses are brought onto the common frequencies. By default a part whose points lie too far apart is kept, with
   * coherence 0 and a warning.
   */
  readonly interpolation?: InterpolationOptions;
  /** Data of less coherence carry no decision, 0…1; here they are only counted and shown. Default 0.5. */
  readonly coherenceLimit?: number;
}

/** A survey with what was found in putting it together. */
export interface MeasuredSurvey extends Survey {
  /** Whether both is the sum of mains and subs, one entry for each position where both was measured. */
  readonly checks: readonly SumCheck[];
  /** Stretches of too little coherence, one entry per response that has any. */
  readonly doubtful: readonly DoubtfulPart[];
  /** What a user should know before deciding; one sentence each, naming the position. */
  readonly warnings: readonly string[];
}

export interface DoubtfulPart {
  /** Id of the position. */
  readonly position: string;
  /** Which response. */
  readonly part: Part;
  /** Fraction that may be used of the frequencies, on a log axis, where the part is within 20 dB of its loudest, 0…1. */
  readonly usableFraction: number;
  /** Stretches of too little coherence, hertz. */
  readonly leftOut: readonly { readonly from: number; readonly to: number }[];
}

/**
 * Puts measurements at several positions together to a survey, on common frequencies and checked.
 *
 * Responses on other frequencies than the common ones are interpolated. Where mains and subs together aren't the sum of
 * the two, the survey is still made, and its check and a warning name the position and the likely cause.
 *
 * @param measurements  at least one position: responses to mains and subs, each a ratio or in pascals
 * @param options  name, unit of the responses, frequencies in hertz, limits
 * @returns the survey, with checks of the sum, stretches of too little coherence, and warnings
 * @throws RangeError naming the position and part, when an id is used twice, a value is no number, or a response
 *   can't be brought onto the common frequencies
 * @source own way, no outside source; check: tests/measurement/survey.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * const { positions, mains, subs } = predict.survey(hall, venues.positions(hall), { order: 0 });
 * const heard = positions.map((position, i) => ({ position, mains: mains[i], subs: subs[i] }));
 * const survey = measure.survey(heard.slice(0, 3), { quantity: "pressure" });
 * survey.mains.length // 3
 */
export function measuredSurvey(
  measurements: readonly PositionMeasurement[],
  options: MeasuredSurveyOptions = {},
): MeasuredSurvey {
  requirePositions(measurements);
  const frequency = options.frequency ?? measurements[0].mains.frequency;
  const onGrid = measurements.map((measurement) => ontoFrequencies(measurement, frequency, options));
  const checks = onGrid.flatMap(({ position, mains, subs, fills, both }) =>
    both ? [checkSum(position.id, fills ? [mains, fills] : [mains], subs, both, options)] : [],
  );
  const doubtful = onGrid.flatMap((entry) => doubtfulParts(entry, options.coherenceLimit ?? 0.5));
  const all = (part: "fills" | "both") =>
    onGrid.every((entry) => entry[part]) ? { [part]: onGrid.map((entry) => entry[part]!) } : {};
  return {
    name: options.name ?? "measured",
    quantity: options.quantity ?? "ratio",
    frequency,
    positions: onGrid.map((entry) => entry.position),
    mains: onGrid.map((entry) => entry.mains),
    subs: onGrid.map((entry) => entry.subs),
    ...all("fills"),
    ...all("both"),
    checks,
    doubtful,
    warnings: [
      ...onGrid.flatMap(coarseWarnings),
      ...onGrid.flatMap(phaseWarnings),
      ...missing(onGrid, "fills"),
      ...checks.flatMap((check) => (check.agrees === false ? [check.message] : [])),
      ...onGrid.flatMap(noiseWarnings),
    ],
  };
}

const parts = ["mains", "subs", "fills", "both"] as const;
type Part = (typeof parts)[number];

function requirePositions(measurements: readonly PositionMeasurement[]): void {
  if (measurements.length === 0)
    throw new RangeError("measurements is empty, expected at least one position");
  const seen = new Set<string>();
  measurements.forEach((measurement, m) => {
    const { id, people } = measurement.position;
    if (seen.has(id)) {
      throw new RangeError(`measurements[${m}].position.id is "${id}" again, expected a name of its own`);
    }
    seen.add(id);
    if (!(people >= 0 && people < Infinity)) {
      throw new RangeError(`position "${id}": people is ${people}, expected 0 or more`);
    }
    for (const part of parts) {
      const response = measurement[part];
      if (response) requireNumbers(response, `position "${id}", ${part}${fileOf(response)}`);
    }
  });
}

/** A response read from a file says which in what goes wrong with it. */
function fileOf(response: Response): string {
  return "file" in response && typeof response.file === "string" ? ` (${response.file})` : "";
}

function requireNumbers(response: Response, where: string): void {
  const n = response.frequency.length;
  for (const field of ["frequency", "re", "im", "diffuse", "coherence", "averages"] as const) {
    const values = response[field];
    if (!values) continue;
    if (values.length !== n || n === 0) {
      throw new RangeError(`${where}: ${field} has ${values.length} values, expected ${n || "some"}`);
    }
    const bad = values.findIndex((x) => !Number.isFinite(x));
    if (bad >= 0) {
      throw new RangeError(
        `${where}: ${field} at ${response.frequency[bad]} Hz is ${values[bad]}, expected a number; measure it again`,
      );
    }
  }
}

function ontoFrequencies(
  measurement: PositionMeasurement,
  frequency: Float64Array,
  { interpolation }: MeasuredSurveyOptions,
): PositionMeasurement {
  const move = (part: Part): Response | undefined => {
    const response = measurement[part];
    if (!response) return undefined;
    const same =
      response.frequency.length === frequency.length &&
      response.frequency.every((f, i) => f === frequency[i]);
    if (same) return { ...response, frequency };
    try {
      return interpolateResponse(response, frequency, { tooCoarse: "doubt", ...interpolation });
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw new RangeError(
        `position "${measurement.position.id}", ${part}${fileOf(response)}: ${error.message}`,
      );
    }
  };
  const fills = move("fills");
  const both = move("both");
  return {
    position: measurement.position,
    mains: move("mains")!,
    subs: move("subs")!,
    ...(fills && { fills }),
    ...(both && { both }),
  };
}

function doubtfulParts(measurement: PositionMeasurement, limit: number): DoubtfulPart[] {
  return parts.flatMap((part) => {
    const response = measurement[part];
    if (!response) return [];
    const { usable, leftOut } = coherentPart(response, limit);
    if (leftOut.length === 0) return [];
    const usableFraction = fractionWhereLoud(response, usable);
    return [{ position: measurement.position.id, part, usableFraction, leftOut }];
  });
}

/**
 * A fraction of the frequencies, on a log axis, where the response is within 20 dB of its loudest: subs hold no signal far above
 * their crossover, nor mains far below, and what is missing there is missed by nobody.
 */
function fractionWhereLoud(response: Response, usable: Uint8Array): number {
  const meanSquare = power(response);
  const loud = meanSquare.reduce((a, b) => Math.max(a, b)) / 100;
  const width = logWidths(response.frequency);
  let good = 0;
  let all = 0;
  meanSquare.forEach((p, i) => {
    if (p < loud) return;
    all += width[i];
    if (usable[i]) good += width[i];
  });
  return all > 0 ? good / all : 0;
}

function coarseWarnings({ position, ...measurement }: PositionMeasurement): string[] {
  return parts.flatMap((part) => {
    const response = measurement[part];
    if (!response || !("coarseFraction" in response) || response.coarseFraction === 0) return [];
    const fraction = (100 * (response.coarseFraction as number)).toFixed(0);
    return [
      `position "${position.id}": ${fraction} % of the frequencies of the ${part} lie between measured points too far apart to tell the phase, and carry no decision; measure on more frequencies`,
    ];
  });
}

function phaseWarnings({ position, ...measurement }: PositionMeasurement): string[] {
  return parts.flatMap((part) =>
    measurement[part]?.magnitudeOnly
      ? [
          `position "${position.id}": ${part} have no phase, so their sum can't be checked or aligned; measure with phase`,
        ]
      : [],
  );
}

function missing(measurements: readonly PositionMeasurement[], part: "fills"): string[] {
  const without = measurements.filter((entry) => !entry[part]);
  if (without.length === 0 || without.length === measurements.length) return [];
  return [
    `position "${without[0].position.id}": ${part} were not measured though they were elsewhere, so they are left out everywhere; measure them at every position`,
  ];
}

/**
 * Low coherence is noise, or reverberation beyond the window, which is as good a part of the level as any. Where the reverberant
 * part is known apart, what is left is noise; where it isn't, the two can't be told apart, and that is said.
 */
function noiseWarnings({ position, ...measurement }: PositionMeasurement): string[] {
  return parts.flatMap((part) => {
    const response = measurement[part];
    // Points too far apart carry no coherence either, and have their own warning.
    if (!response?.coherence || ("coarseFraction" in response && response.coarseFraction !== 0)) return [];
    const { re, im, coherence, diffuse } = response;
    const above = Uint8Array.from(re, (x, i) => {
      const coherent = x * x + im[i] * im[i];
      const known = coherent > 0 ? (coherence[i] * (coherent + (diffuse ? diffuse[i] : 0))) / coherent : 0;
      return known >= 0.5 ? 1 : 0;
    });
    const fraction = fractionWhereLoud(response, above);
    if (fraction >= 0.5) return [];
    const percent = `${(100 * fraction).toFixed(0)} % of the frequencies`;
    return [
      diffuse
        ? `position "${position.id}", ${part}: noise is as strong as the sound, or stronger, but for ${percent}; ${moreLevel}`
        : `position "${position.id}", ${part}: the coherence is 0.5 or more at ${percent} only, for noise or for reverberation, which its file can't tell apart; its level may be too low where the room is reverberant`,
    ];
  });
}
