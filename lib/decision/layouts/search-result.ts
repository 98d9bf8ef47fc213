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
  readonly step: "mains" | "positions" | "layouts";
  /** Share of the step that is done, 0…1. */
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
  readonly venue: string;
  readonly aims: readonly LayoutAim[];
  readonly seed: number;
  readonly seats: number;
  /** Layouts tried. */
  readonly tried: number;
  /** False when it was stopped before all were tried. */
  readonly finished: boolean;
  /** Size of the whole Pareto set of what was tried. */
  readonly found: number;
  /** The Pareto set or `keep` of it, most even first: none is beaten by anything tried in all aims at once. */
  readonly choices: readonly LayoutChoice[];
  readonly reasons: readonly string[];
}

/** One member of the Pareto set. Figures as in `compareLayouts`. */
export interface LayoutChoice {
  /** "A", "B", … in the order of the set. */
  readonly name: string;
  readonly cabinets: readonly ChosenCabinet[];
  readonly offset_db: number;
  readonly deviation_db: number;
  readonly frontRow_db: number;
  readonly spill_db: number | null;
  readonly level_db: number;
  readonly loudest_db: number;
  readonly audience: AudienceSummary;
  /** The same as sources, for `compareLayouts` or a drawing. */
  readonly layout: Layout;
}

export interface ChosenCabinet {
  readonly zone: string;
  readonly flown: boolean;
  readonly kind: string;
  readonly point: Point;
  readonly gain_db: number;
  readonly delay_ms: number;
  readonly polarity: 1 | -1;
}
