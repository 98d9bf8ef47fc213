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
  for (const m of found) {
    if (!m.pass)
      warnings.push(`microphone on channel ${m.channel}: ${m.faults.join("; ")}; corrected by calculation`);
  }
  return found;
}
