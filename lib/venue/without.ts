import { closed } from "./closed";
import type { Venue } from "./venue";

/**
 * A venue with some of its walls taken away, or cavities boarded up, to see what they did.
 *
 * @param venue  what stands where
 * @param name  how the names of the boundaries or cavities begin, such as "wall behind"
 * @returns a venue like it, without them; where a cavity was, a solid block with a hard front
 * @throws RangeError when no boundary and no cavity has such a name
 * @source own way, no outside source; check: tests/lesson/figures/lesson-figures.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall"); // its one cavity is under the stage
 * venues.without(hall, "under the stage").cavities.length // 0
 */
export function without(venue: Venue, name: string): Venue {
  const stays = (part: { readonly name: string }) => !part.name.startsWith(name);
  const parts = [...venue.boundaries, ...venue.cavities];
  if (parts.every(stays)) {
    throw new RangeError(
      `"${venue.name}" has no wall or cavity "${name}", it has ${parts.map((p) => `"${p.name}"`).join(", ")}`,
    );
  }
  return closed({ ...venue, boundaries: venue.boundaries.filter(stays) }, (cavity) => !stays(cavity));
}
