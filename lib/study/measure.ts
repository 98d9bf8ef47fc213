/**
 * What a show's recordings and traces say: microphones matched, delays found, responses on common frequencies, and the
 * measured survey made of them.
 *
 * A file that can't be used costs the places it holds and nothing else: the rest goes on, and the problem is told.
 */
import type { Response } from "../acoustics/response";
import { modelFrequencies } from "../field/frequencies";
import type { MicrophoneMatch } from "../measurement/health/microphones";
import { whatPlays } from "../measurement/health/what-plays";
import { type MeasuredSurvey, measuredSurvey, type PositionMeasurement } from "../measurement/survey";
import { median } from "../numeric/statistics";
import { listed } from "../text/listed";
import { calibrated } from "./calibrator";
import { commonTime } from "./common-time";
import { astray, changedBetween, withExpected } from "./drawn-delays";
import { lostSamples } from "./lost-samples";
import { atLowRate } from "./low-rate";
import { matchedMicrophones } from "./matched-microphones";
import {
  delayAt,
  type FoundDelay,
  isKnown,
  type Playing,
  refuseUnrelated,
  responsesAt,
} from "./measure-take";
import {
  type NoisyTake,
  noiseFloorOf,
  noiseWarning,
  type OtherNoise,
  otherNoiseWarnings,
} from "./noise-floor";
import type { Clocks } from "./one-clock";
import { openTake } from "./open-take";
import type { SentSignal } from "./pascals";
import { byPosition, type HeardPart } from "./points-around";
import { positionOf, withPoints } from "./position-of";
import type { Show } from "./read-show";
import { type InTime, relatePhases } from "./relate-phases";
import { type HeardInTake, ofRepeats, sentencesOf, type ToldOfRepeats } from "./repeated-takes";
import { sameTwice } from "./same-sound";
import { allTakes, type RecordedTake } from "./show-file";
import { standFor } from "./stand-for";
import { airRemarks, delayedBy, laterInShowAir } from "./take-air";
import { traced } from "./traced";
import type { AfterEntering, HeardAfter } from "./verification/heard-after";
import { type HeardWalk, hearWalk } from "./walk";
import { calmed } from "./wind";

/** Everything that came out of a show's measurements. */
export interface ShowMeasurement {
  /** Absent where fewer than two positions could be used. */
  readonly survey?: MeasuredSurvey;
  /** Pascals for a ratio of 1 in the survey; absent without a calibrator's recording. */
  readonly pascalsPerRatio?: number;
  /** How the microphones match, by channel number from 1, where the show has a recording for it. */
  readonly microphones: readonly MicrophoneMatch[];
  /** The delay found at each position and take, seconds. */
  readonly delays: readonly FoundDelay[];
  /** What was heard along the show's walks. */
  readonly walks: readonly HeardWalk[];
  /** What was recorded after the setting was entered; absent where the show has no verification, or nothing to hold it against. */
  readonly after?: AfterEntering;
  /** What could not be used and why, one sentence each. */
  readonly problems: readonly string[];
  /** What was used though it is odd, one sentence each. */
  readonly warnings: readonly string[];
}

/**
 * Works through a show's measurements: microphones matched, delays found, responses on common frequencies, and the
 * measured survey made of them.
 *
 * A file that can't be used costs the positions it holds and nothing else: the rest goes on, and `problems` tells of it.
 *
 * @param show  from `read.show`
 * @param progress  called with what is being done, in words; nothing is called by default
 * @returns the survey, a ratio of what was sent, with matches, delays in seconds, problems and warnings
 * @source own way, no outside source: the steps are those of `measure.matchMicrophones`, `measure.estimateDelay`, `measure.joinedTransferFunctions` and `measure.survey`; check: tests/study/study.test.ts
 * @example
 * const measured = measure.show(read.show(read.example("harbour-theatre")));
 * measured.survey?.positions.length // 6
 */
export function measureShow(show: Show, progress: (step: string) => void = () => {}): ShowMeasurement {
  const problems: string[] = [];
  const warnings: string[] = [...show.remarks];
  const spoilt: Spoilt[] = [];
  const guarded = <T>(work: () => T, lost?: PartAt, into = spoilt): T | undefined => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof RangeError) && (error as Error).name !== "ShowFileError") throw error;
      const { message } = error as Error;
      if (lost) into.push({ ...lost, message });
      else problems.push(message);
      return undefined;
    }
  };

  const microphones = guarded(() => matchedMicrophones(show, warnings)) ?? [];
  const noise = guarded(() => noiseFloorOf(show, warnings));
  const delays: FoundDelay[] = [];
  const heard: HeardInTakes = new Map();
  const noisy: NoisyTake[] = [];
  const otherNoise: OtherNoise[] = [];
  let decay: number | undefined;
  let timesDiffer = false;
  let sent: SentSignal | undefined;
  // What was recorded after the setting was entered says nothing of what was measured before.
  const after = { heard: new Map() as HeardInTakes, spoilt: [] as Spoilt[], warnings: [] as string[] };
  const later = new Map<string, number[]>();
  const keep = (into: HeardInTakes, position: string, playing: Playing, take: HeardInTake) => {
    const parts = into.get(position) ?? new Map<Playing, HeardInTake[]>();
    into.set(position, parts.set(playing, [...(parts.get(playing) ?? []), take]));
  };
  // Mains first: their delay, which a broad band makes sharp, is taken out of the subs and of both as well, so that
  // the three keep their phase to each other.
  const clocks: Clocks = new Map();
  const time = commonTime();
  const tracedMains = new Set<string>();
  const order: readonly Playing[] = ["mains", "both", "subs"];
  const takes = [...allTakes(show.file)].sort(
    (a, b) =>
      Number(a.isVerification) - Number(b.isVerification) ||
      order.indexOf(a.take.playing) - order.indexOf(b.take.playing),
  );
  // A function of its own, so that nothing holds a take's samples while the next one is read.
  const recorded = (take: RecordedTake, where: string, isVerification: boolean) => {
    progress(`recording ${take.recording}`);
    const { playing } = take;
    const to = isVerification ? after : { heard, spoilt, warnings };
    const opened = guarded(
      () => openTake(show, take, where, to.warnings, clocks),
      { positions: Object.keys(take.microphones), playing },
      to.spoilt,
    );
    if (!opened) return;
    const low = atLowRate(opened, take.playing);
    const lost = lostSamples(take, opened, low);
    to.warnings.push(...sameTwice(take, opened), ...lost);
    timesDiffer ||= lost.length > 0 && !isVerification;
    sent ??= { samples: opened.reference, sampleRate: opened.sampleRate };
    const inShowAir = (position: string) => laterInShowAir(show.venue, take, position);
    to.warnings.push(...airRemarks(show.venue, take));
    const timed = Object.keys(take.microphones).flatMap((position) => {
      const result = guarded(
        () => delayAt(take, position, opened, low),
        { positions: [position], playing },
        to.spoilt,
      );
      if (!result) {
        // Mains that are not heard any more are a finding, and leave the subs their time.
        const before = delays.find((d) => d.position === position && d.playing === "mains");
        const isHeard = !opened.faulty.has(take.microphones[position]);
        return isVerification && before && isHeard
          ? [{ position, delay: before.result.chosen.time, isGuess: true }]
          : [];
      }
      const inAir = delayedBy(result, inShowAir(position));
      if (isKnown(playing, result) && !isVerification) delays.push({ position, playing, result: inAir });
      return [{ position, delay: inAir.chosen.time, isGuess: false }];
    });
    const placed = time.place(take, timed, low, (position) => take.microphones[position]);
    if (isVerification)
      placed.forEach(({ position, bulk }, i) => {
        if (!timed[i].isGuess) later.set(position, [...(later.get(position) ?? []), timed[i].delay - bulk]);
      });
    const found = placed.map((p) => ({ ...p, bulk: p.bulk - inShowAir(p.position) }));
    const calm = lost.length === 0 ? calmed(take, opened, low, found, to.warnings) : opened;
    const measured = guarded(() =>
      responsesAt(take, found, calm, microphones, noise, {
        decay,
        low: lost.length === 0 ? low : undefined,
      }),
    );
    if (measured) {
      to.warnings.push(...measured.unsteady);
      if (!isVerification) otherNoise.push(...measured.otherNoise);
      decay ??= measured.decay;
    }
    for (const [i, response] of (measured?.responses ?? []).entries()) {
      const { position, inTime: known } = found[i];
      const related = guarded(
        () => {
          refuseUnrelated(take, position, response);
          return true;
        },
        { positions: [position], playing },
        to.spoilt,
      );
      if (!related) continue;
      const damaged = opened.damaged.has(take.microphones[position]);
      keep(to.heard, position, playing, { recording: take.recording, response, inTime: known, damaged });
    }
    if (measured && measured.noise !== "quiet" && !isVerification)
      noisy.push({ recording: take.recording, ...measured });
  };
  for (const { take, where, isVerification } of takes) {
    const to = isVerification ? after : { heard, warnings };
    if ("traces" in take) {
      for (const [position, name] of Object.entries(take.traces)) {
        progress(`trace ${name}`);
        const response = guarded(() =>
          traced(show, name, `${where}.traces[${JSON.stringify(position)}]`, to.warnings),
        );
        if (!response) continue;
        const { playing } = take;
        if (playing === "mains") tracedMains.add(position);
        keep(to.heard, position, playing, {
          recording: name,
          response,
          inTime: tracedMains.has(position),
          damaged: false,
        });
      }
    } else {
      recorded(take, where, isVerification);
    }
  }
  warnings.push(...otherNoiseWarnings(otherNoise), ...noiseWarning(noisy));
  const inTime = new Map<string, InTime>();
  const told: ToldOfRepeats = new Map();
  const responses = new Map<string, Map<HeardPart, Response>>();
  for (const [position, parts] of heard) {
    responses.set(position, new Map());
    for (const [playing, takes] of parts) {
      const { response, inTime: known } = ofRepeats(position, playing, takes, told);
      responses.get(position)!.set(playing, response);
      if (playing === "subs") inTime.set(position, known);
    }
  }
  warnings.push(...sentencesOf(told));
  const toldAfter: ToldOfRepeats = new Map();
  for (const [position, parts] of after.heard) {
    const { response } = ofRepeats(position, "both", parts.get("both")!, toldAfter);
    responses.get(position)?.set("verification", response);
  }
  for (const { message, positions, playing } of spoilt) {
    if (positions.every((position) => responses.get(position)?.has(playing)))
      warnings.push(`${message}; left out, since another take has the ${playing} there`);
    else problems.push(message);
  }
  const refused = relatePhases(responses, inTime, warnings);
  // Said once for all of them.
  const said = refused.map(
    (name) => `position "${positionOf(name, show.venue.positions)}": subs have no phase`,
  );
  const first = delays.filter(
    (d, i) => delays.findIndex((e) => e.position === d.position && e.playing === d.playing) === i,
  );
  const drawn = withPoints(show.venue, [...heard.keys(), ...delays.map((d) => d.position)]);
  const changed = changedBetween(drawn, first);
  warnings.push(...astray(drawn, delays), ...changed);
  const averaged = byPosition(responses, show.venue, problems, warnings);
  const survey = guarded(() => surveyOf(show, averaged, problems));
  if (survey) warnings.push(...whatPlays(survey.mains.map((mains, i) => ({ mains, subs: survey.subs[i] }))));
  const walks = (show.file.walks ?? []).flatMap((walk, i) => {
    progress(`walk ${walk.recording}`);
    return guarded(() => hearWalk(show, walk, i, warnings)) ?? [];
  });
  const pascalsPerRatio = guarded(() => calibrated(show, microphones, sent, warnings));
  return {
    ...(survey && { survey }),
    ...(survey &&
      show.file.verification && {
        after: {
          positions: survey.positions.map(({ id }): HeardAfter => {
            const response = averaged.get(id)?.get("verification");
            const of = <T>(name: string, value: T) =>
              positionOf(name, show.venue.positions) === id ? [value] : [];
            const times = [...later].flatMap(([name, all]) => of(name, median(all)));
            const why = after.spoilt.find((s) => s.positions.some((name) => of(name, 1).length > 0));
            return {
              position: id,
              ...(response && { response }),
              ...(times.length > 0 && { later: median(times) }),
              ...(!response && why && { problem: why.message }),
            };
          }),
          warnings: [...after.warnings, ...sentencesOf(toldAfter)],
        },
      }),
    ...(pascalsPerRatio && { pascalsPerRatio }),
    microphones,
    delays: withExpected(drawn, delays),
    walks,
    problems,
    warnings: [
      ...warnings,
      ...excused(survey, timesDiffer || changed.some((warning) => warning.startsWith("all arrive"))).filter(
        (warning) => !said.some((start) => warning.startsWith(start)),
      ),
    ],
  };
}

/** By position and what played. */
type HeardInTakes = Map<string, Map<Playing, HeardInTake[]>>;

/** Positions at which a take would have told of a part. */
interface PartAt {
  readonly positions: readonly string[];
  readonly playing: Playing;
}

/** One that tells nothing there, and why. */
interface Spoilt extends PartAt {
  readonly message: string;
}

/** A survey's warnings. Where times are known to differ between takes, sums that don't agree are no news, and no microphone's fault. */
function excused(survey: MeasuredSurvey | undefined, timesDiffer: boolean): readonly string[] {
  if (!survey || !timesDiffer) return survey?.warnings ?? [];
  const off = survey.checks.filter(({ agrees }) => agrees === false);
  const rest = survey.warnings.filter((warning) => !off.some(({ message }) => message === warning));
  if (off.length === 0) return rest;
  const where = listed(off.map(({ position }) => position));
  return [
    ...rest,
    `at ${where} mains and subs together are not the sum of the two, as is to be expected where times differ between takes; whether anything else changed can't be told`,
  ];
}

/** The survey of all places where mains and subs could be used, on the frequencies that all of them cover. */
function surveyOf(
  show: Show,
  responses: ReadonlyMap<string, ReadonlyMap<HeardPart, Response>>,
  problems: string[],
): MeasuredSurvey | undefined {
  const complete = [...responses].filter(([position, found]) => {
    const missing = (["mains", "subs"] as const).filter((part) => !found.has(part));
    if (missing.length) {
      problems.push(
        `position "${position}" has no usable ${missing.join(" and no usable ")}, so it is left out`,
      );
    }
    return missing.length === 0;
  });
  if (complete.length < 2) {
    problems.push(
      `${complete.length} positions have both mains and subs, expected two or more: the model alone is used`,
    );
    return undefined;
  }
  const all = complete.flatMap(([, found]) => [...found.values()]);
  const from = Math.max(...all.map((r) => r.frequency[0]));
  const to = Math.min(...all.map((r) => r.frequency[r.frequency.length - 1]));
  const frequency = modelFrequencies().filter((f) => f >= from && f <= to);
  const byId = new Map(show.venue.positions.map((p) => [p.id, p]));
  const positions = standFor(
    show.venue,
    complete.map(([position]) => byId.get(position)!),
  );
  const measurements = complete.map(([, found], i): PositionMeasurement => {
    const both = found.get("both");
    return {
      position: positions[i],
      mains: found.get("mains")!,
      subs: found.get("subs")!,
      ...(both && { both }),
    };
  });
  return measuredSurvey(measurements, {
    name: `measured at ${positions.length} positions of ${show.venue.name}`,
    frequency,
    coherenceLimit: show.file.settings?.coherenceLimit,
  });
}
