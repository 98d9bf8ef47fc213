/** What a venue file says that can be computed with, and yet is hardly meant. */
import { valueAt } from "../../acoustics/bands/curve";
import { atmosphericAbsorption, speedOfSound } from "../../acoustics/distance/air";
import { add, cross, dot, norm, type Point, scale, subtract } from "../../acoustics/point";
import { eyring } from "../../acoustics/room/reverberation";
import { quadAt } from "../quad";
import { heightOver, quadArea } from "../shape";
import type { Boundary, Venue } from "../venue";
import { type WriteArea, type WriteLength, writeArea, writeLength } from "./units";

/**
 * Remarks on a venue, a sentence each.
 *
 * @param venue  the venue, which has no problems
 * @param hasReverberationTime  whether the file itself gives the reverberation time
 * @param units  of the file
 */
export function venueRemarks(venue: Venue, hasReverberationTime: boolean, units: "m" | "ft"): string[] {
  return [
    ...overlaps(venue.boundaries, writeArea(units)),
    ...roofedEars(venue, writeLength(units)),
    ...(hasReverberationTime ? contradictingDecay(venue) : []),
  ];
}

/** Metres within which two boundaries lie in one plane, and what counts of their overlap, square metres. */
const ONE_PLANE = 0.02;
const OVERLAP = 0.1;

/** Two boundaries in one place reflect twice. */
function overlaps(boundaries: readonly Boundary[], write: WriteArea): string[] {
  return boundaries.flatMap((one, i) =>
    boundaries.slice(i + 1).flatMap((other) => {
      const area = sharedArea(one, other);
      if (area < OVERLAP) return [];
      return [
        `boundaries "${one.name}" and "${other.name}" lie over one another on ${write(area)}: sound is reflected there twice, up to some 2 dB too loud; cut one of them`,
      ];
    }),
  );
}

/** Area that two boundaries in one plane have in common, square metres. */
function sharedArea({ corners: a }: Boundary, { corners: b }: Boundary): number {
  const normal = cross(subtract(a[1], a[0]), subtract(a[3], a[0]));
  const unit = scale(normal, 1 / norm(normal));
  if (b.some((corner) => Math.abs(dot(subtract(corner, a[0]), unit)) > ONE_PLANE)) return 0;
  // What is left of the one when it is cut along each side of the other.
  let rest: Point[] = [...b];
  a.forEach((from, i) => {
    const inward = cross(unit, subtract(a[(i + 1) % 4], from));
    const inside = (p: Point) => dot(subtract(p, from), inward);
    rest = rest.flatMap((p, k) => {
      const next = rest[(k + 1) % rest.length];
      const [here, there] = [inside(p), inside(next)];
      const kept = here >= 0 ? [p] : [];
      return here * there < 0 ? [...kept, add(p, scale(subtract(next, p), here / (here - there)))] : kept;
    });
  });
  const sum = rest.reduce(
    (total, p, k) => add(total, cross(subtract(p, a[0]), subtract(rest[(k + 1) % rest.length], a[0]))),
    { x: 0, y: 0, z: 0 },
  );
  return norm(sum) / 2;
}

/** Shares of an area's length and width, and of the height from floor to ear, where a ceiling is looked for. */
const WITHIN = [0.1, 0.5, 0.9];
const FROM_FLOOR = 0.1;

/** Ears that a ceiling or balcony divides from their feet. */
function roofedEars({ audience, boundaries }: Venue, write: WriteLength): string[] {
  return audience.flatMap(({ name, corners, earHeight }) => {
    const floor = WITHIN.flatMap((across) => WITHIN.map((deep) => quadAt(corners, across, deep)));
    const above = boundaries.filter((boundary) =>
      floor.some((p) => {
        const at = heightOver(boundary, p);
        return at > FROM_FLOOR * earHeight && at < earHeight;
      }),
    );
    return above.map(
      (boundary) =>
        `audience "${name}" has ears ${write(earHeight)} above its floor, beyond boundary "${boundary.name}", which lies lower: sound from below does not reach them`,
    );
  });
}

/** Of the room's surface, what boundaries must cover to tell its decay; and by what factor the two may differ. */
const COVERED = [0.8, 1.25];
const ALIKE = 1.6;
const OCTAVES = [63, 125, 250, 500, 1000, 2000, 4000];

/** A reverberation time that the absorption of the boundaries can't make. */
function contradictingDecay({ room, boundaries, air }: Venue): string[] {
  if (!room) return [];
  const areas = boundaries.map(({ corners }) => quadArea(corners));
  const area = areas.reduce((sum, a) => sum + a, 0);
  if (area < COVERED[0] * room.surface || area > COVERED[1] * room.surface) return [];
  const { frequency } = room.reverberationTime;
  const found = OCTAVES.filter(
    (f) => f >= frequency[0] * 0.7 && f <= frequency[frequency.length - 1] * 1.5,
  ).map((octave) => {
    const absorbed = boundaries.reduce((sum, b, i) => sum + areas[i] * valueAt(b.absorption, octave), 0);
    const time = eyring(room.volume, area, absorbed / area, {
      speedOfSound: speedOfSound(air.temperature),
      airAbsorption: atmosphericAbsorption(octave, air),
    });
    const given = valueAt(room.reverberationTime, octave);
    return { octave, time, given, factor: Math.max(time / given, given / time) };
  });
  const worst = found.sort((a, b) => b.factor - a.factor)[0];
  if (!worst || !(worst.factor > ALIKE)) return [];
  const seconds = (t: number) => `${Number(t.toPrecision(2))} s`;
  return [
    `room.reverberationTime is ${seconds(worst.given)} at ${worst.octave} Hz, while the absorption of the boundaries makes ${seconds(worst.time)} by Eyring's formula: one of the two is not this room's; single reflections go by the absorption, the diffuse field by the decay`,
  ];
}
