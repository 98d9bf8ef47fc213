/** What a calibration is asked with and what it answers. */
import type { FieldOptions } from "../../field/model-survey";
import type { Position } from "../../survey/survey";
import type { Venue } from "../../venue/venue";
import type { OffsetOptions } from "../offset/result";
import type { DataOptions } from "./data";
import type { Uncertainty } from "./values";

export interface CalibrationOptions extends OffsetOptions, DataOptions {
  /** How far off the venue file's values may be. */
  readonly uncertainty?: Uncertainty;
  /** Seats to decide on; default about `seatCount` over the audience. */
  readonly seats?: readonly Position[];
  /** Default 200. */
  readonly seatCount?: number;
  /** Places for the next microphone; default the seats. */
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
  readonly survey: string;
  readonly values: readonly FittedValue[];
  /** Root mean square of modelled less measured, in units of the error expected: about 1 where the model holds. */
  readonly misfit: number;
  /** Offset on all seats by the venue file alone, dB. */
  readonly offsetBefore_db: number;
  /** Offset on all seats after the fit, dB. */
  readonly offset_db: number;
  /** Cost there, by the criterion, as the fitted model has it, dB. */
  readonly cost_db: number;
  readonly interval: {
    readonly from_db: number;
    readonly to_db: number;
    readonly standardError_db: number;
    readonly confidence_fraction: number;
  };
  /** Values that the measurement can't tell apart, and those it says nothing of. */
  readonly confused: readonly Confused[];
  readonly undetermined: readonly string[];
  /** Places for one more microphone, the most telling first; at most five. */
  readonly nextMicrophone: readonly NextMicrophone[];
  readonly reasons: readonly string[];
}

export interface FittedValue {
  readonly name: string;
  readonly unit: string;
  /** Off from the venue file, in `unit`. */
  readonly change: number;
  readonly standardError: number;
  /** Standard error after the fit over that before, 0…1: 1 says that nothing was learned. */
  readonly left_fraction: number;
}

export interface NextMicrophone {
  readonly position: Position;
  /** Standard error of the offset with a microphone there, dB. */
  readonly standardError_db: number;
}

/** Two values of which the measurement tells a combination, not each. */
export interface Confused {
  readonly values: readonly [string, string];
  /** Correlation of their errors, −1…1. */
  readonly correlation: number;
  readonly reason: string;
}
