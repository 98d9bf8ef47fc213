/**
 * The part of a take that is steady: what is unlike the rest of it is left out, and that is said. And whether the noise that was recorded
 * apart is the take's own.
 */
import { thirdOctaves } from "../acoustics/bands/bands";
import { type OddSpan, oddSpans } from "../measurement/health/odd-spans";
import type { Piece } from "../measurement/spectra/averaged";
import { leftByResponse, noiseWhilePlaying } from "../measurement/transfer/noise";
import { MOMENT, type PowerOverTime, powerOverTime } from "../measurement/transfer/power-over-time";
import { samplingVariance } from "../measurement/transfer/sampled-response";
import { unexplained } from "../measurement/transfer/unexplained";
import { median } from "../numeric/statistics";
import { listed } from "../text/listed";
import type { ToldApart } from "./noise-floor";
import type { OpenTake } from "./open-take";
import type { RecordedTake } from "./show-file";

/** Hertz, of the bands that decide. */
const LOW = [28, 90] as const;
const MIDDLE = [450, 1800] as const;
/** Of the sample rate, up to which a decimated recording tells of third octaves: of takes with mains beyond that of 2 kHz. */
const TOLD = 0.33;

export interface SteadyPart {
  /** What to use, seconds; all of it where undefined. */
  readonly pieces?: readonly Piece[];
  /** Of each microphone; empty where the take is too short to tell. */
  readonly told: readonly ToldApart[];
  /** Seconds in which the room's level falls by 60 dB, where it can be told. */
  readonly decay?: number;
  /** Relative variance of a third octave's power for what the signal leaves out, at each frequency, where it can be told. */
  readonly sampling?: Float64Array;
  /** What was left out, or should have been, one sentence each. */
  readonly warnings: readonly string[];
}

/**
 * Looks for what isn't steady.
 *
 * @param take  as the show file has it
 * @param found  positions with their delays, seconds
 * @param opened  samples, on one clock; a low rate is enough
 * @param frequency  at which the noise is wanted, hertz
 * @param roomDecay  seconds of 60 dB, where another take of broader band has told it
 */
export function steadyPart(
  take: RecordedTake,
  found: readonly { readonly position: string; readonly bulk: number }[],
  { reference, channels, sampleRate, oneClock, start }: OpenTake,
  frequency: Float64Array,
  roomDecay?: number,
): SteadyPart {
  const heard = found.map(({ position }) => channels.get(take.microphones[position])!);
  const length = Math.min(reference.length, ...heard.map((samples) => samples.length));
  const sent = reference.subarray(0, length);
  // Where clocks run apart, high frequencies lose their phase by themselves.
  const bands = take.playing === "subs" || !oneClock ? [LOW] : [LOW, MIDDLE];
  const playingWithout = (spans: readonly OddSpan[]) => ({
    reference: sent,
    signals: heard,
    sampleRate,
    delays: found.map(({ bulk }) => bulk),
    pieces: spans.length > 0 ? inSamples(between(spans, length / sampleRate), sampleRate) : undefined,
  });
  const look = (without: readonly OddSpan[]): Split => {
    const playing = playingWithout(without);
    return Array.from(unexplained(playing), (each) => ({
      bands: powerOverTime(each, sampleRate, bands),
      decay: each.decay,
      left: leftByResponse(each, playing, frequency),
    }));
  };
  const first = look([]);
  if (first.length === 0) return { told: [], warnings: [] };
  const { odd, without } = refined(first, look);
  const enough = odd.length > 0 && isEnough(sent, sampleRate, odd);
  const [used, split] = enough ? [odd, without] : [[], first];
  const playing = playingWithout(used);
  const decay = roomDecay ?? median(split.map((each) => each.decay));
  const left = split.map((each) => each.left);
  const noise = noiseWhilePlaying(playing, frequency, left) ?? left;
  const told = split.map(({ bands: powers }, i) => ({
    density: noise[i].map((x, k) => (frequency[k] < TOLD * sampleRate ? x : Number.POSITIVE_INFINITY)),
    bands: powers.map((power, b) => ({ band: bands[b], sound: soundOf(power, used) })),
  }));
  return {
    ...(enough && { pieces: between(odd, length / sampleRate) }),
    told,
    decay,
    sampling: samplingAt(frequency, sent, sampleRate, decay, playing.pieces),
    warnings: odd.map((span) => sentence(take, found, span, start, enough)),
  };
}

/** Windows of the responses, seconds. */
const WINDOW = 1.2;

function samplingAt(
  frequency: Float64Array,
  sent: Float64Array,
  rate: number,
  decay: number,
  pieces: readonly Piece[] | undefined,
): Float64Array {
  const thirds = thirdOctaves(25, 1600).filter(({ upper }) => upper < TOLD * rate);
  const variance = samplingVariance(sent, rate, thirds, { decay, window: WINDOW }, pieces);
  return frequency.map((f) => {
    const i = thirds.findIndex(({ upper }) => f < upper);
    // Above, a third octave holds so many hertz that little is left out.
    return i < 0 ? 0 : variance[i];
  });
}

/** What each microphone heard: powers over time, seconds of decay, density of what doesn't follow from the signal. */
type Split = readonly {
  readonly bands: readonly PowerOverTime[];
  readonly decay: number;
  readonly left: Float64Array;
}[];

/**
 * What is odd, told by a response that knows nothing of it: the response is found again without the worst, which may acquit what else
 * looked odd, and once more without all that does.
 */
function refined(first: Split, look: (without: readonly OddSpan[]) => Split) {
  const spansOf = (split: Split, which?: "worst") =>
    oddSpans(
      split.map((each) => each.bands),
      which,
    );
  let without = first;
  let odd = spansOf(first, "worst");
  for (let round = 0; odd.length > 0 && round < ROUNDS; round++) {
    const better = look(odd);
    if (better.length === 0) break;
    without = better;
    odd = spansOf(without);
  }
  return { odd, without };
}
const ROUNDS = 2;

/** What lies between spans, seconds; less than half a second is nothing. */
function between(spans: readonly OddSpan[], length: number): Piece[] {
  const edges = [0, ...spans.flatMap(({ from, to }) => [from, to]), length];
  const pieces: Piece[] = [];
  for (let i = 0; i < edges.length; i += 2) {
    const [from, to] = [edges[i], Math.min(length, edges[i + 1])];
    if (to - from >= 0.5) pieces.push([from, to]);
  }
  return pieces;
}

/** Pieces told in seconds, told in samples. */
export const inSamples = (pieces: readonly Piece[] | undefined, sampleRate: number): Piece[] | undefined =>
  pieces?.map(([from, to]) => [Math.round(from * sampleRate), Math.round(to * sampleRate)]);

/** Of what was sent in a third octave, so much must be left. */
const LEFT = 0.25;

/** Whether what lies outside of the spans holds enough of all that was sent: of a sweep it may be all of some frequencies. */
function isEnough(sent: Float64Array, rate: number, spans: readonly OddSpan[]): boolean {
  const thirds = [...thirdOctaves(31.5, 80), ...thirdOctaves(500, 1600)]
    .filter(({ upper }) => upper < TOLD * rate)
    .map(({ lower, upper }) => [lower, upper] as const);
  const powers = powerOverTime({ explained: sent, rest: new Float64Array(sent.length) }, rate, thirds);
  return powers.every(({ explained }) => {
    let [all, kept] = [0, 0];
    explained.forEach((x, t) => {
      all += x;
      if (!isWithin(spans, t)) kept += x;
    });
    return kept >= LEFT * all;
  });
}

/** Whether a moment, which is as long as two, meets a span. */
const isWithin = (spans: readonly OddSpan[], t: number) =>
  spans.some(({ from, to }) => t * MOMENT < to && (t + 2) * MOMENT > from);

function soundOf({ explained }: PowerOverTime, spans: readonly OddSpan[]): number {
  const used = explained.filter((_, t) => !isWithin(spans, t));
  return used.reduce((sum, x) => sum + x, 0) / Math.max(1, used.length);
}

function sentence(
  take: RecordedTake,
  found: readonly { readonly position: string }[],
  { from, to, microphones, excess, kind }: OddSpan,
  start: number,
  leftOut: boolean,
): string {
  const where =
    microphones.length === found.length && found.length > 1
      ? "all positions"
      : listed(microphones.map((i) => found[i].position));
  const at = (t: number) => (start + t).toFixed(1);
  const cost = `${(10 * Math.log10(1 + excess)).toFixed(1)} dB`;
  const fact = `recording "${take.recording}": from ${at(from)} to ${at(to)} s it is not steady at ${where}`;
  if (!leftOut)
    return `${fact}; too little would be left without that part, so it is used all the same, and levels may be ${cost} off: measure again`;
  return kind === "less"
    ? `${fact}: the sound was softer or gone; that part is left out`
    : `${fact}: something else was heard, which raises the level there by up to ${cost}; that part is left out`;
}
