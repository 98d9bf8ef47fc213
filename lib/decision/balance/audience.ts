/**
 * The audience as weights: how many people each position stands for, and who sits in front, in the middle, at the back.
 */
import type { Position, Survey } from "../../survey/survey";

/**
 * One weight per position, summing to 1.
 *
 * @param survey  a survey
 * @param weights  people (or any weights) per position, to be used instead of the survey's own
 * @returns shares of the audience, in the order of the positions
 * @throws RangeError when a weight is negative or not finite, or when nobody is there at all
 */
export function audienceWeights(survey: Survey, weights?: ArrayLike<number>): Float64Array {
  const { positions } = survey;
  requireComplete(survey);
  if (weights && weights.length !== positions.length) {
    throw new RangeError(
      `weights has ${weights.length} values, expected one per position (${positions.length})`,
    );
  }
  const people = Float64Array.from(positions, (p, i) => (weights ? weights[i] : p.people));
  for (let i = 0; i < people.length; i++) {
    if (!(people[i] >= 0 && people[i] < Number.POSITIVE_INFINITY)) {
      throw new RangeError(
        `position "${positions[i].id}" stands for ${people[i]} people, expected 0 or more`,
      );
    }
  }
  const total = people.reduce((sum, x) => sum + x, 0);
  if (!(total > 0)) {
    throw new RangeError("no position stands for any people: give positions people, or pass weights");
  }
  return people.map((x) => x / total);
}

/** Whether any position stands for people. */
export function hasAudience(survey: Survey): boolean {
  return survey.positions.some((p) => p.people > 0);
}

/** Which positions belong to a part of the audience, by index. */
export interface AudienceParts {
  readonly front: readonly number[];
  readonly middle: readonly number[];
  readonly back: readonly number[];
}

/**
 * Front, middle and back of an audience: the tenth of the people nearest the stage, around the median, and farthest away.
 *
 * Depth is x, from the stage's front edge. A row is never split: positions as deep as the last one taken come along.
 * With few positions a part is at least one of them.
 *
 * @param positions  the survey's positions
 * @param weights  share of the audience per position
 * @param fraction  how much of the audience a part holds, 0…1/3
 */
export function audienceParts(
  positions: readonly Position[],
  weights: Float64Array,
  fraction = 0.1,
): AudienceParts {
  const order = positions
    .map((_, i) => i)
    .filter((i) => weights[i] > 0)
    .sort((i, j) => positions[i].point.x - positions[j].point.x);
  const rows = rowsByDepth(positions, order);
  const before: number[] = [];
  let sum = 0;
  for (const row of rows) {
    before.push(sum);
    sum += row.reduce((s, i) => s + weights[i], 0);
  }
  const weightOf = (row: readonly number[]) => row.reduce((s, i) => s + weights[i], 0);
  const tiny = 1e-9;
  const front = rows.filter((_, k) => before[k] < fraction - tiny);
  const back = rows.filter((row, k) => sum - before[k] - weightOf(row) < fraction - tiny);
  const middle = rows.filter((row, k) => {
    const overlaps =
      before[k] < 0.5 + fraction / 2 - tiny && before[k] + weightOf(row) > 0.5 - fraction / 2 + tiny;
    return overlaps;
  });
  return { front: front.flat(), middle: middle.flat(), back: back.flat() };
}

/** Indices grouped into rows: positions within `tolerance` metres of depth of the row's first one. */
export function rowsByDepth(
  positions: readonly Position[],
  order: readonly number[],
  tolerance = 0.25,
): number[][] {
  const rows: number[][] = [];
  let start = Number.NEGATIVE_INFINITY;
  for (const i of order) {
    const { x } = positions[i].point;
    if (x - start > tolerance) {
      rows.push([]);
      start = x;
    }
    rows[rows.length - 1].push(i);
  }
  return rows;
}

function requireComplete(survey: Survey): void {
  const n = survey.positions.length;
  if (n === 0) throw new RangeError(`survey "${survey.name}" has no positions`);
  for (const [group, responses] of [
    ["mains", survey.mains],
    ["subs", survey.subs],
    ["fills", survey.fills],
  ] as const) {
    if (responses && responses.length !== n) {
      throw new RangeError(
        `survey "${survey.name}" has ${responses.length} responses of the ${group}, expected one per position (${n})`,
      );
    }
    responses?.forEach((r, i) => {
      const points = survey.frequency.length;
      if (r.re.length !== points || r.im.length !== points) {
        throw new RangeError(
          `the ${group} at "${survey.positions[i].id}" have ${r.re.length} frequencies, expected the survey's ${points}`,
        );
      }
    });
  }
}
