/** What a take says as soon as it is recorded, and what all takes so far make of the estimate. */
import { power, type Response, sumResponses } from "../../lib/acoustics/response";
import { levelOffset } from "../../lib/decision/offset/offset";
import type { AudienceBalance } from "../../lib/decision/reference/along-path";
import type { MicrophoneMatch } from "../../lib/measurement/health/microphones";
import { measuredSurvey } from "../../lib/measurement/survey";
import { median } from "../../lib/numeric/statistics";
import { withExpected } from "../../lib/study/drawn-delays";
import { LOW_BAND, levelWithError, MID_BAND, type Span } from "../../lib/study/level-with-error";
import { atLowRate } from "../../lib/study/low-rate";
import { matchedMicrophones } from "../../lib/study/matched-microphones";
import { delayAt, type FoundDelay, isKnown, type Playing, responsesAt } from "../../lib/study/measure-take";
import { type NoiseFloor, noiseFloorOf } from "../../lib/study/noise-floor";
import { openTake } from "../../lib/study/open-take";
import { byPosition } from "../../lib/study/points-around";
import { withPoints } from "../../lib/study/position-of";
import type { Show } from "../../lib/study/read-show";
import { type HeardInTake, ofRepeats, sentencesOf, type ToldOfRepeats } from "../../lib/study/repeated-takes";
import { decisionSettings } from "../../lib/study/settings";
import type { RecordedTake } from "../../lib/study/show-file";
import { standFor } from "../../lib/study/stand-for";
import { delayedBy, laterInShowAir } from "../../lib/study/take-air";
import { hearWalk, judgeWalk, type WalkResult } from "../../lib/study/walk";
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
  /** Standard error of that level by noise. */
  readonly error_db: number;
  /** That level relative to the median of the positions measured before; none for the first. */
  readonly difference_db: number | null;
  /** That level relative to the take before of the same part at the same position; none for the first. */
  readonly repeat_db: number | null;
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
  /** Seconds of the signal that this is by. */
  readonly heard_s: number;
  readonly positions: readonly PositionResult[];
  readonly warnings: readonly string[];
  /** Why a position could not be used. */
  readonly problems: readonly string[];
  /** Why the take, though it is kept, had better be repeated. */
  readonly doubts: readonly string[];
  /** What became of several takes of one part at one position. */
  readonly repeats: readonly string[];
  readonly estimate: Estimate | null;
}

export interface WalkTaken {
  /** None where the walk can't be used. */
  readonly result: WalkResult | null;
  readonly warnings: readonly string[];
}

/**
 * Seconds of the signal that are heard at once, so that the answer comes within two while the stands are up; the study takes all. Of
 * many microphones fewer, for each takes its time.
 */
const atOnce = (microphones: number): number => Math.max(6, Math.min(15, Math.round(90 / microphones)));
/** dB of a level's standard error by noise, beyond which a repetition, louder or in a quieter moment, is worth its time. */
const NOISY = 1;

interface Heard {
  readonly position: string;
  readonly playing: Playing;
  readonly take: HeardInTake;
}

/** Keeps what takes have said. */
export function analysis() {
  let heard: Heard[] = [];
  let delays: (FoundDelay & { readonly recording: string })[] = [];
  /** What is wrong with match and noise floor, until a take needs them. */
  const untold = { warnings: [] as string[], problems: [] as string[] };
  const cached: { matching?: string; microphones: MicrophoneMatch[]; floor?: string; noise?: NoiseFloor } = {
    microphones: [],
  };

  /** Works through what all takes need, the match and the noise floor, as soon as they are there. */
  function prepare(show: Show): void {
    const { warnings, problems } = untold;
    const { microphoneMatch, noiseFloor } = show.file;
    if (microphoneMatch && cached.matching !== microphoneMatch.recording) {
      cached.microphones = orProblem(() => matchedMicrophones(show, warnings), problems) ?? [];
      cached.matching = microphoneMatch.recording;
    }
    if (noiseFloor && cached.floor !== noiseFloor.recording) {
      cached.noise = orProblem(() => noiseFloorOf(show, warnings), problems);
      cached.floor = noiseFloor.recording;
    }
  }

  /** Takes in what a show's take says. */
  function hear(show: Show, index: number): TakeResult {
    prepare(show);
    const [warnings, problems] = [untold.warnings.splice(0), untold.problems.splice(0)];
    const { takes } = show.file;
    const guarded = <T>(work: () => T) => orProblem(work, problems);
    const whole = takes[index] as RecordedTake;
    const heard_s = atOnce(Object.keys(whole.microphones).length);
    const take = { ...whole, to: BEFORE + heard_s };
    const { playing, recording } = take;
    const opened = guarded(() => openTake(show, take, `takes[${index}]`, warnings));
    if (!opened)
      return {
        heard_s,
        positions: [],
        warnings,
        problems,
        doubts: [],
        repeats: [],
        estimate: estimate(show),
      };
    const low = atLowRate(opened, playing);
    const found = Object.keys(take.microphones).flatMap((position) => {
      const result = guarded(() => delayAt(take, position, opened, low));
      if (!result) return [];
      const by = laterInShowAir(show.venue, take, position);
      const inAir = delayedBy(result, by);
      if (isKnown(playing, result)) delays.push({ recording, position, playing, result: inAir });
      // A repeated take is held to the time of the first, as in the study.
      const mains = delays.find((d) => d.position === position && d.playing === "mains");
      return [{ position, bulk: (mains?.result ?? inAir).chosen.time - by }];
    });
    const measured = guarded(() =>
      responsesAt(take, found, opened, cached.microphones, cached.noise, { low }),
    );
    const band = bandOf(playing);
    const levelOf = ({ take: { response } }: Heard) => levelWithError(response, band).level;
    const before = heard.filter((h) => h.playing === playing);
    const elsewhere = firstOfEach(
      before.filter(({ position }) => !found.some((f) => f.position === position)),
    );
    const expected = withExpected(
      withPoints(
        show.venue,
        delays.map(({ position }) => position),
      ),
      delays,
    );
    const others = elsewhere.map(levelOf);
    const positions = (measured?.responses ?? []).map((response, i): PositionResult => {
      const { position } = found[i];
      const damaged = opened.damaged.has(take.microphones[position]);
      heard.push({ position, playing, take: { recording, response, inTime: true, damaged } });
      const delay = expected.filter((d) => d.position === position && d.playing === playing).at(-1);
      const { level, error = 0 } = levelWithError(response, band);
      const same = before.filter((h) => h.position === position).at(-1);
      return {
        position,
        delay_ms: delay ? 1000 * delay.result.chosen.time : null,
        expected_ms: delay?.expected === undefined ? null : 1000 * delay.expected,
        level_db: level,
        error_db: error,
        difference_db: others.length ? level - median(others) : null,
        repeat_db: same ? level - levelOf(same) : null,
        coherence: meanOver(response, band, (i) => response.coherence?.[i] ?? 0),
        frequency_hz: [...response.frequency],
        magnitude_db: Array.from(power(response), (p) => 10 * Math.log10(Math.max(p, 1e-20))),
        coherences: [...(response.coherence ?? [])],
      };
    });
    const told: ToldOfRepeats = new Map();
    for (const { position } of positions) joined(position, playing, told);
    const repeats = sentencesOf(told);
    const noisy = positions.filter(({ error_db }) => error_db > NOISY);
    const doubts = [
      ...problems,
      ...noisy.map(
        ({ position, error_db }) =>
          `noise leaves the level at ${position} uncertain by ${error_db.toFixed(1)} dB: louder, or in a quieter moment, it is told better`,
      ),
      ...repeats.filter((text) => text.includes(" is left out of ")),
    ];
    return { heard_s, positions, warnings, problems, doubts, repeats, estimate: estimate(show) };
  }

  const joined = (position: string, playing: Playing, told: ToldOfRepeats = new Map()) => {
    const takes = heard.filter((h) => h.position === position && h.playing === playing);
    return takes.length
      ? ofRepeats(
          position,
          playing,
          takes.map(({ take }) => take),
          told,
        ).response
      : undefined;
  };

  /** The offset by the positions that have mains and subs; none before there are two. */
  function estimate({ venue, file, ...show }: Show): Estimate | null {
    const names = [...new Set(heard.map(({ position }) => position))];
    const parts = names.flatMap((name) => {
      const [mains, subs] = [joined(name, "mains"), joined(name, "subs")];
      const both: (readonly [Playing, Response])[] =
        mains && subs
          ? [
              ["mains", mains],
              ["subs", subs],
            ]
          : [];
      return both.length ? [[name, new Map(both)] as const] : [];
    });
    if (parts.length === 0) return null;
    const complete = [...byPosition(new Map(parts), venue, [], [])];
    if (complete.length < 2) return null;
    const points = complete.map(([id]) => venue.positions.find((p) => p.id === id)!);
    const positions = standFor(venue, points);
    if (!positions.some(({ people }) => people > 0)) return null;
    const survey = measuredSurvey(
      complete.map(([, kinds], i) => ({
        position: positions[i],
        mains: kinds.get("mains")!,
        subs: kinds.get("subs")!,
      })),
    );
    const { offset_db, interval } = levelOffset(survey, decisionSettings({ venue, file, ...show }));
    return {
      positions: complete.length,
      offset_db,
      interval_db: interval ? [interval.from_db, interval.to_db] : null,
    };
  }

  /** What the microphones at fixed positions hear of the audience's balance: of both together, else of the sum of mains and subs. */
  function audience({ venue }: Show): AudienceBalance | undefined {
    const names = [...new Set(heard.map(({ position }) => position))].filter((name) =>
      venue.positions.some(({ id }) => id === name),
    );
    const positions = standFor(
      venue,
      names.map((name) => venue.positions.find(({ id }) => id === name)!),
    );
    const told = positions.flatMap(({ id, people }) => {
      const [mains, subs, both] = (["mains", "subs", "both"] as const).map((playing) => joined(id, playing));
      const all = both ?? (mains && subs && sumResponses(mains, subs));
      if (!all || people === 0) return [];
      const balance = levelWithError(all, LOW_BAND).level - levelWithError(all, MID_BAND).level;
      return [{ people, balance }];
    });
    if (told.length === 0) return undefined;
    return {
      balance_db: told.map(({ balance }) => balance),
      people: told.map(({ people }) => people),
      by: `the microphones at ${told.length} ${told.length > 1 ? "positions" : "position"}`,
    };
  }

  /** What the last walk of a show says, beside the microphones that stood. */
  function walk(show: Show): WalkTaken {
    const index = show.file.walks!.length - 1;
    const warnings: string[] = [];
    try {
      const heard = hearWalk(show, show.file.walks![index], index, warnings);
      return { result: judgeWalk(heard, audience(show)), warnings };
    } catch (error) {
      if (!isOfLibrary(error as Error)) throw error;
      return { result: null, warnings: [(error as Error).message, ...warnings] };
    }
  }

  return {
    prepare,
    hear,
    estimate,
    walk,
    /** Forgets what a recording has said. */
    forget(recording: string): void {
      heard = heard.filter(({ take }) => take.recording !== recording);
      delays = delays.filter((d) => d.recording !== recording);
    },
  };
}

function orProblem<T>(work: () => T, problems: string[]): T | undefined {
  try {
    return work();
  } catch (error) {
    if (!isOfLibrary(error as Error)) throw error;
    problems.push((error as Error).message);
    return undefined;
  }
}

const firstOfEach = (all: readonly Heard[]): Heard[] =>
  all.filter((h, i) => all.findIndex(({ position }) => position === h.position) === i);

const bandOf = (playing: Playing): Span => (playing === "subs" ? LOW_BAND : MID_BAND);

/** Mean over the points of a logarithmic grid within a band. */
function meanOver({ frequency }: Response, [from, to]: Span, value: (i: number) => number): number {
  const inside = [...frequency.keys()].filter((i) => frequency[i] >= from && frequency[i] <= to);
  return inside.length ? inside.reduce((sum, i) => sum + value(i), 0) / inside.length : 0;
}
