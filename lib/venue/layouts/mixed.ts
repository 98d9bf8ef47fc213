/** Several layouts that play together, such as a flown array with a few cabinets on the floor. */
import type { Layout } from "./layout";

/**
 * A mixed layout: the cabinets of several layouts, each kept with its own level, delay and polarity.
 *
 * No law holds for all mixtures: where two parts are at about equal level, seats whose path lengths to them differ by half
 * a wavelength hear them cancel. Set each part's delay for a chosen seat, then look at the others.
 *
 * @param parts  layouts with ids that differ
 * @returns all cabinets in the order of the parts, and all their warnings
 * @throws RangeError when two cabinets share an id
 * @source own way, no outside source; check: tests/venue/layouts/layouts.test.ts
 * @example
 * const cabinet = read.venue("pennavoe-assembly-hall").sources.find((s) => s.group === "subs");
 * const array = layouts.flown({ cabinet, top: { x: 0, y: 0, z: 8 }, count: 4, id: "flown" });
 * const block = layouts.block({ cabinet, position: { x: 0, y: 0, z: 0.3 }, across: 2, id: "floor" });
 * layouts.mixed([array, block]).sources.length // 6
 */
export function mixed(parts: readonly Layout[]): Layout {
  const sources = parts.flatMap((part) => part.sources);
  const seen = new Set<string>();
  for (const { id } of sources) {
    if (seen.has(id)) throw new RangeError(`two cabinets are called "${id}", expected ids that differ`);
    seen.add(id);
  }
  return { sources, warnings: parts.flatMap((part) => part.warnings) };
}
