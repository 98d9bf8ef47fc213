/** What the alignment is asked with and what it answers. */
import type { Processing } from "../../acoustics/filters/filter";

export interface AlignmentOptions {
  /** Ids of the positions to align for. Default: the whole audience, by people. */
  readonly at?: readonly string[];
  /** Delays of the subs to search, seconds, positive is later. Default −0.02 to 0.02; a negative one delays the mains. */
  readonly delays?: readonly [number, number];
  /** Polarity of the subs to allow. Default both. */
  readonly polarity?: 1 | -1 | "both";
  /** Level of the subs over the current one, dB. Default 0. */
  readonly offset?: number;
  /** Band to align in, lower and upper edge, hertz. Default: where mains and subs are within 10 dB of each other; of fewer than five positions an octave or more. */
  readonly band?: readonly [number, number];
  /** Processing to try on either side, on top of what the survey holds; the kinds may differ. */
  readonly filters?: { readonly mains?: readonly Processing[]; readonly subs?: readonly Processing[] };
  /** Magnitude-squared coherence below which a measured frequency does not count, 0…1. Default 0: all count. */
  readonly coherenceLimit?: number;
  /** Number of people per position, to be used instead of the survey's own. */
  readonly weights?: ArrayLike<number>;
}

/** Plain data; every key carries its unit. */
export interface AlignmentResult {
  /** Name of the survey. */
  readonly survey: string;
  /** Ids aligned for, or "audience". */
  readonly for: readonly string[] | "audience";
  /** Band aligned in, lower and upper edge. */
  readonly band_hz: readonly [number, number];
  /** Where mains and subs are equally loud; null where the band was given. */
  readonly crossover_hz: number | null;
  /** Ids of the positions, in the order of every list below. Those without phase are left out. */
  readonly positions: readonly string[];
  /** Best first; of those within a tenth of a decibel, the least delay first. */
  readonly choices: readonly AlignmentChoice[];
  /** As measured: no delay, normal polarity. */
  readonly current: AlignmentChoice;
  /** The best that each position could have for itself. */
  readonly own: readonly { readonly delay_ms: number; readonly polarity: 1 | -1; readonly loss_db: number }[];
  /** What delay and polarity may change in all: the loss of the worst setting that was searched less that of the best. */
  readonly atStake: {
    /** For those aligned for. */
    readonly for_db: number;
    /** Mean over the whole audience. */
    readonly audience_db: number;
    /** At one position with settings of its own, the median. */
    readonly onePosition_db: number;
  };
  /** The decision and its limits, in sentences. */
  readonly reasons: readonly string[];
}

export interface AlignmentChoice {
  /** Delay of the subs, positive is later; a negative one is a delay of the mains. */
  readonly delay_ms: number;
  /** Polarity of the subs: −1 is inverted. */
  readonly polarity: 1 | -1;
  /** Sum below the in-phase sum for those aligned for, dB, 0 or more. */
  readonly loss_db: number;
  /** The same, mean over the whole audience, dB. */
  readonly audienceLoss_db: number;
  /** Fraction of the audience that loses at most 3 dB, 0…1. */
  readonly within3dB_fraction: number;
  /** Sum below the in-phase sum at each position, dB, for a map. */
  readonly positionLoss_db: readonly number[];
  /** What each position loses relative to its own best choice, dB. */
  readonly positionCost_db: readonly number[];
  /** Phase of mains less that of subs at each position, degrees, weighted over the band by what it does to the sum. */
  readonly phase_deg: readonly number[];
}
