/** For how many people each microphone stands: everyone in the audience counts for the microphone nearest to them. */
import { distance, dot, type Point, subtract } from "../acoustics/point";
import type { Position } from "../survey/survey";
import { seats } from "../venue/seats";
import type { NamedPoint, Venue, Zone } from "../venue/venue";

/**
 * Positions for a venue's places, with the people each stands for.
 *
 * A place inside the front-of-house zone stands for nobody: it is where the mix engineer listens.
 *
 * @param venue   the venue
 * @param positions  where microphones stood
 * @returns one position per place, in their order
 */
export function standFor(venue: Venue, positions: readonly NamedPoint[]): Position[] {
  const mixing = positions.map((position) => inZone(venue.frontOfHouse, position.point));
  const people = positions.map(() => 0);
  const area = positions.map(() => ({
    name: venue.audience[0]?.name ?? "audience",
    at: Number.POSITIVE_INFINITY,
  }));
  for (const seat of seats(venue)) {
    let nearest = -1;
    let least = Number.POSITIVE_INFINITY;
    positions.forEach((position, i) => {
      const away = distance(position.point, seat.point);
      if (away < area[i].at) area[i] = { name: seat.area, at: away };
      if (!mixing[i] && away < least) {
        nearest = i;
        least = away;
      }
    });
    if (nearest >= 0) people[nearest] += seat.people;
  }
  return positions.map((position, i) => ({
    id: position.id,
    point: position.point,
    area: mixing[i] ? "front of house" : area[i].name,
    people: Math.round(people[i]),
  }));
}

/** Above the zone's floor, within a standing person's height. */
function inZone(zone: Zone, point: Point): boolean {
  const [a, b, , d] = zone.corners;
  const along = subtract(b, a);
  const across = subtract(d, a);
  const from = subtract(point, a);
  const u = dot(from, along) / dot(along, along);
  const v = dot(from, across) / dot(across, across);
  const floor = a.z + u * along.z + v * across.z;
  return u >= 0 && u <= 1 && v >= 0 && v <= 1 && Math.abs(point.z - floor) < 2.5;
}
