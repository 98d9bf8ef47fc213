import type { Venue } from "./venue";

/**
 * A venue with some of its walls taken away, to see what they did.
 *
 * @param venue  what stands where
 * @param name  how the names of the boundaries or cavities begin, such as "wall behind"
 * @returns the venue without them
 * @throws RangeError when no boundary and no cavity has such a name
 */
export function without(venue: Venue, name: string): Venue {
  const stays = (part: { readonly name: string }) => !part.name.startsWith(name);
  const parts = [...venue.boundaries, ...venue.cavities];
  if (parts.every(stays)) {
    throw new RangeError(
      `"${venue.name}" has no wall or cavity "${name}", it has ${parts.map((p) => `"${p.name}"`).join(", ")}`,
    );
  }
  return { ...venue, boundaries: venue.boundaries.filter(stays), cavities: venue.cavities.filter(stays) };
}
