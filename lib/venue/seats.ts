/** Where people listen: seats over the audience, positions where the mix engineer may stand, and the named ones. */
import type { Point } from "../acoustics/point";
import { add, norm, scale, subtract } from "../acoustics/point";
import type { Position } from "../survey/survey";
import type { Corners } from "./shape";
import { quadArea } from "./shape";
import type { Venue } from "./venue";

/**
 * Seats spread evenly over the audience.
 *
 * Each area is divided into rows from its front edge to its back edge, and each row into seats, about as far apart as
 * asked; a seat stands for the people in its cell. Rows and seats are counted from the front and from house left.
 *
 * @param venue  what stands where
 * @param options  how far apart, or about how many
 * @returns one position per seat at ear height, metres, area by area; `people` sums to the audience's capacity
 * @throws RangeError when the spacing or the count is not positive, or they would make more than a million seats
 * @source own way, no outside source; check: tests/venue/geometry.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall"); // 14 m × 19.24 m × 1.6 people per m²
 * venues.seats(hall, { count: 12 }).reduce((sum, seat) => sum + seat.people, 0) // 430.9
 */
export function seats(
  venue: Venue,
  options: {
    /** Between neighbouring seats, metres, > 0. Default 1. */
    readonly spacing?: number;
    /** About how many seats in all, 1 or more, in place of a spacing. */
    readonly count?: number;
  } = {},
): Position[] {
  const whole = venue.audience.reduce((sum, { corners }) => sum + quadArea(corners), 0);
  if (options.count !== undefined && !(options.count >= 1)) {
    throw new RangeError(`count is ${options.count}, expected 1 or more`);
  }
  const spacing = options.count !== undefined ? Math.sqrt(whole / options.count) : (options.spacing ?? 1);
  return venue.audience.flatMap((area) =>
    grid(area.corners, spacing).map(({ point, row, seat, cell }) => ({
      id: `${area.name} ${row}-${seat}`,
      point: { x: point.x, y: point.y, z: point.z + area.earHeight },
      area: area.name,
      people: cell * area.density,
    })),
  );
}

/**
 * Positions where the mix engineer may stand, spread evenly over the front-of-house zone.
 *
 * @param venue  what stands where
 * @param options  how far apart
 * @returns positions at ear height, metres, from the front and from house left, standing for no audience
 * @throws RangeError when the spacing is not positive or would make more than a million positions
 * @source own way, no outside source; check: tests/venue/geometry.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall"); // a zone of 8 m × 7 m
 * venues.zone(hall, { spacing: 1 }).length // 56
 */
export function frontOfHousePositions(
  venue: Venue,
  {
    spacing = 1,
  }: {
    /** Between neighbouring positions, metres, > 0. Default 1. */
    readonly spacing?: number;
  } = {},
): Position[] {
  const { corners, earHeight } = venue.frontOfHouse;
  return grid(corners, spacing).map(({ point, row, seat }) => ({
    id: `front of house ${row}-${seat}`,
    point: { x: point.x, y: point.y, z: point.z + earHeight },
    area: "front of house",
    people: 0,
  }));
}

/**
 * The venue's named points, such as microphones and the mix position, as positions that stand for no audience.
 *
 * @param venue  what stands where
 * @param ids  of those to give, in this order; all, in the order of the file, by default
 * @returns one position for each, metres
 * @throws RangeError when the venue has none of that name
 * @source own way, no outside source; check: tests/venue/geometry.test.ts
 * @example
 * const hall = read.venue("pennavoe-assembly-hall");
 * venues.positions(hall, ["row 1", "mix position"]).map((p) => p.point.x) // [3.1, 18]
 */
export function namedPositions(venue: Venue, ids?: readonly string[]): Position[] {
  const all = venue.positions.map(({ id, point }) => ({ id, point, area: "places", people: 0 }));
  return (
    ids?.map((id) => {
      const found = all.find((position) => position.id === id);
      if (found) return found;
      throw new RangeError(
        `the venue has no position "${id}", expected ${all.map((p) => `"${p.id}"`).join(", ")}`,
      );
    }) ?? all
  );
}

const MOST_SEATS = 1e6;

/** Middles of the cells of a quadrilateral, row by row from the front, from house left to house right. */
function grid(
  corners: Corners,
  spacing: number,
): { point: Point; row: number; seat: number; cell: number }[] {
  if (!(spacing > 0)) throw new RangeError(`spacing is ${spacing}, expected metres more than 0`);
  const [frontLeft, frontRight, backRight, backLeft] = corners;
  const between = (a: Point, b: Point, t: number): Point => add(a, scale(subtract(b, a), t));
  const middle = (a: Point, b: Point) => between(a, b, 0.5);
  const deep = norm(subtract(middle(backLeft, backRight), middle(frontLeft, frontRight)));
  const rows = Math.max(1, Math.round(deep / spacing));
  const positions: { point: Point; row: number; seat: number; cell: number }[] = [];
  for (let row = 1; row <= rows; row++) {
    const edge = (t: number) => [between(frontLeft, backLeft, t), between(frontRight, backRight, t)] as const;
    const [left, right] = edge((row - 0.5) / rows);
    const cellCorners = [...edge((row - 1) / rows), ...edge(row / rows)] as const;
    const strip = quadArea([cellCorners[0], cellCorners[1], cellCorners[3], cellCorners[2]]);
    const wide = Math.max(1, Math.round(norm(subtract(right, left)) / spacing));
    if (positions.length + wide > MOST_SEATS) {
      throw new RangeError(`spacing is ${spacing}, expected one that makes fewer than a million positions`);
    }
    for (let seat = 1; seat <= wide; seat++) {
      positions.push({ point: between(left, right, (seat - 0.5) / wide), row, seat, cell: strip / wide });
    }
  }
  return positions;
}
