/** Names of points around a position: "mix position/1" is one around "mix position". */
import type { Venue } from "../venue/venue";

/** The position that a name in a take stands for: itself, or the one that it is a point around; undefined where there is none. */
export function positionOf(name: string, positions: readonly { readonly id: string }[]): string | undefined {
  const known = (id: string) => positions.some((p) => p.id === id);
  if (known(name)) return name;
  const around = name.slice(0, Math.max(0, name.lastIndexOf("/")));
  return known(around) ? around : undefined;
}

/** The venue with points for positions of their own, where the position they are around is drawn. */
export function withPoints(venue: Venue, names: readonly string[]): Venue {
  const points = [...new Set(names)].flatMap((id) => {
    const position = venue.positions.find((p) => p.id === positionOf(id, venue.positions));
    return position && position.id !== id ? [{ ...position, id }] : [];
  });
  return points.length > 0 ? { ...venue, positions: [...venue.positions, ...points] } : venue;
}
