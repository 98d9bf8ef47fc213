/**
 * What a show's recordings and traces say: microphones matched, delays found, responses on common frequencies, and the
 * measured survey made of them.
 *
 * A file that can't be used costs the places it holds and nothing else: the rest goes on, and the problem is told.
 */
import { readFileSync, statSync } from "node:fs";
import type { Response } from "../acoustics/response";
import { modelFrequencies } from "../field/frequencies";
import { type DelayResult, estimateDelay } from "../measurement/delay/delay";
import { MeasurementFileError } from "../measurement/file-error";
import { type MicrophoneMatch, matchMicrophones } from "../measurement/health/microphones";
import { type MeasuredSurvey, measuredSurvey, type PositionMeasurement } from "../measurement/survey";
import { readTrace } from "../measurement/trace/read";
import { joinedTransferFunctions } from "../measurement/transfer/joined";
import { withReverberantPart } from "../measurement/transfer/reverberant";
import { fileLimit, raiseLimit } from "./file-limits";
import { load, type OpenTake, openTake, refuseFaulty, SUB_BAND } from "./open-take";
import { pascalScale, type SentSignal } from "./pascals";
import { insideFolder, type Show } from "./read-show";
import type { RecordedTake, Take } from "./show-file";
import { standFor } from "./stand-for";

export type Playing = Take["playing"];

/** A delay as it was found for one place and one take. */
export interface FoundDelay {
  readonly position: string;
  readonly playing: Playing;
  readonly result: DelayResult;
}

/** Everything that came out of a show's measurements. */
export interface ShowMeasurement {
  /** Undefined where fewer than two places could be used. */
  readonly survey?: MeasuredSurvey;
  /** Pascals for a ratio of 1 in the survey; undefined without a calibrator's recording. */
  readonly pascalsPerRatio?: number;
  /** By channel number from 1, where the show has a recording for it. */
  readonly microphones: readonly MicrophoneMatch[];
  readonly delays: readonly FoundDelay[];
  /** What could not be used and why, one sentence each. */
  readonly problems: readonly string[];
  /** What was used though it is odd, one sentence each. */
  readonly warnings: readonly string[];
}

/**
 * Works through a show's measurements.
 *
 * @param show  from `readShow`
 * @param progress  told what is being done
 */
export function measureShow(show: Show, progress: (step: string) => void = () => {}): ShowMeasurement {
  const problems: string[] = [];
  const warnings: string[] = [...show.remarks];
  const guarded = <T>(work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof RangeError) && (error as Error).name !== "ShowFileError") throw error;
      problems.push((error as Error).message);
      return undefined;
    }
  };

  const microphones = guarded(() => matchedMicrophones(show, warnings)) ?? [];
  const noise = guarded(() => noiseOf(show, warnings));
  const delays: FoundDelay[] = [];
  const responses = new Map<string, Map<Playing, Response>>();
  let sent: SentSignal | undefined;
  const keep = (position: string, playing: Playing, response: Response) => {
    if (!responses.has(position)) responses.set(position, new Map());
    responses.get(position)!.set(playing, response);
  };
  // Mains first: their delay, which a broad band makes sharp, is taken out of the subs and of both as well, so that
  // the three keep their phase to each other.
  const order: readonly Playing[] = ["mains", "both", "subs"];
  const takes = show.file.takes
    .map((take, index) => ({ take, index }))
    .sort((a, b) => order.indexOf(a.take.playing) - order.indexOf(b.take.playing));
  for (const { take, index } of takes) {
    if ("traces" in take) {
      for (const [position, name] of Object.entries(take.traces)) {
        progress(`trace ${name}`);
        const response = guarded(() =>
          traced(show, name, `takes[${index}].traces[${JSON.stringify(position)}]`, warnings),
        );
        if (response) keep(position, take.playing, response);
      }
    } else {
      progress(`recording ${take.recording}`);
      const opened = guarded(() => openTake(show, take, index, warnings));
      if (!opened) continue;
      sent ??= { samples: opened.reference, sampleRate: opened.sampleRate };
      const found = Object.keys(take.microphones).flatMap((position) => {
        const delay = guarded(() => delayAt(take, position, opened));
        if (delay) delays.push({ position, playing: take.playing, result: delay });
        return delay ? [{ position, bulk: bulkDelayAt(take, position, delays) }] : [];
      });
      const measured = guarded(() => responsesAt(take, found, opened, microphones, noise)) ?? [];
      for (const [i, response] of measured.entries()) keep(found[i].position, take.playing, response);
    }
  }
  const survey = guarded(() => surveyOf(show, responses, problems));
  const pascalsPerRatio = guarded(() => calibrated(show, microphones, sent, warnings));
  return {
    ...(survey && { survey }),
    ...(pascalsPerRatio && { pascalsPerRatio }),
    microphones,
    delays,
    problems,
    warnings: [...warnings, ...(survey?.warnings ?? [])],
  };
}

function delayAt(take: RecordedTake, position: string, opened: OpenTake): DelayResult {
  const channel = take.microphones[position];
  refuseFaulty(opened.faulty.get(channel));
  const { reference, sampleRate } = opened;
  const given = take.delays?.[position];
  const most = Math.floor(DELAY_SECONDS * sampleRate);
  const signal = opened.channels.get(channel)!.subarray(0, most);
  const delay = estimateDelay(reference.subarray(0, most), signal, sampleRate, {
    ...(take.playing === "subs" ? { band: SUB_BAND } : FIRST_ARRIVAL),
    ...(given !== undefined && { time: given / 1000 }),
  });
  if (!delay.manual && !delay.chosen.reliable) {
    throw new MeasurementFileError(
      "recording",
      take.recording,
      `channel ${channel} (${position})`,
      "has no arrival that stands out from the noise",
      'check that the reference is what was played, or give the delay in "delays"',
    );
  }
  return delay;
}

/** Seconds to take out at a place: those given, else those of the mains there, else its own. */
function bulkDelayAt(take: RecordedTake, position: string, delays: readonly FoundDelay[]): number {
  const given = take.delays?.[position];
  if (given !== undefined) return given / 1000;
  const here = delays.filter((d) => d.position === position);
  return (here.find((d) => d.playing !== "subs") ?? here[0]).result.chosen.time;
}

function responsesAt(
  take: RecordedTake,
  found: readonly { readonly position: string; readonly bulk: number }[],
  { reference, channels, sampleRate }: OpenTake,
  microphones: readonly MicrophoneMatch[],
  noise: Noise | undefined,
): Response[] {
  if (found.length === 0) return [];
  const numbers = found.map(({ position }) => take.microphones[position]);
  const frequency = modelFrequencies().filter((f) => f <= 0.45 * sampleRate);
  const responses = joinedTransferFunctions(
    reference,
    numbers.map((n) => channels.get(n)!),
    sampleRate,
    { frequency, delays: found.map(({ bulk }) => bulk) },
  );
  return responses.map((response, i) => {
    const alone = noise?.sampleRate === sampleRate ? noise.channels.get(numbers[i]) : undefined;
    const [background] = alone ? joinedTransferFunctions(reference, [alone], sampleRate, { frequency }) : [];
    const match = microphones.find((m) => m.channel === numbers[i]);
    return corrected(withReverberantPart(response, background), match);
  });
}

const DELAY_SECONDS = 20; // of a take; the delay search needs no more
/** Near the stage, under the hang's beam, a back wall may return more treble than comes direct: the first arrival counts. */
const FIRST_ARRIVAL = { choose: "first", range: 12 } as const;

/** What the microphone match asks for, applied. */
function corrected(response: Response, match: MicrophoneMatch | undefined): Response {
  if (!match) return response;
  const g = match.correction.polarity * 10 ** (match.correction.gain / 20);
  return {
    ...response,
    re: response.re.map((x) => g * x),
    im: response.im.map((x) => g * x),
    ...(response.diffuse && { diffuse: response.diffuse.map((x) => g * g * x) }),
  };
}

function traced(show: Show, name: string, where: string, warnings: string[]): Response {
  const full = insideFolder(show.folder, name, show.fileName, where);
  const most = fileLimit("trace");
  if (statSync(full).size > most) {
    throw new MeasurementFileError(
      "trace",
      name,
      "size",
      `is over ${most} bytes`,
      `keep fewer points; ${raiseLimit}`,
    );
  }
  const trace = readTrace(readFileSync(full, "utf8"), name);
  warnings.push(...trace.warnings);
  return trace;
}

/** The recording made while nothing played. */
type Noise = Pick<OpenTake, "channels" | "sampleRate">;

function noiseOf(show: Show, warnings: string[]): Noise | undefined {
  const given = show.file.noiseFloor;
  const recorded = show.file.takes.flatMap((take) =>
    "microphones" in take ? Object.values(take.microphones) : [],
  );
  if (!given) {
    if (recorded.length) {
      warnings.push(
        "there is no noise-floor recording: noise counts as reverberation, which makes quiet positions read too loud",
      );
    }
    return undefined;
  }
  return load(show, given.recording, "noiseFloor.recording", [...new Set(recorded)], warnings);
}

function matchedMicrophones(show: Show, warnings: string[]): MicrophoneMatch[] {
  const match = show.file.microphoneMatch;
  if (!match) {
    warnings.push(
      "the microphones were not matched: differences between them count as differences between positions",
    );
    return [];
  }
  const opened = load(show, match.recording, "microphoneMatch.recording", match.channels, warnings);
  for (const message of opened.faulty.values()) refuseFaulty(message);
  const signals = match.channels.map((n) => opened.channels.get(n)!);
  const found = matchMicrophones(signals, opened.sampleRate).map((m, i) => ({
    ...m,
    channel: match.channels[i],
  }));
  for (const m of found) {
    if (!m.pass)
      warnings.push(`microphone on channel ${m.channel}: ${m.faults.join("; ")}; corrected by calculation`);
  }
  return found;
}

/** Pascals for a ratio of 1, where there is a calibrator's recording. */
function calibrated(
  show: Show,
  microphones: readonly MicrophoneMatch[],
  sent: SentSignal | undefined,
  warnings: string[],
): number | undefined {
  const given = show.file.microphoneMatch?.calibrator;
  if (!given || !sent) return undefined;
  const microphone = given.microphone ?? given.channel;
  const match = microphones.find((m) => m.channel === microphone);
  if (!match) {
    throw new RangeError(
      `the calibrator sat on the microphone of channel ${microphone}, which was not matched with the others: name one of microphoneMatch.channels in microphoneMatch.calibrator.microphone`,
    );
  }
  const opened = load(
    show,
    given.recording,
    "microphoneMatch.calibrator.recording",
    [given.channel],
    warnings,
  );
  refuseFaulty(opened.faulty.get(given.channel));
  const { level } = given;
  const tone = { samples: opened.channels.get(given.channel)!, sampleRate: opened.sampleRate };
  const scale = pascalScale({ ...tone, ...(level !== undefined && { level }) }, match, sent);
  warnings.push(...scale.warnings);
  return scale.pascalsPerRatio;
}

/** The survey of all places where mains and subs could be used, on the frequencies that all of them cover. */
function surveyOf(
  show: Show,
  responses: ReadonlyMap<string, ReadonlyMap<Playing, Response>>,
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
    name: `measured at ${positions.length} places of ${show.venue.name}`,
    frequency,
    coherenceLimit: show.file.settings?.coherenceLimit,
  });
}
