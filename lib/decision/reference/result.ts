/** What the ranking of places is asked with and what it answers. */
import type { Point } from "../../acoustics/point";
import type { OffsetOptions } from "../offset/result";

export interface ReferenceOptions extends OffsetOptions {
  /** Offset of the subs at which to judge, dB. Default: the one that `levelOffset` finds. */
  readonly offset?: number;
  /** How far neighbours count for the change per metre, metres. Default 3. */
  readonly radius?: number;
}

/** Plain data; every key carries its unit. */
export interface ReferenceResult {
  readonly survey: string;
  readonly offset_db: number;
  /** The audience's deviation from the target that stands for all: median, mean or mid-range after the criterion. */
  readonly audience_db: number;
  readonly thirdOctaves_hz: readonly number[];
  /** The audience's mean level per third-octave band over its mid band. */
  readonly audienceThirdOctaves_db: readonly number[];
  /** Best first. */
  readonly positions: readonly RankedPosition[];
  readonly reasons: readonly string[];
}

export interface RankedPosition {
  /** 1 is best. */
  readonly rank: number;
  readonly id: string;
  readonly area: string;
  readonly point: Point;
  /** What a judgement made here is off by, dB: bias, change over a metre and spectrum together. */
  readonly score_db: number;
  /** Balance here less the audience's: positive hears more bass than the people do. */
  readonly bias_db: number;
  /** Change of the balance for a metre toward the back, and toward house left; null where no neighbour tells. */
  readonly towardBack_db_per_m: number | null;
  readonly towardLeft_db_per_m: number | null;
  /** Third octaves that are lacking here but not in the audience. */
  readonly notches: readonly { readonly frequency_hz: number; readonly depth_db: number }[];
  /** Root mean square difference of the spectrum from the audience's, its mean taken out. */
  readonly spectrum_rms_db: number;
  /** Difference of each third-octave band from the audience's mean, dB. */
  readonly difference_db: readonly number[];
  readonly correction: Correction;
  readonly reason: string;
}

/** What to bear in mind when the mix engineer must stay here. */
export interface Correction {
  /** How much more bass than the target should be heard here for the audience to have it right, dB. */
  readonly low_db: number;
  /** The few third-octave bands that mislead most: how much more of each is heard here than the audience has. */
  readonly bands: readonly { readonly frequency_hz: number; readonly heard_db: number }[];
}
