/** For how many people each microphone stands: everyone in the audience counts for the microphone nearest to them. */
import { distance, dot, type Point, subtract } from "../acoustics/point";
import type { Position } from "../survey/survey";
import { seats } from "../venue/seats";
import type { Place, Venue, Zone } from "../venue/venue";

/**
 * Positions for a venue's places, with the people each stands for.
 *
 * A place inside the front-of-house zone stands for nobody: it is where the mixer listens.
 *
 * @param venue   the venue
 * @param places  where microphones stood
 * @returns one position per place, in their order
 */
export function standFor(venue: Venue, places: readonly Place[]): Position[] {
  const mixing = places.map((place) => inZone(venue.frontOfHouse, place.point));
  const people = places.map(() => 0);
  const area = places.map(() => ({
    name: venue.audience[0]?.name ?? "audience",
    at: Number.POSITIVE_INFINITY,
  }));
  for (const seat of seats(venue)) {
    let nearest = -1;
    let least = Number.POSITIVE_INFINITY;
    places.forEach((place, i) => {
      const away = distance(place.point, seat.point);
      if (away < area[i].at) area[i] = { name: seat.area, at: away };
      if (!mixing[i] && away < least) {
        nearest = i;
        least = away;
      }
    });
    if (nearest >= 0) people[nearest] += seat.people;
  }
  return places.map((place, i) => ({
    id: place.id,
    point: place.point,
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
