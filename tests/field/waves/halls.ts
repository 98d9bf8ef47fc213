/** Halls of `field_waves.json` as venues. */
import type { Boundary, Cavity, Venue } from "../../../lib/venue/venue";
import type reference from "../reference/field_waves.json";
import { box, venue } from "../venues";

export type Hall = (typeof reference.halls)[number];
type Triple = readonly number[];

/** A hall of the reference as a venue. */
export function venueOf(hall: Hall, more: Partial<Venue>): Venue {
  const size = hall.size.map((n) => n / 10);
  const [x, y, z] = size;
  const volume = x * y * z;
  const areas: Record<string, number> = {
    west: y * z,
    east: y * z,
    south: x * z,
    north: x * z,
    floor: x * y,
    ceiling: x * y,
  };
  const taken = Object.entries(hall.walls).reduce(
    (sum, [name, absorption]) => sum + absorption * areas[name],
    0,
  );
  return venue({
    audience: [
      {
        name: "floor",
        corners: [point([3, 1, 0]), point([3, y - 1, 0]), point([x - 1, y - 1, 0]), point([x - 1, 1, 0])],
        earHeight: 1.25,
        density: 1,
      },
    ],
    boundaries: [
      ...box(size, hall.walls),
      ...hall.solids.flatMap((solid, i) => faces(hall, solid, `solid ${i}`)),
      ...hall.rakes.map(rakeOf),
    ],
    cavities: hall.hollows.map(cavityOf),
    room: {
      volume,
      surface: Object.values(areas).reduce((sum, area) => sum + area, 0),
      reverberationTime: { frequency: [1000], value: [(0.161 * volume) / taken] },
    },
    ...more,
  });
}

/** Faces of a solid that lie in the hall's air. */
function faces({ size }: Hall, solid: Hall["solids"][number], name: string): Boundary[] {
  return [0, 1, 2].flatMap((axis) =>
    [solid.from[axis], solid.to[axis]].flatMap((height) => {
      if (height === 0 || height === size[axis]) return [];
      const corners = cornersAt(solid.from, solid.to, axis, height);
      return [
        {
          name: `${name}, ${"xyz"[axis]} = ${height / 10}`,
          corners,
          absorption: { frequency: [1000], value: [solid.absorption] },
        },
      ];
    }),
  );
}

/** A slope over the hall's whole width. */
const rakeOf = (
  { from: [x0, z0], to: [x1, z1], absorption }: Hall["rakes"][number],
  i: number,
): Boundary => ({
  name: `rake ${i}`,
  corners: [
    point([x0 / 10, 0, z0 / 10]),
    point([x1 / 10, 0, z1 / 10]),
    point([x1 / 10, WIDTH, z1 / 10]),
    point([x0 / 10, WIDTH, z0 / 10]),
  ],
  absorption: { frequency: [1000], value: [absorption] },
});

const WIDTH = 6.4;

/** The hollow opens toward the audience. */
const cavityOf = ({ from, to, absorption }: Hall["hollows"][number]): Cavity => ({
  name: "hollow",
  opening: cornersAt(from, to, 0, to[0]),
  depth: (to[0] - from[0]) / 10,
  absorption: { frequency: [1000], value: [absorption] },
});

function cornersAt(from: Triple, to: Triple, axis: number, height: number): Boundary["corners"] {
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  const corner = (a: number, b: number) => {
    const p = [0, 0, 0];
    p[axis] = height / 10;
    p[u] = a / 10;
    p[v] = b / 10;
    return point(p);
  };
  return [corner(from[u], from[v]), corner(to[u], from[v]), corner(to[u], to[v]), corner(from[u], to[v])];
}

export function point([x, y, z]: Triple) {
  return { x, y, z };
}
