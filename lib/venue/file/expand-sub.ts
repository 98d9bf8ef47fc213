/** One entry of the file's subs through the layout that it names. */
import { orientation } from "../direction";
import { arc, block, endFire, flown, gradient, line, pair } from "../layouts";
import type { Layout } from "../layouts/layout";
import type { Cabinet, Filter } from "../venue";
import type { VenueFile } from "./schema/file";

interface Common {
  readonly id: string;
  readonly cabinet: Cabinet;
  readonly soundSpeed: number;
  readonly gain: number;
  readonly delay: number;
  readonly polarity: 1 | -1;
  readonly filters: readonly Filter[];
}

/**
 * The cabinets of one entry.
 *
 * @param entry  the entry, in metres
 * @param common  its cabinet and processing in SI, and the speed of sound in metres per second
 * @returns the layout's sources and warnings
 */
export function expandSub(entry: VenueFile["subs"][number], { soundSpeed, ...common }: Common): Layout {
  const options = {
    ...common,
    ...orientation(entry.aim.horizontal, entry.aim.down),
    speedOfSound: soundSpeed,
    upTo: entry.upTo ?? crossover(common.filters),
  };
  switch (entry.layout) {
    case "flown":
      return flown({ ...options, top: entry.top, count: entry.count, spacing: entry.spacing });
    case "single":
      return block({ ...options, position: entry.position });
    case "centre-block":
      return block({ ...options, position: entry.position, across: entry.across, high: entry.high });
    case "pair":
      return pair({ ...options, position: entry.position, across: entry.across, high: entry.high });
    case "line":
      return line({ ...options, position: entry.position, count: entry.count, spacing: entry.spacing });
    case "arc":
      return arc({
        ...options,
        position: entry.position,
        count: entry.count,
        spacing: entry.spacing,
        openingAngle: (entry.openingAngle * Math.PI) / 180,
      });
    case "gradient":
      return gradient({
        ...options,
        position: entry.position,
        elements: entry.elements,
        spacing: entry.spacing,
      });
    case "end-fire":
      return endFire({ ...options, position: entry.position, count: entry.count, spacing: entry.spacing });
  }
}

/** The lowest low-pass of the processing, hertz: the highest frequency that the subs play. */
function crossover(filters: readonly Filter[]): number | undefined {
  const lows = filters.flatMap((f) => ("type" in f && f.type === "lowpass" ? [f.frequency] : []));
  return lows.length ? Math.min(...lows) : undefined;
}
