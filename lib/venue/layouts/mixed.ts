/** Several layouts that play together, such as a flown column with a few cabinets on the floor. */
import type { Layout } from "./layout";

/**
 * A mixed layout: the cabinets of several layouts, each kept with its own level, delay and polarity.
 *
 * No law holds for all mixtures: where two parts are at about equal level, seats whose paths to them differ by half a
 * wavelength hear them cancel. Set each part's delay for a chosen seat, then look at the others.
 *
 * @param parts  layouts with ids that differ
 * @returns all cabinets in the order of the parts, and all their warnings
 * @throws RangeError when two cabinets share an id
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
