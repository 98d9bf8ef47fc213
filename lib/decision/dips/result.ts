/** What the search for dips is asked with and what it finds. */

/** What was listened to: the subs alone, the mains alone, or both with their fills. */
export type DipPart = "subs" | "mains" | "sum";

export interface DipOptions {
  /** Which parts to search. Default all three. */
  readonly parts?: readonly DipPart[];
  /** Lowest and highest frequency of a dip, hertz, by part. Default 25 to 160 for the subs, 60 to 315 for the mains, 25 to 315 for the sum. */
  readonly range?: Partial<Readonly<Record<DipPart, readonly [number, number]>>>;
  /** Least depth below the neighbourhood, dB. Default 4. */
  readonly leastDepth?: number;
  /** Fine smoothing: windows per octave. Default 12. */
  readonly smoothing?: number;
  /** Width of the neighbourhood, octaves. Default 1.5. */
  readonly neighbourhood?: number;
  /** Magnitude-squared coherence below which a dip is doubtful, 0…1. Default 0.5. */
  readonly coherenceLimit?: number;
}

/** One dip at one position. Plain data; every key carries its unit. */
export interface Dip {
  readonly part: DipPart;
  readonly position: string;
  /** Index of the position in its survey. */
  readonly row: number;
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
  readonly part: DipPart;
  readonly dips: readonly Dip[];
  /** Geometric mean. */
  readonly frequency_hz: number;
  readonly lowest_hz: number;
  readonly highest_hz: number;
  /** Mean over its positions. */
  readonly depth_db: number;
  /** Share of the survey's positions that have it, 0…1. */
  readonly positions_fraction: number;
  /** "stays put" front to back, "wanders" from place to place, "alone" where too few positions have it to tell. */
  readonly behaviour: "stays put" | "wanders" | "alone";
  /** What that says, in words. */
  readonly reason: string;
}

export interface DipSearch {
  readonly survey: string;
  /** Deepest and most widespread first. */
  readonly groups: readonly DipGroup[];
  readonly leastDepth_db: number;
  readonly range_hz: Readonly<Record<DipPart, readonly [number, number]>>;
  readonly reasons: readonly string[];
}

/** A dip of a curve, before one knows where it was heard. */
export interface CurveDip {
  readonly frequency_hz: number;
  readonly depth_db: number;
  readonly width_octaves: number;
}
