/** What a file can get wrong although every entry by itself is in order. */
import type { Point } from "../../acoustics/point";
import { FACE_NAMES } from "../box";
import { floorFault, rectangleFault } from "../shape";
import type { Venue } from "../venue";
import type { Problem } from "./problems";
import { show, writePath } from "./problems";
import type { VenueFile } from "./schema/file";
import type { WriteLength } from "./units";

export const MOST_SOURCES = 2000;

type Path = readonly PropertyKey[];

/** A problem where there is a fault, else none. */
const at = (path: Path, fault: string | undefined): Problem[] =>
  fault === undefined ? [] : [{ path: writePath(path), text: fault }];

/**
 * Consistency of a venue.
 *
 * @param venue  the venue
 * @param file  the file it came from, in metres, for the paths in the messages
 * @param origins  the file's path behind each source
 * @param write  writes a length in the unit of the file
 * @returns the problems found, none where all is well
 */
export function checkVenue(
  venue: Venue,
  file: VenueFile,
  origins: readonly Path[],
  write: WriteLength,
): Problem[] {
  const total = venue.sources.length;
  return [
    ...sharedNames(file),
    ...shapes(venue, file, write),
    ...filterOrders(file),
    ...sharedIds(venue, origins),
    ...outsideBox(venue, file, origins, write),
    ...belowFloor(venue, file, origins, write),
    ...decay(venue),
    ...at([], total > MOST_SOURCES ? `has ${total} sources, expected at most ${MOST_SOURCES}` : undefined),
  ];
}

/** Names must differ: figures, messages and shows refer to things by them. */
function sharedNames(file: VenueFile): Problem[] {
  const lists: [string, string, readonly string[]][] = [
    ["mains", "name", file.mains.map((entry) => entry.name)],
    ["subs", "name", file.subs.map((entry) => entry.name)],
    ["fills", "name", file.fills.map((entry) => entry.name)],
    ["audience", "name", file.audience.map((entry) => entry.name)],
    ["boundaries", "name", file.boundaries.map((entry) => entry.name)],
    ["cavities", "name", file.cavities.map((entry) => entry.name)],
    ["positions", "id", file.positions.map((entry) => entry.id)],
  ];
  const faces = file.box ? Object.values(FACE_NAMES) : [];
  const asFace = file.boundaries.flatMap(({ name }, i) =>
    at(
      ["boundaries", i, "name"],
      faces.includes(name)
        ? `is ${show(name)} like that of a face of the box, expected another name`
        : undefined,
    ),
  );
  const twice = lists.flatMap(([list, key, names]) =>
    names.flatMap((name, i) => {
      const first = names.indexOf(name);
      if (first === i) return [];
      return at([list, i, key], `is ${show(name)} like that of ${list}[${first}], expected another name`);
    }),
  );
  return [...twice, ...asFace];
}

function shapes(venue: Venue, file: VenueFile, write: WriteLength): Problem[] {
  return [
    ...venue.audience.flatMap(({ corners }, i) => at(["audience", i], floorFault(corners, write))),
    ...at(["frontOfHouse"], floorFault(venue.frontOfHouse.corners, write)),
    ...(venue.stage ? at(["stage"], floorFault(venue.stage.corners, write)) : []),
    ...file.boundaries.flatMap(({ corners }, i) =>
      at(["boundaries", i, "corners"], rectangleFault(corners, write)),
    ),
    ...file.cavities.flatMap(({ opening }, i) =>
      at(["cavities", i, "opening"], rectangleFault(opening, write)),
    ),
  ];
}

/** A quality factor means nothing to an all-pass of order 1. */
function filterOrders(file: VenueFile): Problem[] {
  return (["mains", "fills", "subs"] as const).flatMap((list) =>
    file[list].flatMap(({ filters }, i) =>
      filters.flatMap((filter, j) => {
        const path = [list, i, "filters", j];
        if (filter.kind === "all-pass" && filter.order === 1 && filter.q !== undefined) {
          return at([...path, "q"], `is ${filter.q}, expected none for an all-pass of order 1`);
        }
        return [];
      }),
    ),
  );
}

const AXES = ["x", "y", "z"] as const;

/** Where there is a room, nothing plays or listens beyond its walls. */
function outsideBox(venue: Venue, file: VenueFile, origins: readonly Path[], write: WriteLength): Problem[] {
  if (!file.box) return [];
  const { from, to } = file.box;
  const turned = AXES.flatMap((key) =>
    at(
      ["box", "to", key],
      to[key] > from[key]
        ? undefined
        : `is ${write(to[key])}, expected more than box.from.${key}, which is ${write(from[key])}`,
    ),
  );
  if (turned.length) return turned;
  const beyond = (path: Path, what: string, points: readonly Point[]): Problem[] => {
    for (const point of points) {
      const key = AXES.find((k) => point[k] < from[k] - SLACK || point[k] > to[k] + SLACK);
      if (key) {
        return at(
          path,
          `${what} at ${key} = ${write(point[key])}, expected ${write(from[key])} to ${write(to[key])}, within the box`,
        );
      }
    }
    return [];
  };
  return [
    ...firstOfEach(
      venue.sources.flatMap(({ id, point }, i) => beyond(origins[i], `has ${show(id)}`, [point])),
    ),
    ...venue.positions.flatMap(({ point }, i) => beyond(["positions", i, "point"], "is", [point])),
    ...venue.audience.flatMap(({ corners, earHeight }, i) => {
      const feet = beyond(["audience", i], "has a corner", corners);
      return feet.length
        ? feet
        : beyond(["audience", i, "earHeight"], "puts ears", earsOver(corners, earHeight));
    }),
    ...beyond(["frontOfHouse"], "has a corner", venue.frontOfHouse.corners),
    ...(venue.stage ? beyond(["stage"], "has a corner", venue.stage.corners) : []),
  ];
}

const SLACK = 0.001;

const earsOver = (corners: readonly Point[], height: number): Point[] =>
  corners.map((corner) => ({ ...corner, z: corner.z + height }));

/** Without a box, too, nothing hangs so low that a part of it would be under the floor. */
function belowFloor(venue: Venue, file: VenueFile, origins: readonly Path[], write: WriteLength): Problem[] {
  if (file.box) return [];
  return firstOfEach(
    venue.sources.flatMap(({ id, point }, i) => {
      const fault = `has ${show(id)} at z = ${write(point.z)}, expected it above the floor, 0 or more`;
      return at(origins[i], point.z < -SLACK ? fault : undefined);
    }),
  );
}

/** Where several elements of one entry have the same fault, the first says it. */
const firstOfEach = (problems: readonly Problem[]): Problem[] =>
  problems.filter(({ path }, i) => problems.findIndex((other) => other.path === path) === i);

/** Two entries whose sides or numbers lead to one name, such as "sub" as a pair and a single "sub left". */
function sharedIds(venue: Venue, origins: readonly Path[]): Problem[] {
  const first = new Map<string, Path>();
  const problems = venue.sources.flatMap(({ id }, i) => {
    const other = first.get(id);
    if (!other) first.set(id, origins[i]);
    return at(
      origins[i],
      other &&
        `makes a loudspeaker ${show(id)}, as ${writePath(other)} does, expected names that keep them apart`,
    );
  });
  return firstOfEach(problems);
}

/** Absorption near 0 or 1 throughout makes a decay that no room has. */
function decay(venue: Venue): Problem[] {
  const { frequency, value } = venue.room?.reverberationTime ?? { frequency: [], value: [] };
  const odd = value.findIndex((seconds) => seconds < 0.05 || seconds > 30);
  if (odd === -1) return [];
  const found = Number(value[odd].toPrecision(3));
  return at(["room"], `decays in ${found} s at ${frequency[odd]} Hz, expected 0.05 to 30 s`);
}
