/** The show that the takes recorded so far make. */
import type { ShowFile } from "../../lib/study/show-file";
import type { StepKind } from "./steps";

/** A take that was accepted. */
export interface DoneTake {
  readonly id: string;
  readonly kind: StepKind;
  /** Its file in the show's folder. */
  readonly file: string;
  /** Channel of the loop-back, from 1. */
  readonly reference: number;
  /** Position → channel from 1; at the match and the noise floor those of the first positions. */
  readonly microphones: Readonly<Record<string, number>>;
}

/** @returns nothing while there is no take of mains, subs or both */
export function showOf(name: string, venue: string, done: readonly DoneTake[]): ShowFile | undefined {
  const takes = done.flatMap(({ kind, file, reference, microphones }) =>
    kind === "match" || kind === "noise"
      ? []
      : [{ playing: kind, recording: file, reference, microphones: { ...microphones } }],
  );
  if (takes.length === 0) return undefined;
  const match = done.find(({ kind }) => kind === "match");
  const noise = done.find(({ kind }) => kind === "noise");
  const channels = match ? [...new Set(Object.values(match.microphones))] : [];
  return {
    name,
    venue,
    ...(match && channels.length > 1 && { microphoneMatch: { recording: match.file, channels } }),
    ...(noise && { noiseFloor: { recording: noise.file } }),
    takes,
  };
}
