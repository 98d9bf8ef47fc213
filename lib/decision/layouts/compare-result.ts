/** What the comparison of layouts answers. */
import type { AudienceSummary } from "../balance/summary";

/** Plain data; every key carries its unit. */
export interface LayoutComparison {
  /** Name of the venue. */
  readonly venue: string;
  /** Lowest and highest nominal third octave of the low band. */
  readonly lowBand_hz: readonly [number, number];
  /** Target for the level of the low band over the mid band. */
  readonly targetTilt_db: number;
  /** Number of seats that were computed. */
  readonly seats: number;
  /** In the order given. */
  readonly layouts: readonly LayoutFigures[];
  /** What tells them apart, in sentences. */
  readonly reasons: readonly string[];
}

/** One layout at the level offset that suits the audience best. */
export interface LayoutFigures {
  /** As it was given. */
  readonly name: string;
  /** Number of cabinets. */
  readonly cabinets: number;
  /** Level offset on top of the layout's own gains, dB. */
  readonly offset_db: number;
  /** True when a limit, not the audience, decides the offset. */
  readonly limited: boolean;
  /** Deviation of the balance from the target: root mean square over the people. The measure of evenness. */
  readonly deviation_db: number;
  /** Deviations of the balance over the audience, with the fractions within ±3 dB and ±6 dB. */
  readonly audience: AudienceSummary;
  /** Mean over the rows of the most less the least bass in a row; null where no row has two seats. */
  readonly sideToSide_db: number | null;
  /** Weighted standard deviation from seat to seat in each third-octave band, mean over the low band: stripes show here. */
  readonly thirdOctaveSpread_db: number;
  /** The subs' level alone, front row less back row, dB. */
  readonly subsFrontToBack_db: number;
  /** The subs' level alone: mean over the rows of the loudest less the softest seat in a row. */
  readonly subsSideToSide_db: number | null;
  /** Low band of mains and subs at the front row over that of the whole audience, power means, dB: less is relief. */
  readonly frontRow_db: number;
  /** The same at the front row as a level, dB re 20 µPa per third-octave band. */
  readonly frontRowLevel_db: number;
  /** Low band of the subs on stage over that in the audience, power means, dB; null where there is no stage. */
  readonly spill_db: number | null;
  /** Low band of the subs in the audience with the loudest cabinet at the level the venue gives it, dB re 20 µPa per third. */
  readonly level_db: number;
  /** What the loudest cabinet must play over the level the venue gives it, dB; above the headroom it can't. */
  readonly loudest_db: number;
  /** Names of the layouts whose evenness differs by less than a drawing can tell, 0.3 dB. */
  readonly tiedWith: readonly string[];
  /** Names of the layouts that are at least as good in evenness, front row and spill, and better in one by more than a tie. */
  readonly beatenBy: readonly string[];
  /** What the layout says about its own limits, in sentences. */
  readonly warnings: readonly string[];
}
