/** What the level offset is asked with and what it answers. */
import type { BalanceOptions } from "../balance/balance";
import type { Residual } from "../balance/residual";
import type { AudienceSummary } from "../balance/summary";
import type { Criterion } from "./criterion";
import type { OffsetInterval } from "./interval";
import type { FrontRow, LimitFound, Limits } from "./limits";

export interface OffsetOptions extends BalanceOptions {
  /** Which deviation over the audience is to be least. Default "least mean square". */
  readonly criterion?: Criterion;
  /** Lowest and highest offset to search, dB. Default −30 and 30. */
  readonly range?: readonly [number, number];
  /** Listening level at which the target is meant, dB re 20 µPa a third octave in the mid band, 50 to 90. Default 85. */
  readonly targetLevel?: number;
  /** What the subs' level must not exceed. Default: no limits. */
  readonly limits?: Limits;
  /** Ids of the positions where the mix is made. Default: those whose area is "front of house". */
  readonly mixPositions?: readonly string[];
  /** Probability that the interval for the offset is to hold the true one, 0…1. Default 0.9. */
  readonly confidence?: number;
  /** Seed of the draws behind that interval. Default 1. */
  readonly seed?: number;
}

/** Plain data; every key carries its unit. */
export interface OffsetResult {
  /** Name of the survey. */
  readonly survey: string;
  /** The criterion that decided. */
  readonly criterion: Criterion;
  /** Target for the level of the low band over the mid band. */
  readonly targetTilt_db: number;
  /** Listening level at which that is meant, dB re 20 µPa a third octave in the mid band. */
  readonly targetLevel_db: number;
  /** The offset to set, dB: within the limits, by the chosen criterion. */
  readonly offset_db: number;
  /** Mean, root mean square or largest deviation there, after the criterion. */
  readonly cost_db: number;
  /** What the audience gets at this offset. */
  readonly audience: AudienceSummary;
  /** The answers of all three criteria, without limits. */
  readonly choices: readonly OffsetChoice[];
  /** The highest offset that the limits allow. */
  readonly limits: LimitFound;
  /** How far the subs can still be raised at this offset, dB; null where their headroom was not given. */
  readonly headroomLeft_db: number | null;
  /** Level at the front row at this offset; null for a survey of ratios. */
  readonly frontRow: FrontRow | null;
  /** True when a limit, not the audience, decides. */
  readonly limited: boolean;
  /** True when the best lies at an end of the searched range: the subs can't give the target. */
  readonly atEndOfRange: boolean;
  /** Offsets that cost at most half a decibel more than the best: how flat the optimum is. */
  readonly flat_db: readonly [number, number];
  /** Cost over offset. */
  readonly curve: CostCurve;
  /** What is left in each third octave at this offset. */
  readonly residual: Residual;
  /** What front row, middle, mix position and back would prefer, and what all would get then. */
  readonly preferred: readonly PreferredOffset[];
  /** What each position would prefer, in the order of the survey. */
  readonly preferredAt: readonly {
    readonly id: string;
    readonly offset_db: number;
    readonly reachesTarget: boolean;
  }[];
  /** From the coherence of a measurement; null where there is none. */
  readonly interval: OffsetInterval | null;
  /** The decision and its limits, in sentences. */
  readonly reasons: readonly string[];
}

export interface OffsetChoice {
  /** By which it is best. */
  readonly criterion: Criterion;
  /** The best offset. */
  readonly offset_db: number;
  /** Mean, root mean square or largest deviation there, after the criterion. */
  readonly cost_db: number;
  /** What the audience gets there. */
  readonly audience: AudienceSummary;
}

/** Costs of every choice, one value per offset. */
export interface CostCurve {
  /** Offsets, ascending. */
  readonly offset_db: readonly number[];
  /** Mean size of the deviation at each. */
  readonly meanAbsolute_db: readonly number[];
  /** Root mean square deviation at each. */
  readonly rms_db: readonly number[];
  /** Largest size of a deviation at each. */
  readonly worst_db: readonly number[];
  /** Fraction of the people within ±3 dB of the target at each, 0…1. */
  readonly within3dB_fraction: readonly number[];
  /** Fraction of the people within ±6 dB of the target at each, 0…1. */
  readonly within6dB_fraction: readonly number[];
}

export interface PreferredOffset {
  /** Who would prefer it. */
  readonly who: "front row" | "middle" | "mix position" | "back row";
  /** Ids of their positions. */
  readonly positions: readonly string[];
  /** The offset that they would prefer. */
  readonly offset_db: number;
  /** What the audience would get then. */
  readonly audience: AudienceSummary;
  /** Cost for the audience over the best choice, by the criterion, dB. */
  readonly loss_db: number;
}
