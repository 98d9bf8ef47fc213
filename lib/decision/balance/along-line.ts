/**
 * Along a line of positions, front to back: how fast mains, subs and the balance between them change per metre and per
 * doubling of distance, and which part of it distance alone explains.
 */
import { distance, type Point } from "../../acoustics/point";
import type { Survey } from "../../survey/survey";
import { listed } from "../../text/listed";
import { rowsByDepth } from "./audience";
import { prepareBalance, withDefaults } from "./balance";
import { bandPowers, coveredThirdOctaves, span } from "./band-powers";
import { distanceLevel, fitLine } from "./distance";
import type { SpreadOptions } from "./spread";

export interface LineOptions extends SpreadOptions {
  /** Ids of the positions, in any order. Default: in the area with most positions, the one of each
   * row nearest to the line from front to back through the middle. */
  readonly positions?: readonly string[];
  /** Level of the subs over the surveyed one, dB. Default 0. */
  readonly offset?: number;
}

/** Plain data; every key carries its unit. */
export interface LineResult {
  readonly survey: string;
  /** Front to back. */
  readonly points: readonly LinePoint[];
  readonly mains: LineChange;
  readonly subs: LineChange;
  /** Of the balance: the low band of the sum over the mains' mid band. */
  readonly balance: LineChange;
  readonly reasons: readonly string[];
}

export interface LinePoint {
  readonly id: string;
  /** Walked from the first point, metres. */
  readonly walked_m: number;
  /** From the nearest of the mains, and of the subs, metres. */
  readonly fromMains_m: number;
  readonly fromSubs_m: number;
  /** Mid band of the mains, low band of the subs, dB re the first point. */
  readonly mains_db: number;
  readonly subs_db: number;
  readonly balance_db: number;
}

export interface LineChange {
  /** From each point to the next, dB for each metre; negative is falling. */
  readonly perMetre_db: readonly number[];
  /** Fitted over all points, dB for each doubling of distance; null for the balance and where all are equally far. */
  readonly perDoubling_db: number | null;
  /** From the first point to the last, dB. */
  readonly total_db: number;
  /** The part of it that distance alone explains, dB, and the rest. */
  readonly distance_db: number;
  readonly rest_db: number;
}

/**
 * Change of level and balance along a line of positions.
 *
 * @param survey  measured or modelled
 * @param options  which positions, bands, where the sources stand, offset of the subs
 * @returns points front to back, with change per metre and per doubling, and the part of distance
 * @throws RangeError when fewer than two positions stand on the line
 * @source spherical spreading; check: tests/decision/along-line.test.ts
 */
export function alongLine(survey: Survey, options: LineOptions = {}): LineResult {
  const indices = lineIndices(survey, options.positions);
  const { lowBand, midBand } = withDefaults(options);
  const low = span(coveredThirdOctaves(survey.frequency, lowBand[0], lowBand[1], "the low band"));
  const mid = span(coveredThirdOctaves(survey.frequency, midBand[0], midBand[1], "the mid band"));
  const powers = bandPowers(survey, [low, mid]);
  const balances = prepareBalance(survey, options).evaluate(options.offset ?? 0).positions;
  const stage = [{ x: 0, y: 0, z: 0 }];
  const mainsAt = options.origins?.mains ?? stage;
  const subsAt = options.origins?.subs ?? stage;
  const position = indices.map((i) => survey.positions[i].point);
  const mains = relativeLevels(indices.map((i) => powers.mains[2 * i + 1]));
  const subs = relativeLevels(indices.map((i) => powers.subs[2 * i]));
  const walked = position.map((_, k) =>
    position.slice(1, k + 1).reduce((sum, p, j) => sum + distance(position[j], p), 0),
  );
  const balance = indices.map((i) => balances[i].balance_db);
  const byMains = position.map((p) => distanceLevel(p, mainsAt));
  const bySubs = position.map((p) => distanceLevel(p, subsAt));
  const result = {
    survey: survey.name,
    points: indices.map((i, k) => ({
      id: survey.positions[i].id,
      walked_m: walked[k],
      fromMains_m: nearest(position[k], mainsAt),
      fromSubs_m: nearest(position[k], subsAt),
      mains_db: mains[k],
      subs_db: subs[k],
      balance_db: balance[k],
    })),
    mains: changeOf(mains, walked, byMains, true),
    subs: changeOf(subs, walked, bySubs, true),
    balance: changeOf(
      balance,
      walked,
      bySubs.map((s, k) => s - byMains[k]),
      false,
    ),
  };
  return { ...result, reasons: reasonsFor(result) };
}

function lineIndices(survey: Survey, ids: readonly string[] | undefined): number[] {
  const { positions } = survey;
  const chosen = ids
    ? ids.map((id) => {
        const i = positions.findIndex((p) => p.id === id);
        if (i < 0)
          throw new RangeError(`positions names "${id}", which survey "${survey.name}" does not have`);
        return i;
      })
    : centreLine(survey);
  const sorted = [...new Set(chosen)].sort((i, j) => positions[i].point.x - positions[j].point.x);
  if (sorted.length < 2) {
    throw new RangeError(
      `only ${sorted.length} of the positions (${listed(positions.map((p) => p.id))}) stands on the line, expected at least 2`,
    );
  }
  return sorted;
}

/** In the area with most positions, of each row the one nearest to the line through the middle. */
function centreLine({ positions }: Survey): number[] {
  const count = new Map<string, number>();
  for (const { area } of positions) count.set(area, (count.get(area) ?? 0) + 1);
  const area = [...count].reduce((most, next) => (next[1] > most[1] ? next : most))[0];
  const inside = positions.flatMap((p, i) => (p.area === area ? [i] : []));
  const depth = (i: number) => positions[i].point.x;
  const rows = rowsByDepth(
    positions,
    inside.sort((i, j) => depth(i) - depth(j)),
  );
  const across = (i: number) => Math.abs(positions[i].point.y);
  const nearestOf = (row: number[]) => row.reduce((best, i) => (across(i) < across(best) ? i : best));
  const chosen = rows.map(nearestOf);
  const least = Math.min(...chosen.map(across));
  return chosen.filter((i) => across(i) <= least + 1.5);
}

function relativeLevels(power: readonly number[]): number[] {
  const level = power.map((p) => 10 * Math.log10(Math.max(p, 1e-30)));
  return level.map((l) => l - level[0]);
}

function nearest(point: Point, origins: readonly Point[]): number {
  return Math.min(...origins.map((origin) => distance(point, origin)));
}

function changeOf(
  level: readonly number[],
  walked: readonly number[],
  byDistance: readonly number[],
  fitted: boolean,
): LineChange {
  const last = level.length - 1;
  const total = level[last] - level[0];
  const fromDistance = byDistance[last] - byDistance[0];
  const doublings = byDistance.map((l) => -l / (20 * Math.log10(2)));
  return {
    perMetre_db: level.slice(1).map((l, k) => {
      const step = walked[k + 1] - walked[k];
      return step > 0 ? (l - level[k]) / step : 0;
    }),
    perDoubling_db: fitted
      ? (fitLine(doublings, level, new Float64Array(level.length).fill(1))?.slope ?? null)
      : null,
    total_db: total,
    distance_db: fromDistance,
    rest_db: total - fromDistance,
  };
}

function reasonsFor(result: Omit<LineResult, "reasons">): string[] {
  const { points, balance } = result;
  const steps = balance.perMetre_db.map(Math.abs);
  const steepest = steps.indexOf(Math.max(...steps));
  const direction = balance.total_db <= 0 ? "less" : "more";
  return [
    `From "${points[0].id}" to "${points[points.length - 1].id}" there is ${Math.abs(balance.total_db).toFixed(1)} dB ${direction} bass relative to the mains; distance alone gives ${balance.distance_db.toFixed(1)} dB, the rest is ${balance.rest_db.toFixed(1)} dB.`,
    `The balance changes fastest between "${points[steepest].id}" and "${points[steepest + 1].id}", by ${steps[steepest].toFixed(1)} dB for each metre.`,
  ];
}
