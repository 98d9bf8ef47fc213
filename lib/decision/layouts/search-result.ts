/** What a search for layouts is asked with, tells on its way, and answers. */
import type { Point } from "../../acoustics/point";
import type { Layout } from "../../venue/layouts/layout";
import type { AudienceSummary } from "../balance/summary";
import type { LayoutContextOptions } from "./context";

/**
 * What to be good at: "evenness" of the balance over the audience, little bass at the "front row" relative to the audience as a whole, little on
 * "stage", and "level" in the audience with the loudest cabinet as the venue file gives it.
 */
export type LayoutAim = "evenness" | "front row" | "stage" | "level";

export interface SearchLayoutsOptions extends Omit<LayoutContextOptions, "limits" | "polarity" | "delay"> {
  /** Default: evenness, front row, and stage where there is one. */
  readonly aims?: readonly LayoutAim[];
  /** How many different layouts to try. Default 5000. */
  readonly candidates?: number;
  /** The same seed finds the same layouts. Default 1. */
  readonly seed?: number;
  /** Most members of the Pareto set to return, spread over it; the best in each aim are always among them. Default 30. */
  readonly keep?: number;
  /** Layouts in each generation. Default 100. */
  readonly generation?: number;
}

export interface SearchCallbacks {
  /** Called now and then. */
  readonly onProgress?: (progress: LayoutSearchProgress) => void;
  /** Asked now and then; true ends the search with the best so far. */
  readonly stop?: () => boolean;
}

export interface LayoutSearchProgress {
  /** What is being done. */
  readonly step: "mains" | "positions" | "layouts";
  /** Fraction of the step that is done, 0…1. */
  readonly fraction: number;
  /** Layouts tried so far. */
  readonly tried: number;
  /** Size of the Pareto set so far. */
  readonly kept: number;
  /** The best so far as a whole result; null while none was tried. */
  readonly best: () => LayoutSearchResult | null;
}

/** Plain data; every key carries its unit. */
export interface LayoutSearchResult {
  /** Name of the venue. */
  readonly venue: string;
  /** What was searched for. */
  readonly aims: readonly LayoutAim[];
  /** Seed of the search. */
  readonly seed: number;
  /** Number of seats that were computed. */
  readonly seats: number;
  /** Number of layouts tried. */
  readonly tried: number;
  /** False when it was stopped before all were tried. */
  readonly finished: boolean;
  /** Size of the whole Pareto set of what was tried. */
  readonly found: number;
  /** The Pareto set or `keep` of it, most even first: none is beaten by anything tried in all aims at once. */
  readonly choices: readonly LayoutChoice[];
  /** What the search found, in sentences. */
  readonly reasons: readonly string[];
}

/** One member of the Pareto set. Figures as in `decide.compareLayouts`. */
export interface LayoutChoice {
  /** "A", "B", … in the order of the set. */
  readonly name: string;
  /** What to put up, and how to set it. */
  readonly cabinets: readonly ChosenCabinet[];
  /** Level offset on top of the cabinets' own gains. */
  readonly offset_db: number;
  /** Deviation of the balance from the target: root mean square over the people. */
  readonly deviation_db: number;
  /** Low band of mains and subs at the front row over that of the whole audience: less is relief. */
  readonly frontRow_db: number;
  /** Low band of the subs on stage over that in the audience; null where there is no stage. */
  readonly spill_db: number | null;
  /** Low band of the subs in the audience with the loudest cabinet as the venue file gives it, dB re 20 µPa per third octave. */
  readonly level_db: number;
  /** What the loudest cabinet must play over the level that the venue file gives it. */
  readonly loudest_db: number;
  /** Deviations of the balance over the audience. */
  readonly audience: AudienceSummary;
  /** The same as sources, for `decide.compareLayouts` or a drawing. */
  readonly layout: Layout;
}

export interface ChosenCabinet {
  /** Name of the zone where it stands. */
  readonly zone: string;
  /** True where it hangs. */
  readonly flown: boolean;
  /** Name of its kind. */
  readonly kind: string;
  /** Middle of its front, metres. */
  readonly point: Point;
  /** Gain relative to the level that the venue file gives it. */
  readonly gain_db: number;
  /** Delay, positive is later. */
  readonly delay_ms: number;
  /** −1 is inverted. */
  readonly polarity: 1 | -1;
}
