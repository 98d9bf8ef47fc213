/** The recording made while all loudspeakers were muted: it tells noise from reverberation. */
import { load, type OpenTake, partOf } from "./open-take";
import type { Show } from "./read-show";

/** Channels of that recording. */
export type NoiseFloor = Pick<OpenTake, "channels" | "sampleRate">;

/** Those of a show, where it has them; `warnings` is added to. */
export function noiseFloorOf(show: Show, warnings: string[]): NoiseFloor | undefined {
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
  return load(show, given.recording, "noiseFloor.recording", [...new Set(recorded)], warnings, {
    ...partOf(given),
    look: "quiet",
  });
}
