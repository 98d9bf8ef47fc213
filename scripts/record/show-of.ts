/** The show that the takes recorded so far make. */
import type { ShowFile } from "../../lib/study/show-file";
import type { AirTold } from "./air";
import type { StepKind } from "./steps";

/** A take that was accepted. */
export interface DoneTake extends AirTold {
  /** Name of its file without the ending. */
  readonly id: string;
  readonly kind: StepKind;
  /** Its file in the show's folder. */
  readonly file: string;
  /** Channel of the loop-back, from 1. */
  readonly reference: number;
  /** Position → channel from 1; at the match and the noise floor those of the first positions, in a walk those it passes. */
  readonly microphones: Readonly<Record<string, number>>;
  /** When a walk passed its positions, seconds from its start. */
  readonly marks?: readonly Mark[];
}

export interface Mark {
  readonly position: string;
  readonly at: number;
}

/** Takes that a show is measured by; several of one part at one position are averaged. */
export const measuring = ({ kind }: Pick<DoneTake, "kind">): boolean =>
  kind === "mains" || kind === "subs" || kind === "both";

/** @returns nothing while there is no take of mains, subs or both */
export function showOf(name: string, venue: string, done: readonly DoneTake[]): ShowFile | undefined {
  const takes = done
    .filter(measuring)
    .map(({ kind, file, reference, microphones, temperature, humidity }) => ({
      playing: kind as "mains" | "subs" | "both",
      recording: file,
      reference,
      microphones: { ...microphones },
      ...(temperature !== undefined && { temperature }),
      ...(humidity !== undefined && { humidity }),
    }));
  if (takes.length === 0) return undefined;
  return { name, venue, takes, ...asideOf(done) };
}

/** What a show has beside its takes. */
export function asideOf(
  done: readonly DoneTake[],
): Pick<ShowFile, "microphoneMatch" | "noiseFloor" | "walks"> {
  const match = done.find(({ kind }) => kind === "match");
  const noise = done.find(({ kind }) => kind === "noise");
  const channels = match ? [...new Set(Object.values(match.microphones))] : [];
  const walks = done.flatMap(({ kind, file, reference, microphones, marks }) =>
    kind === "walk" && marks
      ? [{ recording: file, reference, microphone: Object.values(microphones)[0], marks: [...marks] }]
      : [],
  );
  return {
    ...(match && channels.length > 1 && { microphoneMatch: { recording: match.file, channels } }),
    ...(noise && { noiseFloor: { recording: noise.file } }),
    ...(walks.length > 0 && { walks }),
  };
}
