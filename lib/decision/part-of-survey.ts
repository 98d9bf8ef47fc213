import type { Survey } from "../survey/survey";

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
