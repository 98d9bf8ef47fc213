/** What boards before a cavity's opening leave: a solid block with a hard front. */
import { add, cross, dot, norm, type Point, scale, subtract } from "../acoustics/point";
import type { Boundary, Cavity, Venue } from "./venue";

/**
 * A venue with all of its cavities boarded up.
 *
 * @param venue  what stands where
 * @param isClosed  which of them, where not all
 */
export function closed<V extends Place>(venue: V, isClosed: (cavity: Cavity) => boolean = () => true): V {
  return {
    ...venue,
    boundaries: [...venue.boundaries, ...venue.cavities.filter(isClosed).flatMap((c) => blockOf(c, venue))],
    cavities: venue.cavities.filter((cavity) => !isClosed(cavity)),
  };
}

type Place = Pick<Venue, "boundaries" | "cavities" | "frontOfHouse">;

/** Boards and their frame. */
const BOARDS = { frequency: [125, 500], value: [0.1, 0.05] };

/** The faces of the block, but for the one that it stands on; none where the opening is cut from a boundary, which then goes on. */
export function blockOf(cavity: Cavity, { boundaries, frontOfHouse }: Omit<Place, "cavities">): Boundary[] {
  const { name, opening, depth } = cavity;
  if (boundaries.some((boundary) => opening.every((corner) => isOn(boundary, corner)))) return [];
  const normal = cross(subtract(opening[1], opening[0]), subtract(opening[3], opening[0]));
  // The cavity lies on the side where the audience isn't.
  const away = dot(normal, subtract(opening[0], frontOfHouse.corners[0])) > 0 ? 1 : -1;
  const inward = scale(normal, (away * depth) / norm(normal));
  const end = opening.map((corner) => add(corner, inward)) as unknown as Boundary["corners"];
  const sides = opening.map((corner, i): Boundary["corners"] => {
    const next = (i + 1) % 4;
    return [corner, opening[next], end[next], end[i]];
  });
  const height = (corners: readonly Point[]) => corners.reduce((sum, { z }) => sum + z, 0);
  const lowest = Math.min(...sides.map(height));
  const faces = [opening, ...sides.filter((side) => height(side) > lowest + 1e-6), end];
  return faces.map((corners, i) => ({
    name: `${name}, closed${i === 0 ? "" : `, face ${i + 1}`}`,
    corners,
    absorption: BOARDS,
  }));
}

/** Metres within which a point lies on a rectangle. */
const NEAR = 0.05;

function isOn({ corners: [a, b, , d] }: Boundary, point: Point): boolean {
  const [u, v, p] = [b, d, point].map((end) => subtract(end, a));
  const normal = cross(u, v);
  const within = (side: Point) => {
    const at = dot(p, side) / norm(side);
    return at >= -NEAR && at <= norm(side) + NEAR;
  };
  return Math.abs(dot(p, normal)) <= NEAR * norm(normal) && within(u) && within(v);
}
