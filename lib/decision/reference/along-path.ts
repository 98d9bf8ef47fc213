/**
 * What a walk says: how low and mid band go along a path, where they part, and where on it to stop.
 *
 * What counts is the balance, the low band's level less the mid band's: the best place has the audience's, and keeps it for a metre.
 */
import type { Point } from "../../acoustics/point";
import { inDecibels, signedDecibels } from "../../text/decibels";
import { weightedMedian } from "../balance/summary";

/** Levels at one point of a path. */
export interface PathPoint {
  /** Metres from the path's beginning, along it. */
  readonly way_m: number;
  readonly point: Point;
  /** dB re what was sent. */
  readonly low_db: number;
  readonly mid_db: number;
  /** Standard error of the difference of the two. */
  readonly error_db: number;
}

/** What the audience hears of the same, as far as it is known. */
export interface AudienceBalance {
  /** Low less mid band at positions, dB re what was sent. */
  readonly balance_db: readonly number[];
  /** People that each stands for, some of them above 0. */
  readonly people: readonly number[];
  /** What tells it, for "the audience's, by …". */
  readonly by: string;
}

/** Plain data; every key carries its unit. */
export interface PathResult {
  /** Low less mid band of the audience, dB re what was sent. */
  readonly audience_db: number;
  /** What tells it; null where the path's own median has to. */
  readonly by: string | null;
  readonly points: readonly (PathPoint & {
    /** Balance less the audience's; positive means more bass. */
    readonly difference_db: number;
  })[];
  /** Stretches where the balance is more than 3 dB off the audience's. */
  readonly parted: readonly {
    /** Distances from the stage. */
    readonly from_m: number;
    readonly to_m: number;
    /** The largest difference. */
    readonly difference_db: number;
  }[];
  readonly best: {
    readonly point: Point;
    readonly difference_db: number;
    /** Along the path. */
    readonly change_db_per_m: number;
    readonly error_db: number;
  };
  /** In sentences. */
  readonly reasons: readonly string[];
}

/** dB by which balance may be off, as for the audience's share. */
const PARTED = 3;
/** Metres to either side over which the change is told. */
const AROUND = 1;

/**
 * @param points    in their order, at least two
 * @param audience  where it is known
 * @throws RangeError where fewer than two points are given
 */
export function alongPath(points: readonly PathPoint[], audience?: AudienceBalance): PathResult {
  if (points.length < 2) throw new RangeError(`${points.length} points make no path: expected two or more`);
  const own = points.map(({ low_db, mid_db }) => low_db - mid_db);
  const audience_db = audience
    ? weightedMedian(audience.balance_db, audience.people)
    : weightedMedian(
        own,
        own.map(() => 1),
      );
  const judged = points.map((point, i) => ({ ...point, difference_db: own[i] - audience_db }));
  const changes = judged.map((p) => slopeAround(judged, p));
  const cost = (i: number) => Math.hypot(judged[i].difference_db, changes[i] * AROUND, judged[i].error_db);
  const at = judged.reduce((best, _, i) => (cost(i) < cost(best) ? i : best), 0);
  const { point, difference_db, error_db } = judged[at];
  const best = { point, difference_db, change_db_per_m: changes[at], error_db };
  const parted = stretches(judged);
  const result = { audience_db, by: audience?.by ?? null, points: judged, parted, best };
  return { ...result, reasons: inWords(result) };
}

type Judged = PathResult["points"][number];

/** Straight line by least squares through what lies within a metre. */
function slopeAround(all: readonly Judged[], { way_m }: Judged): number {
  const near = all.filter((p) => Math.abs(p.way_m - way_m) <= AROUND);
  const mean = (of: (p: Judged) => number) => near.reduce((sum, p) => sum + of(p), 0) / near.length;
  const [x, y] = [mean((p) => p.way_m), mean((p) => p.difference_db)];
  const square = mean((p) => (p.way_m - x) ** 2);
  return square > 0 ? mean((p) => (p.way_m - x) * (p.difference_db - y)) / square : 0;
}

function stretches(all: readonly Judged[]): PathResult["parted"] {
  const found: { from_m: number; to_m: number; difference_db: number }[] = [];
  let open = false;
  for (const { point, difference_db } of all) {
    const last = found[found.length - 1];
    const off = Math.abs(difference_db) > PARTED;
    if (off && open && Math.sign(last.difference_db) === Math.sign(difference_db)) {
      last.to_m = point.x;
      if (Math.abs(difference_db) > Math.abs(last.difference_db)) last.difference_db = difference_db;
    } else if (off) found.push({ from_m: point.x, to_m: point.x, difference_db });
    open = off;
  }
  return found;
}

function inWords({ points, parted, best, by }: Omit<PathResult, "reasons">): string[] {
  const [first, last] = [points[0], points[points.length - 1]];
  const metres = (x: number) => `${x.toFixed(1)} m`;
  const whose = by ? `the audience's, by ${by}` : "the middle of the walk, for nothing tells the audience's";
  const { point, difference_db, change_db_per_m, error_db } = best;
  return [
    `From ${metres(first.point.x)} to ${metres(last.point.x)} from the stage the low band changes by ${signedDecibels(last.low_db - first.low_db)}, the mid band by ${signedDecibels(last.mid_db - first.mid_db)}.`,
    parted.length
      ? `They part by more than ${PARTED} dB ${parted.map((p) => `from ${metres(p.from_m)} to ${metres(p.to_m)} (up to ${inDecibels(Math.abs(p.difference_db))} too ${p.difference_db > 0 ? "much" : "little"} bass)`).join(", ")}.`
      : `They never part by more than ${PARTED} dB.`,
    `The best place to stop is ${metres(point.x)} from the stage: the balance there differs by ${signedDecibels(difference_db)} from ${whose}, and changes by ${inDecibels(Math.abs(change_db_per_m))} for a metre. It is uncertain by ${inDecibels(error_db)}.`,
  ];
}
