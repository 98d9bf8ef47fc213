/** What the search for dips is asked with and what it finds. */

/** What was listened to: the subs alone, the mains alone, or both with their fills. */
export type DipPart = "subs" | "mains" | "sum";

export interface DipOptions {
  /** Which parts to search. Default all three. */
  readonly parts?: readonly DipPart[];
  /** Lowest and highest frequency of a dip, hertz, by part. Default 25 and 160 for the subs, 60 and 315 for the mains, 25 and 315 for the sum. */
  readonly range?: Partial<Readonly<Record<DipPart, readonly [number, number]>>>;
  /** Least depth below the neighbourhood, dB. Default 4. */
  readonly leastDepth?: number;
  /** Fine smoothing: number of windows per octave. Default 12. */
  readonly smoothing?: number;
  /** Width of the neighbourhood, octaves. Default 1.5. */
  readonly neighbourhood?: number;
  /** Magnitude-squared coherence below which a dip is doubtful, 0…1. Default 0.5. */
  readonly coherenceLimit?: number;
}

/** One dip at one position. Plain data; every key carries its unit. */
export interface Dip {
  /** What was listened to. */
  readonly part: DipPart;
  /** Id of the position. */
  readonly position: string;
  /** Index of the position in its survey. */
  readonly row: number;
  /** Where it is deepest. */
  readonly frequency_hz: number;
  /** Below the neighbourhood, dB, above 0. */
  readonly depth_db: number;
  /** Between the frequencies where half the depth is left, octaves. */
  readonly width_octaves: number;
  /** Magnitude-squared coherence at the dip; of a sum the lower one of the parts that count there. Null where none is known. */
  readonly coherence: number | null;
  /** True where the coherence is too low to trust the dip. */
  readonly doubtful: boolean;
}

/** Dips that belong together. */
export interface DipGroup {
  /** What was listened to. */
  readonly part: DipPart;
  /** Its dips, one at each of its positions. */
  readonly dips: readonly Dip[];
  /** Geometric mean of their frequencies. */
  readonly frequency_hz: number;
  /** Lowest of their frequencies. */
  readonly lowest_hz: number;
  /** Highest of their frequencies. */
  readonly highest_hz: number;
  /** Mean depth over its positions. */
  readonly depth_db: number;
  /** Fraction of the survey's positions that have it, 0…1. */
  readonly positions_fraction: number;
  /** "stays put" front to back, "wanders" from position to position, "alone" where too few positions have it to tell. */
  readonly behaviour: "stays put" | "wanders" | "alone";
  /** What that says, in words. */
  readonly reason: string;
}

export interface DipSearch {
  /** Name of the survey. */
  readonly survey: string;
  /** Deepest and most widespread first. */
  readonly groups: readonly DipGroup[];
  /** Least depth that was asked for. */
  readonly leastDepth_db: number;
  /** Lowest and highest frequency searched, by part. */
  readonly range_hz: Readonly<Record<DipPart, readonly [number, number]>>;
  /** What one should know of the search, in sentences. */
  readonly reasons: readonly string[];
}

/** A dip of a curve, before one knows where it was heard. */
export interface CurveDip {
  readonly frequency_hz: number;
  readonly depth_db: number;
  readonly width_octaves: number;
}
