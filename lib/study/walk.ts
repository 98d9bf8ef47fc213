/** A walk of a show: one microphone carried past positions while everything plays. */
import { distance, type Point } from "../acoustics/point";
import {
  type AudienceBalance,
  alongPath,
  type PathPoint,
  type PathResult,
} from "../decision/reference/along-path";
import { levelsOverTime } from "../measurement/levels-over-time";
import type { Venue } from "../venue/venue";
import { LOW_BAND, MID_BAND, type Span } from "./level-with-error";
import { openTake, refuseFaulty } from "./open-take";
import type { Show } from "./read-show";
import type { ShowWalk } from "./show-file";

/** Levels along a walk, as they were heard. */
export interface HeardWalk {
  readonly recording: string;
  /** Each half metre. */
  readonly points: readonly PathPoint[];
}

/** The same, judged. */
export interface WalkResult extends PathResult {
  readonly recording: string;
}

/** Metres. */
const STEP = 0.5;
/**
 * Metres by which a point may stand elsewhere than between its marks at an even pace: a key pressed half a second early or late, a
 * step longer than the next. Own way, no source.
 */
const OFF = 0.3;

/** dB: what a room's decay smears along the way, as found in halls of another library (scripts/walk-truth.ts). */
const SMEARED = 0.4;

/**
 * Levels along a walk.
 *
 * @param index     of the walk in the show, for what is said of it
 * @param warnings  is added to
 * @throws RangeError, or an error of the file, where the recording can't be used
 */
export function hearWalk(show: Show, walk: ShowWalk, index: number, warnings: string[]): HeardWalk {
  const { recording, reference, microphone, from, to, marks } = walk;
  const take = {
    playing: "both" as const,
    recording,
    reference,
    microphones: { walk: microphone },
    from,
    to,
  };
  const opened = openTake(show, take, `walks[${index}]`, warnings);
  refuseFaulty(opened.faulty.get(microphone));
  const heard = levelsOverTime(opened.reference, opened.channels.get(microphone)!, opened.sampleRate, [
    spanOf(show.file.settings?.lowBand) ?? LOW_BAND,
    spanOf(show.file.settings?.midBand) ?? MID_BAND,
  ]);
  const places = along(show.venue, marks);
  const [[low, mid], [lowError, midError]] = [heard.levels, heard.errors];
  const at = (values: Float64Array, time: number) => between(heard.time, values, time - opened.start);
  const points = places.flatMap(({ way, point, time, pace }): PathPoint[] => {
    const [low_db, mid_db] = [at(low, time), at(mid, time)];
    if (!Number.isFinite(low_db - mid_db)) return [];
    // How the balance changes over as far as the point may be off.
    const off = OFF / pace;
    const [before, after] = [time - off, time + off].map((t) => at(low, t) - at(mid, t));
    const astray = Number.isFinite(after - before) ? (after - before) / 2 : 0;
    const error_db = Math.hypot(at(lowError, time), at(midError, time), astray, SMEARED);
    return [{ way_m: way, point, low_db, mid_db, error_db }];
  });
  if (points.length < 2)
    throw new RangeError(
      `walk "${recording}": between its marks nothing stands above the noise; walk again, louder`,
    );
  return { recording, points };
}

/** A walk beside what the audience hears. */
export const judgeWalk = (walk: HeardWalk, audience?: AudienceBalance): WalkResult => ({
  recording: walk.recording,
  ...alongPath(walk.points, audience),
});

/** Edges of a run of third octaves. */
const spanOf = (band: readonly [number, number] | undefined): Span | undefined =>
  band && [band[0] * 2 ** (-1 / 6), band[1] * 2 ** (1 / 6)];

interface Place {
  readonly way: number;
  readonly point: Point;
  readonly time: number;
  /** Metres per second. */
  readonly pace: number;
}

/** Each half metre of the way between marks, at an even pace. */
function along(venue: Venue, marks: ShowWalk["marks"]): Place[] {
  const passed = [...marks]
    .sort((a, b) => a.at - b.at)
    .map(({ position, at }) => ({ at, point: venue.positions.find(({ id }) => id === position)!.point }));
  const places: Place[] = [];
  let walked = 0;
  for (let i = 1; i < passed.length; i++) {
    const [a, b] = [passed[i - 1], passed[i]];
    const length = distance(a.point, b.point);
    // Who stands still goes slowly enough.
    const pace = Math.max(0.05, length / Math.max(b.at - a.at, 1e-3));
    const first = Math.ceil(walked / STEP);
    for (let k = first; k * STEP <= walked + length; k++) {
      const part = length > 0 ? (k * STEP - walked) / length : 0;
      const mixed = (x: number, y: number) => x + part * (y - x);
      const point = {
        x: mixed(a.point.x, b.point.x),
        y: mixed(a.point.y, b.point.y),
        z: mixed(a.point.z, b.point.z),
      };
      places.push({ way: k * STEP, point, time: mixed(a.at, b.at), pace });
    }
    walked += length;
  }
  return places.filter(({ way }, i) => i === 0 || way > places[i - 1].way);
}

function between(time: Float64Array, values: Float64Array, at: number): number {
  const after = time.findIndex((t) => t >= at);
  if (after <= 0) return Number.NaN;
  const part = (at - time[after - 1]) / (time[after] - time[after - 1]);
  return values[after - 1] + part * (values[after] - values[after - 1]);
}
