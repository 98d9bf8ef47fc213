/**
 * Calibration: the model's uncertain values fitted to a handful of measured positions, then the decision on all seats.
 *
 * Few microphones can't tell every value, but the decision needs only what they have in common. What stays uncertain is carried to the offset, and
 * says where one more microphone would tell most.
 */

import { Matrix } from "ml-matrix";
import { logGrid } from "../../acoustics/bands/bands";
import { modelFamily } from "../../field/model-family";
import { normalQuantile } from "../../numeric/statistics";
import { partOfSurvey } from "../../survey/part";
import type { Position, Survey } from "../../survey/survey";
import { seats } from "../../venue/seats";
import type { Venue } from "../../venue/venue";
import { deviationForms, deviationsAt, withDefaults } from "../balance/balance";
import { voting } from "../balance/voting";
import { bestOffset } from "../offset/cost-curve";
import { type Criterion, costOf } from "../offset/criterion";
import { type CalibrationData, calibrationData } from "./data";
import { covarianceOf, derivatives, informationOf, leastSquares } from "./fit";
import { calibrationReasons, confusedValues, standardDeviation } from "./reasons";
import type { Calibration, CalibrationOptions, FittedValue, NextMicrophone } from "./result";
import { type UncertainValue, uncertainValues, venueWith } from "./values";

/**
 * Fits the uncertain values of a venue file to a handful of measured positions, then decides the level offset on all seats.
 *
 * Few microphones can't tell every value, but the decision needs only what they have in common. What stays uncertain is
 * carried to the offset, and says where one more microphone would tell most.
 *
 * @param venue  as its file has it
 * @param measured  survey of a handful of positions, the subs at the level that the venue file gives them
 * @param options  uncertain values, seats, and all options of `decide.offset`
 * @returns fitted values, each in its unit; the offset with its interval, dB; where to measure next
 * @throws RangeError when the survey has no positions or lacks the bands, or the venue has no seats
 * @source least squares with priors, Laplace's approximation: Tarantola, Inverse Problem Theory (2005), 3.2 (from memory); check: tests/decision/calibration/calibrate.test.ts
 * @example
 * const cellar = read.venue("ombrik-cellar");
 * const louder = read.venue("ombrik-cellar", { "subs[0].gain": -1 }); // 3 dB more than its file says
 * const measured = predict.survey(louder, venues.positions(louder).slice(0, 3));
 * const { values } = decide.calibrate(cellar, measured, { seatCount: 12, iterations: 2 });
 * values.find(({ name }) => name === "level of the subs")?.change // 3
 */
export function calibrate(venue: Venue, measured: Survey, options: CalibrationOptions = {}): Calibration {
  if (measured.positions.length === 0) throw new RangeError("the measured survey has no positions");
  const { criterion = "least mean square", confidence = 0.9, iterations = 4 } = options;
  const audience = options.seats ?? seats(venue, { count: options.seatCount ?? 200 });
  const candidates = options.candidates ?? audience;
  const positions = options.candidates ? [...audience, ...candidates] : audience;
  const values = uncertainValues(venue, options.uncertainty);
  const field = { ...options.field, frequency: options.field?.frequency ?? calibrationFrequencies(options) };
  const modelled = (at: readonly Position[]) => {
    const model = modelFamily(venue, at, field);
    return (amounts: ArrayLike<number>) => model(venueWith(venue, values, amounts));
  };
  const data = calibrationData(measured, options);
  const residuals = residualsTo(data, measured, options, modelled(measured.positions));
  const amounts = leastSquares(residuals, values.length, iterations);

  // One vector holds the offset and the data at every place, so that each value is moved but once.
  const everywhere = [...measured.positions, ...positions];
  const modelEverywhere = modelled(everywhere);
  const decide = (survey: Survey) =>
    offsetOn(partOfSurvey(survey, indices(measured.positions.length, audience.length)), {
      ...options,
      criterion,
    });
  const everything = (at: readonly number[]): Float64Array => {
    const survey = modelEverywhere(at);
    const heard = partOfSurvey(survey, indices(0, measured.positions.length));
    const preferred = partOfSurvey(survey, indices(everywhere.length - candidates.length, candidates.length));
    return Float64Array.of(decide(survey).offset, ...residuals(at, heard), ...scaledData(preferred, options));
  };
  const before = decide(modelEverywhere(values.map(() => 0)));
  const after = decide(modelEverywhere(amounts));
  const here = everything(amounts);
  const slopes = derivatives(everything, amounts, here);
  const toOffset = slopes.map((s) => s[0]);
  const count = data.value.length;
  const residual = here.subarray(1, 1 + count);
  const known = residual.filter((r) => r !== 0).length;
  const misfit = residual.reduce((sum, r) => sum + r * r, 0) / Math.max(1, known);
  // The stated error is a guess, to be outweighed by the misfit; a misplaced microphone moves its data together.
  const independent = known / TOGETHER;
  const scale = (GUESS + misfit * independent) / (GUESS + independent);
  const information = informationOf(slopes.map((s) => s.slice(1, 1 + count))).div(scale);
  const covariance = covarianceOf(information);
  const standardError = standardDeviation(covariance, toOffset);
  const z = normalQuantile((1 + confidence) / 2);
  const fittedVenue = venueWith(venue, values, amounts);
  const fitted = values.map((v, i): FittedValue => {
    const left = Math.sqrt(covariance.get(i, i));
    return {
      name: v.name,
      unit: v.unit,
      change: amounts[i] * v.deviation,
      standardError: left * v.deviation,
      left_fraction: Math.min(1, left),
      ...plainChange(v, venue, fittedVenue),
    };
  });
  const result: Omit<Calibration, "reasons"> = {
    venue: fittedVenue,
    survey: measured.name,
    values: fitted,
    misfit: Math.sqrt(misfit),
    offsetBefore_db: before.offset,
    offset_db: after.offset,
    cost_db: after.cost,
    interval: {
      from_db: after.offset - z * standardError,
      to_db: after.offset + z * standardError,
      standardError_db: standardError,
      confidence_fraction: confidence,
    },
    confused: confusedValues(values, covariance),
    undetermined: fitted.filter((v) => v.left_fraction > 0.9).map((v) => v.name),
    nextMicrophone: nextMicrophones(
      candidates,
      slopes.map((s) => s.slice(1 + count)),
      information,
      scale,
      toOffset,
    ),
  };
  return { ...result, reasons: calibrationReasons(result) };
}

function plainChange({ plain }: UncertainValue, before: Venue, after: Venue): Partial<FittedValue> {
  if (!plain) return {};
  const [from, to] = [plain(before), plain(after)];
  if ("s" in from) return { from_s: from.s, to_s: (to as typeof from).s };
  return { from_fraction: from.fraction, to_fraction: (to as typeof from).fraction };
}

/** Independent data that the guess of their error is worth, and data that err together. */
const GUESS = 18;
const TOGETHER = 5;

/** Few frequencies: twelve to the octave where subs and mains meet, six in the mains' mid band. */
function calibrationFrequencies(options: CalibrationOptions): Float64Array {
  const { lowBand, midBand } = withDefaults(options);
  const [from, to] = options.lowRange ?? [31.5, 125];
  const low = Math.min(from, lowBand[0]) * 0.88;
  const high = Math.max(to, lowBand[1]) * 1.13;
  const points = (a: number, b: number, perOctave: number) =>
    logGrid(a, b, Math.max(2, 1 + Math.ceil(perOctave * Math.log2(b / a))));
  const lows = points(low, high, 12);
  const mids = points(Math.max(midBand[0] * 0.88, high * 1.05), midBand[1] * 1.13, 8);
  return Float64Array.of(...lows, ...mids);
}

/** From values to (modelled − measured)/error, data that either side lacks counting as met. */
function residualsTo(
  data: CalibrationData,
  measured: Survey,
  options: CalibrationOptions,
  model: (amounts: ArrayLike<number>) => Survey,
): (amounts: readonly number[], survey?: Survey) => Float64Array {
  let reference: number | undefined = measured.quantity === "ratio" ? undefined : 0;
  return (amounts, survey = model(amounts)) => {
    const modelled = calibrationData(survey, options).value;
    reference ??= meanDifference(data, modelled);
    const levels = data.perPosition - 1;
    return modelled.map((x, i) => {
      const d = i % data.perPosition;
      const isLevel = d < (2 * levels) / 3 || d === levels;
      const r = (x - data.value[i] - (isLevel ? (reference as number) : 0)) / data.error[i];
      return Number.isFinite(r) ? Math.max(-FARTHEST, Math.min(FARTHEST, r)) : 0;
    });
  };
}

/** Standard deviations beyond which a single datum pulls no further: it is not what the model knows. */
const FARTHEST = 8;

/** A ratio has no level of its own: what lies between it and the model's pascals. */
function meanDifference(data: CalibrationData, modelled: Float64Array): number {
  let sum = 0;
  let count = 0;
  for (let i = data.perPosition - 1; i < modelled.length; i += data.perPosition) {
    const d = modelled[i] - data.value[i];
    if (!Number.isFinite(d)) continue;
    sum += d;
    count++;
  }
  return count > 0 ? sum / count : 0;
}

function offsetOn(
  survey: Survey,
  options: CalibrationOptions & { readonly criterion: Criterion },
): { offset: number; cost: number } {
  const { lowBand, coherenceLimit } = withDefaults(options);
  const { weights } = voting(survey, lowBand, coherenceLimit, options.weights);
  const forms = deviationForms(survey, options);
  const best = bestOffset(forms, weights, options.criterion, options.range ?? [-30, 30]);
  const deviation = deviationsAt(forms, best.x, new Float64Array(weights.length));
  return { offset: best.x, cost: costOf(deviation, weights, options.criterion) };
}

/** Data over their errors. */
function scaledData(survey: Survey, options: CalibrationOptions): Float64Array {
  const { value, error } = calibrationData(survey, options);
  return value.map((x, i) => x / error[i]);
}

/** Adds each candidate's data to what is known and sees how far the offset's error shrinks. */
function nextMicrophones(
  candidates: readonly Position[],
  slopes: readonly Float64Array[],
  information: Matrix,
  scale: number,
  toOffset: readonly number[],
): NextMicrophone[] {
  const perPosition = slopes[0].length / candidates.length;
  const ranked = candidates.map((position, c): NextMicrophone => {
    const added = slopes.map((s) =>
      s.slice(c * perPosition, (c + 1) * perPosition).map((x) => (Number.isFinite(x) ? x : 0)),
    );
    const covariance = covarianceOf(Matrix.add(information, informationOf(added).div(scale)));
    return { position, standardError_db: standardDeviation(covariance, toOffset) };
  });
  return ranked.sort((a, b) => a.standardError_db - b.standardError_db).slice(0, 5);
}

const indices = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i);
