/** What the recording of a take says: a delay and a response at each position whose microphone can be used. */
import type { Response } from "../acoustics/response";
import { modelFrequencies } from "../field/frequencies";
import { type DelayResult, estimateDelay } from "../measurement/delay/delay";
import { MeasurementFileError } from "../measurement/file-error";
import type { MicrophoneMatch } from "../measurement/health/microphones";
import { quietBefore } from "../measurement/health/quiet-before";
import { feedPieces } from "../measurement/spectra/averaged";
import type { PooledResponse } from "../measurement/spectra/pool";
import { coherentPart } from "../measurement/transfer/coherence-limit";
import { joinedAverage } from "../measurement/transfer/joined";
import { noiseDensity, noiseWhilePlaying } from "../measurement/transfer/noise";
import { withReverberantPart } from "../measurement/transfer/reverberant";
import { type NoiseFloor, type NoiseTold, noiseIsOther, type OtherNoise } from "./noise-floor";
import { type OpenTake, refuseFaulty } from "./open-take";
import type { RecordedTake, Take } from "./show-file";
import { inSamples, type SteadyPart, steadyPart } from "./steady-part";

export type Playing = Take["playing"];

/** A delay as it was found for one position and one take. */
export interface FoundDelay {
  /** Id of the position. */
  readonly position: string;
  /** What played. */
  readonly playing: Playing;
  /** The delay after what was sent, with all candidates. */
  readonly result: DelayResult;
  /** What the drawing lets expect, seconds: the flight from the nearest of the mains, and what is added alike at all positions. */
  readonly expected?: number;
}

/** Hertz; subs alone say nothing above, and little below. */
const SUB_BAND = { from: 25, to: 120 };

/** The delay at a position; a `low` rate is enough for subs. What is found of subs may be anything in a room, and is no reason to refuse them. */
export function delayAt(take: RecordedTake, position: string, opened: OpenTake, low: OpenTake): DelayResult {
  const channel = take.microphones[position];
  refuseFaulty(opened.faulty.get(channel));
  const { reference, channels, sampleRate } = take.playing === "subs" ? low : opened;
  const given = take.delays?.[position];
  const most = Math.floor(DELAY_SECONDS * sampleRate);
  const signal = channels.get(channel)!.subarray(0, most);
  const delay = estimateDelay(reference.subarray(0, most), signal, sampleRate, {
    ...(take.playing === "subs" ? { band: SUB_BAND } : FIRST_ARRIVAL),
    ...(given !== undefined && { time: given / 1000 }),
  });
  if (take.playing !== "subs" && !delay.manual && !delay.chosen.reliable) {
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

/**
 * Whether a delay says something of an arrival, and not of a room.
 *
 * In the band of subs a peak is ten milliseconds wide, and what a room returns within that adds to it: the highest peak may come
 * a tenth of a second late. Only where nothing else comes near it, as outdoors, is it the arrival, with the group delay of the
 * filters in it.
 */
export function isKnown(playing: Playing, { candidates, chosen, manual }: DelayResult): boolean {
  if (playing !== "subs" || manual) return true;
  const others = candidates.filter((c) => c !== chosen && c.strength > -10);
  return chosen.reliable && chosen.sharpness > 20 && others.length === 0;
}

/** Refuses subs in which nothing follows what was sent. */
export function refuseUnrelated(take: RecordedTake, position: string, response: Response): void {
  if (take.playing !== "subs") return;
  const { frequency } = response;
  const { usable } = coherentPart(response, 0.1);
  if (usable.some((ok, i) => ok === 1 && frequency[i] >= SUB_BAND.from && frequency[i] <= SUB_BAND.to))
    return;
  throw new MeasurementFileError(
    "recording",
    take.recording,
    `channel ${take.microphones[position]} (${position})`,
    `holds nothing from ${SUB_BAND.from} to ${SUB_BAND.to} Hz that follows the reference`,
    "check that the reference is what was played",
  );
}

/** What a take says at its positions. */
export interface TakeResponses extends NoiseTold {
  readonly responses: Response[];
  /** What isn't steady in it, one sentence each. */
  readonly unsteady: readonly string[];
  /** Seconds in which the room's level falls by 60 dB, where it can be told. */
  readonly decay?: number;
  /** Where the noise that was told by quiet isn't the take's own. */
  readonly otherNoise: readonly OtherNoise[];
}

/**
 * Responses at positions, corrected as the match of the microphones asks for; `bulk` is taken out, seconds. `decay` is what a take of
 * broader band told of the room, seconds; without the take at a `low` rate nothing is told of what is steady.
 */
export function responsesAt(
  take: RecordedTake,
  found: readonly { readonly position: string; readonly bulk: number }[],
  opened: OpenTake,
  microphones: readonly MicrophoneMatch[],
  noise: NoiseFloor | undefined,
  { decay: known, low }: { readonly decay?: number; readonly low?: OpenTake } = {},
): TakeResponses {
  if (found.length === 0)
    return { responses: [], noise: "quiet", noiseCost: 0, unsteady: [], otherNoise: [] };
  const { reference, channels, sampleRate } = opened;
  const numbers = found.map(({ position }) => take.microphones[position]);
  const frequency = modelFrequencies().filter((f) => f <= 0.45 * sampleRate);
  const signals = numbers.map((n) => channels.get(n)!);
  const delays = found.map(({ bulk }) => bulk);
  const steady = low ? steadyPart(take, found, low, frequency, known) : NOT_JUDGED;
  const { told: apart, decay, sampling, warnings: unsteady } = steady;
  const pieces = inSamples(steady.pieces, sampleRate);
  const average = joinedAverage(signals.length, sampleRate, { frequency, delays });
  feedPieces(average, reference, signals, pieces);
  const isTold = numbers.every((n) => noise?.has(n));
  const before = isTold ? undefined : noiseBefore(reference, signals, sampleRate, frequency);
  const told = numbers.map((n, i) => noise?.get(n) ?? before?.[i]);
  const otherNoise = found.flatMap(({ position }, i) => {
    const density = told[i];
    const other = density && apart[i] && noiseIsOther(frequency, density, apart[i]);
    return other ? [{ ...other, position, recording: take.recording }] : [];
  });
  const playing =
    (isTold || before) && otherNoise.length === 0
      ? undefined
      : noiseWhilePlaying(
          { reference, signals, sampleRate, delays, pieces },
          frequency,
          apart.map(({ density }) => density),
        );
  // What changed at one position changed at all of them.
  const densities = told.map((density, i) => playing?.[i] ?? density);
  let noiseCost = 0;
  const pooled = average.result(densities);
  average.close();
  const finished = pooled.map((response, i) => {
    const density = densities[i];
    const ratio = density?.map((power, k) => (response.sent[k] > 0 ? power / response.sent[k] : 0));
    const match = microphones.find((m) => m.channel === numbers[i]);
    const whole = withReverberantPart(response, ratio, sampling);
    if (ratio) noiseCost = Math.max(noiseCost, costOfNoise(response, ratio, take.playing));
    return corrected(whole, match);
  });
  return {
    responses: finished,
    noise: isTold || before ? "quiet" : playing ? "playing" : "untold",
    noiseCost,
    unsteady,
    otherNoise,
    ...(decay && { decay }),
  };
}

const NOT_JUDGED: SteadyPart = { told: [], warnings: [] };

/** Density of the noise before the signal begins, where there is enough of it. */
function noiseBefore(
  reference: Float64Array,
  signals: readonly Float64Array[],
  sampleRate: number,
  frequency: Float64Array,
): Float64Array[] | undefined {
  const quiet = quietBefore(reference, sampleRate);
  const length = Math.min(reference.length, ...signals.map((samples) => samples.length));
  if (quiet < LEAST_QUIET * sampleRate || quiet >= length) return undefined;
  return noiseDensity(
    signals.map((samples) => samples.subarray(0, quiet)),
    sampleRate,
    frequency,
  );
}

/** Seconds of quiet before the signal that are enough to tell the noise by. */
const LEAST_QUIET = 1;

/** Level of everything at the microphone over that of the sound alone, in the band that decides, dB. */
function costOfNoise({ frequency, whole }: PooledResponse, ratio: Float64Array, playing: Playing): number {
  const [from, to] = playing === "subs" ? [28, 90] : [450, 2250];
  let [all, noise] = [0, 0];
  frequency.forEach((f, i) => {
    if (f < from || f > to) return;
    all += whole[i];
    noise += ratio[i];
  });
  return all > 0 ? Math.min(20, -10 * Math.log10(Math.max(0.01, 1 - noise / all))) : 0;
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
    ...(response.powerError && { powerError: response.powerError.map((x) => g * g * x) }),
    ...(response.wideError && { wideError: response.wideError.map((x) => g * g * x) }),
  };
}
