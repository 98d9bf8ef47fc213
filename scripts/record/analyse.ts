/** What a take says as soon as it is recorded, and what all takes so far make of the estimate. */
import { power, type Response } from "../../lib/acoustics/response";
import { levelOffset } from "../../lib/decision/offset/offset";
import type { MicrophoneMatch } from "../../lib/measurement/health/microphones";
import { measuredSurvey } from "../../lib/measurement/survey";
import { median } from "../../lib/numeric/statistics";
import { withExpected } from "../../lib/study/drawn-delays";
import { atLowRate } from "../../lib/study/low-rate";
import { matchedMicrophones } from "../../lib/study/matched-microphones";
import { delayAt, type FoundDelay, isKnown, type Playing, responsesAt } from "../../lib/study/measure-take";
import { type NoiseFloor, noiseFloorOf } from "../../lib/study/noise-floor";
import { openTake } from "../../lib/study/open-take";
import type { Show } from "../../lib/study/read-show";
import type { RecordedTake } from "../../lib/study/show-file";
import { standFor } from "../../lib/study/stand-for";
import { decisionSettings } from "../../lib/study/study";
import { isOfLibrary } from "../setup/setup-error.mjs";
import { BEFORE } from "../signals/signals";

/** What one position heard in a take. */
export interface PositionResult {
  readonly position: string;
  readonly delay_ms: number | null;
  /** What the drawing lets expect; none for subs, or of the first position alone. */
  readonly expected_ms: number | null;
  /** Level of the band that decides (of the low band for subs), dB re what was sent. */
  readonly level_db: number;
  /** That level relative to the median of the positions measured before; none for the first. */
  readonly difference_db: number | null;
  /** Mean coherence over that band. */
  readonly coherence: number;
  readonly frequency_hz: readonly number[];
  readonly magnitude_db: readonly number[];
  readonly coherences: readonly number[];
}

export interface Estimate {
  readonly positions: number;
  readonly offset_db: number;
  /** The interval within which it lies with 90 % confidence as far as noise goes; none where no coherence is known. */
  readonly interval_db: readonly [number, number] | null;
}

export interface TakeResult {
  readonly positions: readonly PositionResult[];
  readonly warnings: readonly string[];
  /** Why a position could not be used. */
  readonly problems: readonly string[];
  readonly estimate: Estimate | null;
}

/** Seconds of the signal that are heard at once, so that the answer comes while the stands are up; the study takes all. */
const AT_ONCE = 15;

/** Keeps what takes have said. */
export function analysis() {
  const responses = new Map<string, Map<Playing, Response>>();
  const delays: FoundDelay[] = [];
  const cached: { matching?: string; microphones: MicrophoneMatch[]; floor?: string; noise?: NoiseFloor } = {
    microphones: [],
  };

  /** Takes one more take in: the last of a show's. */
  return function analyse(show: Show): TakeResult {
    const warnings: string[] = [];
    const problems: string[] = [];
    const guarded = <T>(work: () => T): T | undefined => {
      try {
        return work();
      } catch (error) {
        if (!isOfLibrary(error as Error)) throw error;
        problems.push((error as Error).message);
        return undefined;
      }
    };
    const { microphoneMatch, noiseFloor, takes } = show.file;
    if (microphoneMatch && cached.matching !== microphoneMatch.recording) {
      cached.microphones = guarded(() => matchedMicrophones(show, warnings)) ?? [];
      cached.matching = microphoneMatch.recording;
    }
    if (noiseFloor && cached.floor !== noiseFloor.recording) {
      cached.noise = guarded(() => noiseFloorOf(show, warnings));
      cached.floor = noiseFloor.recording;
    }
    const index = takes.length - 1;
    const take = { ...(takes[index] as RecordedTake), to: BEFORE + AT_ONCE };
    const { playing } = take;
    const opened = guarded(() => openTake(show, take, index, warnings));
    if (!opened) return { positions: [], warnings, problems, estimate: estimateOf(show, responses) };
    const low = atLowRate(opened, playing);
    const found = Object.keys(take.microphones).flatMap((position) => {
      const result = guarded(() => delayAt(take, position, opened, low));
      if (!result) return [];
      forget(delays, position, playing);
      if (isKnown(playing, result)) delays.push({ position, playing, result });
      const mains = delays.find((d) => d.position === position && d.playing === "mains");
      return [{ position, bulk: (playing === "mains" ? result : (mains?.result ?? result)).chosen.time }];
    });
    const measured = guarded(() =>
      responsesAt(take, found, opened, cached.microphones, cached.noise, { low }),
    );
    const before = [...responses]
      .filter(([position]) => !found.some((f) => f.position === position))
      .flatMap(([, kinds]) => kinds.get(playing) ?? [])
      .map((response) => bandLevel(response, bandOf(playing)));
    const expected = withExpected(show.venue, delays);
    const positions = (measured?.responses ?? []).map((response, i) => {
      const { position } = found[i];
      if (!responses.has(position)) responses.set(position, new Map());
      responses.get(position)!.set(playing, response);
      const delay = expected.find((d) => d.position === position && d.playing === playing);
      return resultAt(position, response, playing, delay, before);
    });
    return { positions, warnings, problems, estimate: estimateOf(show, responses) };
  };
}

function forget(delays: FoundDelay[], position: string, playing: Playing): void {
  const at = delays.findIndex((d) => d.position === position && d.playing === playing);
  if (at >= 0) delays.splice(at, 1);
}

type Span = readonly [from: number, to: number];
const bandOf = (playing: Playing): Span => (playing === "subs" ? [28, 90] : [450, 2250]);

function resultAt(
  position: string,
  response: Response,
  playing: Playing,
  delay: FoundDelay | undefined,
  before: readonly number[],
): PositionResult {
  const level = bandLevel(response, bandOf(playing));
  const square = power(response);
  return {
    position,
    delay_ms: delay ? 1000 * delay.result.chosen.time : null,
    expected_ms: delay?.expected === undefined ? null : 1000 * delay.expected,
    level_db: level,
    difference_db: before.length ? level - median(before) : null,
    coherence: meanOver(response, bandOf(playing), (i) => response.coherence?.[i] ?? 0),
    frequency_hz: [...response.frequency],
    magnitude_db: Array.from(square, (p) => 10 * Math.log10(Math.max(p, 1e-20))),
    coherences: [...(response.coherence ?? [])],
  };
}

const bandLevel = (response: Response, band: Span): number => {
  const square = power(response);
  return (
    10 *
    Math.log10(
      Math.max(
        1e-20,
        meanOver(response, band, (i) => square[i]),
      ),
    )
  );
};

/** Mean over the points of a logarithmic grid within a band. */
function meanOver({ frequency }: Response, [from, to]: Span, value: (i: number) => number): number {
  const inside = [...frequency.keys()].filter((i) => frequency[i] >= from && frequency[i] <= to);
  return inside.length ? inside.reduce((sum, i) => sum + value(i), 0) / inside.length : 0;
}

/** The offset by the positions that have mains and subs; none before there are two. */
function estimateOf(
  show: Show,
  responses: ReadonlyMap<string, ReadonlyMap<Playing, Response>>,
): Estimate | null {
  const complete = [...responses].filter(([, kinds]) => kinds.has("mains") && kinds.has("subs"));
  if (complete.length < 2) return null;
  const points = complete.map(([id]) => show.venue.positions.find((p) => p.id === id)!);
  const positions = standFor(show.venue, points);
  if (!positions.some(({ people }) => people > 0)) return null;
  const survey = measuredSurvey(
    complete.map(([, kinds], i) => ({
      position: positions[i],
      mains: kinds.get("mains")!,
      subs: kinds.get("subs")!,
    })),
  );
  const { offset_db, interval } = levelOffset(survey, decisionSettings(show));
  return {
    positions: complete.length,
    offset_db,
    interval_db: interval ? [interval.from_db, interval.to_db] : null,
  };
}
