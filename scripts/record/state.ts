/** What the page of a recording shows; plain data. */
import type { AirTold } from "./air";
import type { TakeResult, WalkTaken } from "./analyse";
import type { Mark } from "./show-of";
import type { Step } from "./steps";

export interface SessionState {
  readonly folder: string;
  readonly inputs: readonly InputState[];
  /** Seconds that fit onto the disk; none where the system doesn't say. */
  readonly left_s: number | null;
  readonly level: LevelState;
  readonly steps: readonly StepState[];
  /** Id of the step to record next; none when all are done. */
  readonly next: string | null;
  readonly recording: RecordingState | null;
  readonly last: LastTake | null;
  /** What a person should know: a device that is gone, files from before. */
  readonly notes: readonly string[];
  readonly showFile: string | null;
  /** Of the takes that come. */
  readonly air: AirTold;
  /** What the show's own air is, as drawn; none without a drawing. */
  readonly drawnAir: AirTold | null;
  readonly points: readonly PointsState[];
  readonly walk: WalkState;
}

export interface StepState extends Omit<Step, "where"> {
  /** Position → input. */
  readonly where: Readonly<Record<string, number>>;
  /** Those that were accepted; a show takes them all. */
  readonly takes: readonly (AirTold & { readonly id: string })[];
}

export interface RecordingState {
  readonly step: string;
  readonly at_s: number;
  readonly of_s: number;
  /** Marks of a walk so far. */
  readonly marks: readonly Mark[];
}

/** How many points around a position are measured, and how many had better be. */
export interface PointsState {
  readonly position: string;
  readonly count: number;
  readonly proposed: number;
}

export interface WalkState {
  /** The microphone that is carried. */
  readonly input: number;
  /** What is passed, in order. */
  readonly positions: readonly string[];
}

export interface InputState {
  readonly number: number;
  readonly role: string;
  readonly peak_db: number;
  readonly rms_db: number;
  /** Highest since it was last cleared. */
  readonly hold_db: number;
  readonly clipped: boolean;
}

export interface LevelState {
  /** RMS level of the signal re full scale that a person has chosen; none before one has. */
  readonly chosen_db: number | null;
  readonly playing: boolean;
  /** The highest that the signal's peaks allow. */
  readonly most_db: number;
}

export interface LastTake {
  readonly id: string;
  /** What to record to repeat it. */
  readonly step: string;
  readonly title: string;
  readonly accepted: boolean;
  readonly reasons: readonly string[];
  readonly result: TakeResult | null;
  /** What a walk says; none of another take, or without a drawing. */
  readonly walk: WalkTaken | null;
  /** The estimate before this take, to see what it did. */
  readonly before: TakeResult["estimate"];
  /** From the end of the take to this. */
  readonly seconds: number;
}
