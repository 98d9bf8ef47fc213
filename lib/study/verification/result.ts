import type { Entered } from "./entered";

/** Whether what was predicted was reached with the setting entered, and if not, the likeliest cause. */
export interface Verification {
  /** What the prediction is of. */
  readonly entered: Entered;
  readonly state: "reached" | "not reached" | "cannot be said";
  /** By how much everything plays louder than before, dB: no fault of the setting, and taken out of the comparison; 0 where it is not more than chance. */
  readonly louder_db: number;
  /** In the order of the survey. */
  readonly positions: readonly VerifiedPosition[];
  /** The likeliest first; several where they fit alike. Empty where nothing is wrong, or no single change explains it. */
  readonly causes: readonly VerificationCause[];
  /** The state and why, a sentence each. */
  readonly reasons: readonly string[];
  /** What is odd about the take. */
  readonly warnings: readonly string[];
}

export interface VerifiedPosition {
  /** Id of the position. */
  readonly position: string;
  readonly state: Verification["state"];
  /** Why nothing can be said. */
  readonly why?: string;
  /** Level of the low band over that of the mid band. */
  readonly balance?: PredictedLevel;
  /** Third octaves of the low band, through the crossover, and of the mid band. */
  readonly thirds: readonly VerifiedBand[];
}

export interface PredictedLevel {
  /** Relative to what was sent. */
  readonly predicted_db: number;
  readonly recorded_db: number;
  /** The recording is to lie no farther from the prediction than this, by the errors of both: of all levels of a show none does by chance in 19 of 20. */
  readonly interval_db: number;
  readonly reached: boolean;
}

export interface VerifiedBand extends PredictedLevel {
  /** Nominal mid-band frequency. */
  readonly frequency_hz: number;
}

export const causeKinds = [
  "nothing entered",
  "polarity",
  "delay not entered",
  "delay of the other sign",
  "level not entered",
  "level of the other sign",
  "wrong group",
  "subs not heard",
  "mains not heard",
  "level of the subs",
  "level of the mains",
  "delay",
  "part of the subs",
  "mains",
  "one position",
  "positions swapped",
] as const;

export interface VerificationCause {
  readonly kind: (typeof causeKinds)[number];
  /** Where a position is the cause: its id, or both of two. */
  readonly positions?: readonly string[];
  /** Change of level beside what was entered, dB. */
  readonly level_db?: number;
  /** Change of delay beside what was entered, milliseconds. */
  readonly delay_ms?: number;
  /** One sentence, with the remedy. */
  readonly message: string;
}
