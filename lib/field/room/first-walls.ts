/**
 * What the first walls leave of the power that sources send out.
 *
 * What aims at people is mostly absorbed before it fills the room, what aims at a bare wall hardly. So each source's
 * power is followed along its pattern, in straight lines, to the boundary that each line meets first.
 *
 * Limits: each source by itself; what several make narrower together, such as a hang below some hundred hertz, is not in it.
 *
 * @source geometry; check: tests/field/room/first-walls.test.ts
 */
import { interpolateLog, valueAt } from "../../acoustics/bands/curve";
import { patternFactors } from "../../acoustics/directivity/pattern";
import { speedOfSound } from "../../acoustics/distance/air";
import { add, cross, dot, type Point, scale } from "../../acoustics/point";
import { acousticCentre } from "../../venue/centre";
import type { Boundary, Pattern, Room, Source, Venue } from "../../venue/venue";
import { airNepers } from "../path-sum/weights";
import { heightAbove, localPoint, type Rectangle, rectangle } from "../paths/rectangle";

/** Shares of a group's power, per frequency. */
export interface FirstWalls {
  /** What the boundaries that it meets first send back, less what the air takes on a mean free path. */
  readonly reflected: Float64Array;
  /** What meets no boundary. */
  readonly missed: Float64Array;
}

/**
 * Shares of a group's power that boundaries send back, and that meet none.
 *
 * @param venue  its boundaries and air
 * @param room  its room
 * @param sources  the group
 * @param fractions  each source's part of the power
 * @param frequency  hertz
 */
export function firstWalls(
  { boundaries, air }: Pick<Venue, "boundaries" | "air">,
  room: Room,
  sources: readonly Source[],
  fractions: readonly number[],
  frequency: Float64Array,
): FirstWalls {
  const perWaveNumber = speedOfSound(air.temperature) / (2 * Math.PI);
  const octaves = WAVE_NUMBERS.map((k) => k * perWaveNumber);
  const kept = boundaries.map(({ absorption }) => octaves.map((f) => 1 - valueAt(absorption, f)));
  const reflected = new Float64Array(octaves.length);
  const missed = new Float64Array(octaves.length);
  const sharesOf = sharesIn(boundaries);
  sources.forEach((source, s) => {
    const [past, ...met] = sharesOf(source);
    for (let o = 0; o < octaves.length; o++) {
      missed[o] += fractions[s] * past[o];
      met.forEach((share, w) => {
        reflected[o] += fractions[s] * share[o] * kept[w][o];
      });
    }
  });
  const way = (4 * room.volume) / room.surface;
  const inAir = airNepers(air, frequency).map((nepers) => Math.exp(-2 * nepers * way));
  const at = (values: Float64Array) => frequency.map((f) => interpolateLog(octaves, values, f));
  return { reflected: at(reflected).map((x, f) => x * inAir[f]), missed: at(missed) };
}

/** Makes the function that tells of a source's power what meets no wall, then what meets each wall first, by wave number. */
function sharesIn(boundaries: readonly Pick<Boundary, "name" | "corners">[]) {
  const walls = boundaries.map(({ name, corners }) => rectangle(corners, `boundary "${name}"`));
  const room = JSON.stringify(boundaries.map(({ corners }) => corners));
  return (source: Source): readonly Float64Array[] => {
    const { axis, up, pattern } = source;
    const point = acousticCentre(source);
    const key = `${room}${JSON.stringify([point, axis, up, pattern])}`;
    const before = known.get(key);
    if (before) return before;
    const found = [undefined, ...walls].map(() => new Float64Array(WAVE_NUMBERS.length));
    const powers = powersOf(pattern);
    const aside = cross(axis, up);
    LINES.forEach((line, l) => {
      const direction = add(add(scale(axis, line.ahead), scale(up, line.up)), scale(aside, line.across));
      const into = found[1 + firstMet(point, direction, walls)];
      for (let o = 0; o < into.length; o++) into[o] += powers[l][o];
    });
    if (known.size >= MOST_KNOWN) known.clear();
    known.set(key, found);
    return found;
  };
}

/** By walls and source: a fit asks for the same again and again, with other absorption. */
const known = new Map<string, readonly Float64Array[]>();
const MOST_KNOWN = 500;

/** Index of the boundary that a line from a point meets first, −1 for none. */
function firstMet(from: Point, direction: Point, walls: readonly Rectangle[]): number {
  let nearest = Number.POSITIVE_INFINITY;
  let first = -1;
  for (let w = 0; w < walls.length; w++) {
    const wall = walls[w];
    const way = -heightAbove(wall, from) / dot(direction, wall.normal);
    if (!(way > CLOSE && way < nearest)) continue;
    const { u, v } = localPoint(wall, add(from, scale(direction, way)));
    if (u < 0 || v < 0 || u > wall.width || v > wall.height) continue;
    nearest = way;
    first = w;
  }
  return first;
}

/** Metres within which a source lies in a boundary and does not meet it. */
const CLOSE = 1e-6;

/** An octave apart, from 31 Hz to 16 kHz. */
const WAVE_NUMBERS = Float64Array.from({ length: 10 }, (_, i) => (2 * Math.PI * 31.25 * 2 ** i) / 343.2);

/** What part of a pattern's power goes along each line, by wave number. */
function powersOf(pattern: Pattern): Float64Array[] {
  const key = JSON.stringify(pattern);
  const known = patterns.get(key);
  if (known) return known;
  const orientation = { axis: { x: 1, y: 0, z: 0 }, up: { x: 0, y: 0, z: 1 } };
  const powers = LINES.map(({ ahead, across, up, weight }) =>
    patternFactors(pattern, orientation, { x: ahead, y: -across, z: up }, WAVE_NUMBERS).map(
      (factor) => weight * factor * factor,
    ),
  );
  const all = WAVE_NUMBERS.map((_, o) => powers.reduce((sum, power) => sum + power[o], 0));
  const shares = powers.map((power) => power.map((x, o) => x / all[o]));
  patterns.set(key, shares);
  return shares;
}

/** By pattern: the same for every venue and every hang of a cabinet. */
const patterns = new Map<string, Float64Array[]>();

/** Lines about an axis, closer together near it, where loudspeakers beam, and the part of the sphere that each stands for. */
const LINES = linesAbout(20, 16);

function linesAbout(rings: number, around: number) {
  const edge = (ring: number) => Math.PI * (ring / rings) ** 2;
  return Array.from({ length: rings * around }, (_, i) => {
    const ring = Math.floor(i / around);
    const [inner, outer] = [Math.cos(edge(ring)), Math.cos(edge(ring + 1))];
    const ahead = (inner + outer) / 2;
    const aside = Math.sqrt(1 - ahead * ahead);
    // Every other ring is turned by half a step.
    const angle = (2 * Math.PI * (i + 0.5 + ring / 2)) / around;
    return {
      ahead,
      across: aside * Math.cos(angle),
      up: aside * Math.sin(angle),
      weight: (inner - outer) / (2 * around),
    };
  });
}
