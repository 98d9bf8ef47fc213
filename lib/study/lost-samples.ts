/** Samples that a recording lost on its way: from there on everything arrives earlier. */
import { estimateDelay } from "../measurement/delay/delay";
import { decimate } from "../measurement/signals/decimate";
import { transferFunctions } from "../measurement/transfer/transfer-function";
import { bestShift } from "./common-time";
import type { OpenTake } from "./open-take";
import type { RecordedTake } from "./show-file";

/** Seconds: less than this is a clock that drifts, or the room. */
const JUMP = 0.001;

/**
 * Whether a take lost samples, by the first and last third of it at each microphone: one sentence, or none.
 *
 * @param take    as the show file has it
 * @param opened  its samples, on one clock
 * @param low     the same at a low rate, which is enough for subs, and to see that all is well
 */
export function lostSamples(take: RecordedTake, opened: OpenTake, low: OpenTake): string[] {
  const jump = take.playing === "subs" ? jumpOfSubs(low) : jumpOfArrivals(opened, low);
  if (jump === undefined || Math.abs(jump) < JUMP) return [];
  return [
    `recording "${take.recording}": samples were lost in its course, ${(1000 * Math.abs(jump)).toFixed(1)} ms of ${jump < 0 ? "the microphones" : "what was sent"}: everything arrives ${jump < 0 ? "earlier" : "later"} at its end than at its beginning; use the part before, by "from" and "to", or record anew`,
  ];
}

/** How much later all microphones hear the arrivals at the end than at the beginning, seconds; undefined where no two agree. */
function jumpOfArrivals(opened: OpenTake, low: OpenTake): number | undefined {
  // All microphones lose them together: one that lost none acquits all.
  for (const jump of jumpsIn(low)) if (Math.abs(jump) < JUMP / 2) return 0;
  // At one of them another arrival may be chosen here than there; two that agree are no chance.
  const jumps = [...jumpsIn(opened)].sort((a, b) => a - b);
  return jumps.find((jump, i) => jumps[i + 1] - jump < AGREED);
}
/** Seconds; of the low part of a sweep an arrival is no sharper. */
const AGREED = 2.5e-4;

/** The microphones that can be used, samples. */
const microphonesOf = ({ reference, channels, faulty }: OpenTake): Float64Array[] =>
  [...channels].flatMap(([number, samples]) =>
    faulty.has(number) || samples === reference ? [] : [samples],
  );

/** The same at each of three microphones, one after the other, as far as it can be told. */
function* jumpsIn(take: OpenTake): Generator<number> {
  const { reference, sampleRate } = take;
  const third = Math.floor(reference.length / 3);
  const length = Math.min(third, 10 * sampleRate);
  let told = 0;
  for (const samples of microphonesOf(take)) {
    const at = (from: number) => {
      try {
        const [sent, heard] = [reference, samples].map((each) => each.subarray(from, from + length));
        return estimateDelay(sent, heard, sampleRate, { count: 1 }).chosen;
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        return undefined; // silent there
      }
    };
    const [first, last] = [at(0), at(reference.length - length)];
    if (!first?.reliable || !last?.reliable) continue;
    yield last.time - first.time;
    if (++told === 3) return;
  }
}

/** Hertz in which subs are heard, and seconds that may be lost of them. */
const SUBS = { from: 30, to: 120 };
const FARTHEST = 0.06;
/** How like each other, 0…1, the responses of beginning and end must be once they lie on each other. */
const ALIKE = 0.75;

/**
 * The same by what subs do at each frequency, for their arrivals are too blunt: one shift must make the end like the beginning. Of a
 * sweep the thirds may hold other frequencies; then the two halves of all low sound are compared.
 */
function jumpOfSubs(take: OpenTake): number | undefined {
  const { reference, sampleRate } = take;
  const windowLength = 2 ** Math.round(Math.log2(0.7 * sampleRate));
  const heard = microphonesOf(take);
  const length = Math.min(reference.length, ...heard.map((samples) => samples.length));
  const within = (from: number, to: number) => {
    const responses = transferFunctions(
      reference.subarray(from, to),
      heard.map((samples) => samples.subarray(from, to)),
      sampleRate,
      { windowLength },
    );
    const [first, last] = [SUBS.from, SUBS.to].map((f) => responses[0].frequency.findIndex((x) => x > f));
    const part = (values: Float64Array) => values.slice(first, last);
    return responses.map(({ frequency, re, im }) => ({
      frequency: part(frequency),
      re: part(re),
      im: part(im),
    }));
  };
  const third = Math.floor(length / 3);
  const middle = middleOfLowSound(reference.subarray(0, length), sampleRate);
  const splits = [
    [third, length - third],
    [middle, middle],
  ].filter(([end, start]) => end > 3 * windowLength && length - start > 3 * windowLength);
  for (const [end, start] of splits) {
    const last = within(start, length);
    const pairs = within(0, end).map((source, i) => ({
      frequency: source.frequency,
      source,
      target: last[i],
    }));
    const found = bestShift(pairs, FARTHEST);
    if (found && found.likeness > ALIKE) return found.shift;
  }
  return undefined;
}

/** The sample before which half of what was sent to subs was sent. */
function middleOfLowSound(reference: Float64Array, sampleRate: number): number {
  const factor = Math.max(1, Math.floor(sampleRate / (3 * SUBS.to)));
  const low = decimate(reference, factor);
  const half = low.reduce((sum, x) => sum + x * x, 0) / 2;
  let sum = 0;
  return (
    factor *
    low.findIndex((x) => {
      sum += x * x;
      return sum >= half;
    })
  );
}
