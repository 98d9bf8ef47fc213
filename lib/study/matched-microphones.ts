/** The recording of all microphones at one position: how far each is from the others. */
import { type MicrophoneMatch, matchMicrophones } from "../measurement/health/microphones";
import { load, partOf, refuseFaulty } from "./open-take";
import type { Show } from "./read-show";

/** By channel number from 1, none where the show has no such recording; `warnings` is added to. */
export function matchedMicrophones(show: Show, warnings: string[]): MicrophoneMatch[] {
  const match = show.file.microphoneMatch;
  if (!match) {
    warnings.push(
      "the microphones were not matched: differences between them count as differences between positions",
    );
    return [];
  }
  const opened = load(
    show,
    match.recording,
    "microphoneMatch.recording",
    match.channels,
    warnings,
    partOf(match),
  );
  for (const message of opened.faulty.values()) refuseFaulty(message);
  const signals = match.channels.map((n) => opened.channels.get(n)!);
  const found = matchMicrophones(signals, opened.sampleRate).map((m, i) => ({
    ...m,
    channel: match.channels[i],
  }));
  warnings.push(...found.filter((m) => !m.pass).map((m) => mismatch(m, found.length)));
  return found;
}

/** What a channel fails in, and which of that is made good: level and polarity are; time, phase and what it doesn't hear are not. */
function mismatch({ channel, faults, correction, level, polarity }: MicrophoneMatch, count: number): string {
  const made = [
    ...(polarity < 0 && correction.polarity < 0 ? ["polarity"] : []),
    ...(Math.abs(level) > 1 && Math.abs(correction.gain) > 0.5 ? ["level"] : []),
  ];
  const left = faults.filter((fault) => !/^(polarity|level)/.test(fault) || made.length === 0);
  const whose = count === 2 ? ", relative to the other of two, and either may be at fault" : "";
  return [
    `microphone on channel ${channel}: ${faults.join("; ")}${whose}`,
    ...(made.length ? [`${made.join(" and ")} corrected by calculation`] : []),
    ...(left.length
      ? [
          "not corrected: check its cable, its place beside the others and the channel, and record the match anew",
        ]
      : []),
  ].join("; ");
}
