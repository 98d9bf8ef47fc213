/** Samples that a recording lost on its way: from there on everything arrives earlier. */
import { estimateDelay } from "../measurement/delay/delay";
import type { OpenTake } from "./open-take";
import type { RecordedTake } from "./show-file";

/** Seconds: less than this is a clock that drifts, or the room. */
const JUMP = 0.001;

/**
 * Whether a take lost samples, by the delays in its first and last third at each microphone: one sentence, or none. Subs alone tell a delay too coarsely.
 *
 * @param take    as the show file has it
 * @param opened  its samples, on one clock
 */
export function lostSamples(
  take: RecordedTake,
  { reference, channels, sampleRate, faulty }: OpenTake,
): string[] {
  if (take.playing === "subs") return [];
  const third = Math.floor(reference.length / 3);
  const length = Math.min(third, 10 * sampleRate);
  const jumps: number[] = [];
  for (const [number, samples] of channels) {
    if (faulty.has(number) || samples === reference || jumps.length === 3) continue;
    const at = (from: number) => {
      try {
        return estimateDelay(
          reference.subarray(from, from + length),
          samples.subarray(from, from + length),
          sampleRate,
        ).chosen;
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        return undefined; // silent there
      }
    };
    const [first, last] = [at(0), at(reference.length - length)];
    if (first?.reliable && last?.reliable) jumps.push(last.time - first.time);
  }
  const [least, most] = [Math.min(...jumps), Math.max(...jumps)];
  // All microphones lose them together; an arrival that is chosen otherwise here and there is none.
  if (jumps.length < 2 || most - least > 5e-5 || Math.abs(least) < JUMP) return [];
  return [
    `recording "${take.recording}": samples were lost in its course, ${(1000 * Math.abs(least)).toFixed(1)} ms of ${least < 0 ? "the microphones" : "what was sent"}: everything arrives ${least < 0 ? "earlier" : "later"} at its end than at its beginning; use the part before, by "from" and "to", or record anew`,
  ];
}
