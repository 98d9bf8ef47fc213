/** One microphone where two were meant: a channel at two positions, or one sound on two channels. */
import type { OpenTake } from "./open-take";
import type { RecordedTake } from "./show-file";

/**
 * What of a take is the same twice, one sentence each.
 *
 * @param take    as the show file has it
 * @param opened  its samples
 */
export function sameTwice(take: RecordedTake, opened: OpenTake): string[] {
  const positions = Object.keys(take.microphones);
  const numbers = [...new Set(Object.values(take.microphones))];
  const twice = numbers.flatMap((n) => {
    const at = positions.filter((position) => take.microphones[position] === n);
    if (at.length < 2) return [];
    return [
      `recording "${take.recording}": one channel, ${n}, stands for two positions or more, ${at.map((p) => `"${p}"`).join(" and ")}; give each the channel of its own microphone`,
    ];
  });
  const heard = numbers.filter((n) => opened.channels.has(n) && !opened.faulty.has(n));
  const copies = heard.flatMap((n, i) =>
    heard
      .slice(0, i)
      .filter((m) => isCopy(opened.channels.get(m)!, opened.channels.get(n)!))
      .map(
        (m) =>
          `recording "${take.recording}": channels ${m} and ${n} hold the same sound, one microphone twice; compare the patch`,
      ),
  );
  const sent = heard.flatMap((n) =>
    isCopy(opened.reference, opened.channels.get(n)!)
      ? [
          `recording "${take.recording}": channel ${n} holds what was sent and no microphone; compare the patch`,
        ]
      : [],
  );
  return [...twice, ...copies, ...sent];
}

/**
 * Whether two channels are one but for their gain: what they don't share lies 40 dB below. Two microphones side by side share less:
 * each has noise of its own, and hears the highs otherwise.
 */
export function isCopy(a: Float64Array, b: Float64Array): boolean {
  const length = Math.min(a.length, b.length);
  const from = Math.floor(length / 3);
  const to = Math.min(length, from + MOST);
  let [aa, bb, ab] = [0, 0, 0];
  for (let i = from; i < to; i += EVERY) {
    aa += a[i] * a[i];
    bb += b[i] * b[i];
    ab += a[i] * b[i];
  }
  return aa > 0 && bb > 0 && ab * ab > (1 - 1e-4) * aa * bb;
}

const MOST = 100_000; // samples in which they are compared
const EVERY = 16; // what is alike need not be looked at sample by sample
