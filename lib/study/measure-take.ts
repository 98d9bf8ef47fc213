/** What the recording of a take says: a delay and a response at each position whose microphone can be used. */
import type { Response } from "../acoustics/response";
import { modelFrequencies } from "../field/frequencies";
import { type DelayResult, estimateDelay } from "../measurement/delay/delay";
import { MeasurementFileError } from "../measurement/file-error";
import type { MicrophoneMatch } from "../measurement/health/microphones";
import { joinedTransferFunctions } from "../measurement/transfer/joined";
import { withReverberantPart } from "../measurement/transfer/reverberant";
import type { NoiseFloor } from "./noise-floor";
import { type OpenTake, refuseFaulty, SUB_BAND } from "./open-take";
import type { RecordedTake, Take } from "./show-file";

export type Playing = Take["playing"];

/** A delay as it was found for one position and one take. */
export interface FoundDelay {
  /** Id of the position. */
  readonly position: string;
  /** What played. */
  readonly playing: Playing;
  /** The delay after what was sent, with all candidates. */
  readonly result: DelayResult;
}

/** The delay at a position. */
export function delayAt(take: RecordedTake, position: string, opened: OpenTake): DelayResult {
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
export function bulkDelayAt(take: RecordedTake, position: string, delays: readonly FoundDelay[]): number {
  const given = take.delays?.[position];
  if (given !== undefined) return given / 1000;
  const here = delays.filter((d) => d.position === position);
  return (here.find((d) => d.playing !== "subs") ?? here[0]).result.chosen.time;
}

/** Responses at positions, corrected as the match of the microphones asks for; `bulk` is taken out, seconds. */
export function responsesAt(
  take: RecordedTake,
  found: readonly { readonly position: string; readonly bulk: number }[],
  { reference, channels, sampleRate }: OpenTake,
  microphones: readonly MicrophoneMatch[],
  noise: NoiseFloor | undefined,
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
  const backgrounds = backgroundsOf(numbers, noise, reference, sampleRate, frequency);
  return responses.map((response, i) => {
    const background = backgrounds.get(numbers[i]);
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

/** The noise floor of each channel against what was sent, all channels at once: most of the work is the reference's. */
function backgroundsOf(
  numbers: readonly number[],
  noise: NoiseFloor | undefined,
  reference: Float64Array,
  sampleRate: number,
  frequency: Float64Array,
): ReadonlyMap<number, Response> {
  const there = noise?.sampleRate === sampleRate ? numbers.filter((n) => noise.channels.has(n)) : [];
  if (!noise || there.length === 0) return new Map();
  const signals = there.map((n) => noise.channels.get(n)!);
  const found = joinedTransferFunctions(reference, signals, sampleRate, { frequency });
  return new Map(there.map((n, i) => [n, found[i]]));
}
