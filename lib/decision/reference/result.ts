/** What the ranking of places is asked with and what it answers. */
import type { Point } from "../../acoustics/point";
import type { OffsetOptions } from "../offset/result";

export interface ReferenceOptions extends OffsetOptions {
  /** Offset of the subs at which to judge, dB. Default: the one that `decide.offset` finds. */
  readonly offset?: number;
  /** How far neighbours count for the change per metre, metres. Default 3. */
  readonly radius?: number;
}

/** Plain data; every key carries its unit. */
export interface ReferenceResult {
  /** Name of the audience's survey. */
  readonly survey: string;
  /** Offset of the subs at which it was judged. */
  readonly offset_db: number;
  /** The audience's deviation from the target that stands for all: median, mean or mid-range after the criterion. */
  readonly audience_db: number;
  /** Nominal mid-band frequencies of the third-octave bands below. */
  readonly thirdOctaves_hz: readonly number[];
  /** The audience's mean level per third-octave band over its mid band. */
  readonly audienceThirdOctaves_db: readonly number[];
  /** Best first. */
  readonly positions: readonly RankedPosition[];
  /** How it was judged, in sentences. */
  readonly reasons: readonly string[];
}

export interface RankedPosition {
  /** 1 is best. */
  readonly rank: number;
  /** Name of the position. */
  readonly id: string;
  /** Part of the venue that it belongs to. */
  readonly area: string;
  /** Where it is, metres. */
  readonly point: Point;
  /** What a judgement made here is off by, dB: bias, change over a metre and spectrum together. */
  readonly score_db: number;
  /** Balance here less the audience's, dB: positive means more bass here than the people hear. */
  readonly bias_db: number;
  /** Change of the balance for a metre toward the back; null where no neighbour tells. */
  readonly towardBack_db_per_m: number | null;
  /** The same toward house left. */
  readonly towardLeft_db_per_m: number | null;
  /** Third octaves that are lacking here but not in the audience. */
  readonly notches: readonly { readonly frequency_hz: number; readonly depth_db: number }[];
  /** Root mean square difference of the spectrum from the audience's, its mean taken out. */
  readonly spectrum_rms_db: number;
  /** Difference of each third-octave band from the audience's mean, dB. */
  readonly difference_db: readonly number[];
  /** What to bear in mind when mixing here. */
  readonly correction: Correction;
  /** Why it has this rank, in a sentence. */
  readonly reason: string;
}

/** What to bear in mind when the mix engineer must stay here. */
export interface Correction {
  /** How much more bass than the target should be heard here for the audience to have it right, dB. */
  readonly low_db: number;
  /** The few third-octave bands that mislead most: how much more of each is heard here than the audience has. */
  readonly bands: readonly { readonly frequency_hz: number; readonly heard_db: number }[];
}
