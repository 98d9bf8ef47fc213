/** What a calibration is asked with and what it answers. */
import type { FieldOptions } from "../../field/options";
import type { Position } from "../../survey/survey";
import type { Venue } from "../../venue/venue";
import type { OffsetOptions } from "../offset/result";
import type { DataOptions } from "./data";
import type { Uncertainty } from "./values";

export interface CalibrationOptions extends OffsetOptions, DataOptions {
  /** How far off the venue file's values may be. */
  readonly uncertainty?: Uncertainty;
  /** Seats to decide on. Default: about `seatCount` over the audience. */
  readonly seats?: readonly Position[];
  /** About how many seats to decide on. Default 200. */
  readonly seatCount?: number;
  /** Where the next microphone may stand. Default: the seats. */
  readonly candidates?: readonly Position[];
  /** What the model takes into account. */
  readonly field?: FieldOptions;
  /** Most steps of the optimiser. Default 4. */
  readonly iterations?: number;
}

/** Plain data, but for `venue`; every key carries its unit. */
export interface Calibration {
  /** The venue with its values as fitted. */
  readonly venue: Venue;
  /** Name of the measured survey. */
  readonly survey: string;
  /** What was fitted, and by how much each value changed. */
  readonly values: readonly FittedValue[];
  /** Root mean square of modelled less measured, in units of the error expected: about 1 where the model holds. */
  readonly misfit: number;
  /** Offset on all seats by the venue file alone, dB. */
  readonly offsetBefore_db: number;
  /** Offset on all seats after the fit, dB. */
  readonly offset_db: number;
  /** Cost there, by the criterion, as the fitted model has it, dB. */
  readonly cost_db: number;
  /** Where the offset lies, by what the measurement leaves uncertain. */
  readonly interval: {
    readonly from_db: number;
    readonly to_db: number;
    readonly standardError_db: number;
    /** Probability that the interval is meant to hold it, 0…1. */
    readonly confidence_fraction: number;
  };
  /** Values that the measurement can't tell apart. */
  readonly confused: readonly Confused[];
  /** Names of the values that it says nothing of. */
  readonly undetermined: readonly string[];
  /** Where one more microphone would tell most, best first; at most five. */
  readonly nextMicrophone: readonly NextMicrophone[];
  /** What was found and what stays uncertain, in sentences. */
  readonly reasons: readonly string[];
}

export interface FittedValue {
  /** In words, such as "level of the subs". */
  readonly name: string;
  /** Unit of the next two. */
  readonly unit: string;
  /** Off from the venue file, in `unit`. */
  readonly change: number;
  /** Standard error of the change, in `unit`. */
  readonly standardError: number;
  /** Standard error after the fit over that before, 0…1: 1 says that nothing was learned. */
  readonly left_fraction: number;
  /** The venue file's absorption, 0…1, a mean over bands; of absorptions alone. */
  readonly from_fraction?: number;
  /** The same as fitted. */
  readonly to_fraction?: number;
  /** The venue file's reverberation time, a mean over bands; of reverberation alone. */
  readonly from_s?: number;
  /** The same as fitted. */
  readonly to_s?: number;
}

export interface NextMicrophone {
  /** Where it would stand. */
  readonly position: Position;
  /** Standard error of the offset with a microphone there, dB. */
  readonly standardError_db: number;
}

/** Two values of which the measurement tells a combination, not each. */
export interface Confused {
  /** Their names. */
  readonly values: readonly [string, string];
  /** Correlation of their errors, −1…1. */
  readonly correlation: number;
  /** What that means, in a sentence. */
  readonly reason: string;
}
