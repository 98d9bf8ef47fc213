/** Surveys taken apart and put together. */
import type { Response } from "../acoustics/response";
import type { Survey } from "./survey";

/** A survey of some of the positions, by index. */
export function partOfSurvey(survey: Survey, indices: readonly number[]): Survey {
  const pick = <T>(list: readonly T[]): T[] => indices.map((i) => list[i]);
  return {
    ...survey,
    positions: pick(survey.positions),
    mains: pick(survey.mains),
    subs: pick(survey.subs),
    ...(survey.fills ? { fills: pick(survey.fills) } : {}),
    ...(survey.both ? { both: pick(survey.both) } : {}),
  };
}

/**
 * A survey on some of its frequencies.
 *
 * @throws RangeError when one is none of the survey's
 */
export function onFrequencies(survey: Survey, frequency: Float64Array): Survey {
  const at = Array.from(frequency, (f) => {
    const n = survey.frequency.findIndex((own) => Math.abs(own / f - 1) < 1e-6);
    if (n < 0) throw new RangeError(`survey "${survey.name}" has nothing at ${f} Hz`);
    return n;
  });
  const some = (values: Float64Array) => {
    const found = new Float64Array(at.length);
    for (let i = 0; i < at.length; i++) found[i] = values[at[i]];
    return found;
  };
  const each = (responses: readonly Response[]) =>
    responses.map(
      (r): Response => ({
        frequency,
        re: some(r.re),
        im: some(r.im),
        ...(r.diffuse && { diffuse: some(r.diffuse) }),
        ...(r.coherence && { coherence: some(r.coherence) }),
        ...(r.averages && { averages: some(r.averages) }),
        ...(r.powerError && { powerError: some(r.powerError) }),
        ...(r.magnitudeOnly && { magnitudeOnly: true }),
      }),
    );
  return {
    ...survey,
    frequency,
    mains: each(survey.mains),
    subs: each(survey.subs),
    ...(survey.fills ? { fills: each(survey.fills) } : {}),
    ...(survey.both ? { both: each(survey.both) } : {}),
  };
}

/**
 * Two surveys of the same sources as one, such as the seats and the places to mix from.
 *
 * @param a  first survey
 * @param b  second survey, on the same frequencies and of the same quantity
 * @returns all positions of both, `a` first
 * @throws RangeError when frequencies or quantities differ, when only one has fills, or when both have a position of one id
 */
export function joinSurveys(a: Survey, b: Survey): Survey {
  if (a.quantity !== b.quantity) {
    throw new RangeError(
      `survey "${a.name}" holds ${a.quantity}, "${b.name}" ${b.quantity}: they can't be joined`,
    );
  }
  if (a.frequency.length !== b.frequency.length || a.frequency.some((f, i) => f !== b.frequency[i])) {
    throw new RangeError(
      `surveys "${a.name}" and "${b.name}" stand on different frequencies: they can't be joined`,
    );
  }
  if (!a.fills !== !b.fills) {
    throw new RangeError(
      `only one of the surveys "${a.name}" and "${b.name}" has fills: they can't be joined`,
    );
  }
  const ids = new Set(a.positions.map((p) => p.id));
  const twice = b.positions.find((p) => ids.has(p.id));
  if (twice) throw new RangeError(`both surveys have a position "${twice.id}": ids must be unique`);
  return {
    name: a.name,
    quantity: a.quantity,
    frequency: a.frequency,
    positions: [...a.positions, ...b.positions],
    mains: [...a.mains, ...b.mains],
    subs: [...a.subs, ...b.subs],
    ...(a.fills && b.fills ? { fills: [...a.fills, ...b.fills] } : {}),
    ...(a.both && b.both ? { both: [...a.both, ...b.both] } : {}),
  };
}
