/**
 * The low band of a venue by waves: where it is computed, where it hands over to the paths, and what is kept of it.
 *
 * Runs are kept by venue: levels, delays, polarities and filters that a group has in common cost nothing after the first.
 */

import type { Point } from "../../acoustics/point";
import { type Complexes, multiply } from "../../numeric/complexes";
import { type Quad, quadAt } from "../../venue/quad";
import type { Source, Venue } from "../../venue/venue";
import { drive } from "../drive";
import { latest } from "../latest";
import { type Emitter, emitterOf, listener, type Recording, record } from "./recording";
import { type CutAir, cubeOf, undrawn, type WaveRoom, waveRoom, workOf } from "./room";
import type { Progress } from "./run";

/**
 * Hertz: waves alone below the first, paths and diffuse field alone above the second, in between from the one to the other by
 * power. From the upper edge of the third octave of 125 Hz to that of the next.
 */
export const handOver = { from: 141, to: 178 };

/** Updates of a cube in one run beyond which a venue is too large: some seconds. */
const MOST_WORK = 6e8;
/** Lowest frequency that is asked of waves, hertz. */
export const LOWEST = 18;

/** Share of a room's sides that may be missing from its drawing. */
const MOST_UNDRAWN = 0.4;

export type NoWaves = "open" | "undrawn" | "large";

/** Why waves are not computed in a venue: undefined where they are. */
export function noWaves(venue: Venue): NoWaves | undefined {
  if (!reasons.has(venue)) reasons.set(venue, reasonOf(venue));
  return reasons.get(venue);
}

const reasons = new WeakMap<Venue, NoWaves | undefined>();

function reasonOf(venue: Venue): NoWaves | undefined {
  if (!venue.room && venue.cavities.length === 0) return "open";
  if (venue.sources.length === 0 || (venue.room && undrawn(venue) > MOST_UNDRAWN)) return "undrawn";
  return workOf(venue) > MOST_WORK ? "large" : undefined;
}

/**
 * Makes the function that gives a group's pressure at a place by waves.
 *
 * @param venue  the venue; `noWaves` of it must not say anything
 * @param sources  that sound together
 * @param frequency  hertz, ascending
 * @param places  where it will be asked
 * @param progress  as `runFields` calls it
 * @returns pressures at the frequencies below the hand-over's end; undefined where the group sends out nothing there, or a place or
 *   a source lies in no air
 */
export function lowBand(
  venue: Venue,
  sources: readonly Source[],
  frequency: Float64Array,
  places: readonly Point[],
  progress?: Progress,
): ((place: Point) => Waves | undefined) | undefined {
  const first = frequency.findIndex((f) => f >= LOWEST);
  const end = frequency.findIndex((f) => f >= handOver.to);
  const low = frequency.subarray(Math.max(0, first), end < 0 ? frequency.length : end);
  if (first < 0 || low.length === 0 || sources.length === 0) return undefined;
  const kept = roomOf(venue);
  const { room } = kept;
  // The venue's other groups will be asked for as well.
  const [recording] = recorded(
    kept,
    [sources, ...groupsOf(venue).filter((g) => g[0].group !== sources[0].group)],
    places,
    progress,
  );
  if (!recording) return undefined;
  const own = drive(sources[0], low);
  const hear = listener(recording, low);
  return (place) => {
    const spot = room.spot(place);
    if (!spot) return undefined;
    const heard = hear(spot);
    multiply(heard, own);
    return { first, ...heard };
  };
}

/** A venue's air, and what was recorded of its groups, to be taken over by another thread. */
export interface WaveRecordings {
  readonly cut: CutAir;
  readonly recordings: readonly (readonly [string, Recording])[];
}

/** Records all groups of a venue at its own places, and at others. */
export function recordGroups(venue: Venue, places: readonly Point[]): WaveRecordings {
  recorded(roomOf(venue), groupsOf(venue), places);
  return recordedOf(venue);
}

/** What has been cut and recorded of a venue. */
export function recordedOf(venue: Venue): WaveRecordings {
  const { room, recordings } = roomOf(venue);
  const { cells, equations } = room;
  return { cut: { cells, equations }, recordings: [...recordings] };
}

/**
 * Records groups of sources that may stand in a venue, all in one go, so that each is there when it is asked for.
 *
 * @param groups  sources that sound together
 * @param places  where they will be asked for
 */
export function prepareWaves(
  venue: Venue,
  groups: readonly (readonly Source[])[],
  places: readonly Point[],
  progress?: Progress,
): void {
  recorded(
    roomOf(venue),
    groups.filter((g) => g.length > 0),
    places,
    progress,
  );
}

const groupsOf = ({ sources }: Venue): Source[][] =>
  [...new Set(sources.map((s) => s.group))].map((group) => sources.filter((s) => s.group === group));

/** Takes over what another thread has. */
export function takeOver(venue: Venue, { cut, recordings }: WaveRecordings): void {
  const kept = roomOf(venue, cut);
  for (const [key, recording] of recordings) kept.recordings.set(key, recording);
}

/** The venue's air in its usual cubes, cut once. */
export const keptRoom = (venue: Venue): WaveRoom => roomOf(venue).room;

/** Pressures from the frequency of number `first` on. */
export interface Waves extends Complexes {
  readonly first: number;
}

interface Kept {
  readonly room: WaveRoom;
  /** Pieces around the venue's own places. */
  readonly zone: readonly number[];
  readonly recordings: Map<string, Recording>;
}

/** Venues and, within each, groups that are kept. */
const rooms = latest<Kept>(3);
const MOST_GROUPS = 12;

function roomOf(venue: Venue, cut?: CutAir): Kept {
  const { air, audience, boundaries, cavities, room, frontOfHouse, stage, positions } = venue;
  // In the open, what stands on the ground says how much of it is computed.
  const standing = room ? [] : venue.sources.map((s) => s.point);
  const key = JSON.stringify([
    air,
    audience,
    boundaries,
    cavities,
    room,
    frontOfHouse,
    stage,
    positions,
    standing,
  ]);
  return rooms(key, () => newRoom(venue, cut));
}

function newRoom(venue: Venue, cut?: CutAir): Kept {
  const room = waveRoom(venue, cubeOf(venue), cut);
  return { room, zone: room.around(ownPlaces(venue)), recordings: new Map() };
}

/**
 * Records what isn't yet: groups of sources at the venue's own places and others, all in one go.
 *
 * @returns the recordings, undefined of a group that sends out nothing or whose sources lie in no air
 */
function recorded(
  { room, zone, recordings }: Kept,
  groups: readonly (readonly Source[])[],
  places: readonly Point[],
  progress?: Progress,
): (Recording | undefined)[] {
  const wanted = room.around(places);
  const asked = groups.map((sources) => {
    const emitter = emitterOf(sources, (point) => room.spot(point) !== undefined, room.speedOfSound);
    return emitter && { emitter, key: keyOf(emitter) };
  });
  const missing = asked.filter((a): a is NonNullable<typeof a> => {
    const known = a && recordings.get(a.key);
    return a !== undefined && !(known && wanted.every((piece) => known.place.has(piece)));
  });
  if (missing.length > 0) {
    const pieces = new Set([
      ...zone,
      ...missing.flatMap(({ key }) => [...(recordings.get(key)?.place.keys() ?? [])]),
      ...wanted,
    ]);
    const found = record(
      room,
      missing.map((m) => m.emitter),
      [...pieces],
      progress,
    );
    missing.forEach(({ key }, i) => {
      recordings.delete(key);
      recordings.set(key, found[i]);
    });
  }
  const answer = asked.map((a) => a && recordings.get(a.key));
  const oldest = [...recordings.keys()];
  for (const key of oldest.slice(0, Math.max(0, oldest.length - MOST_GROUPS))) recordings.delete(key);
  return answer;
}

/** Rounded, so that what rounding alone moved is alike. */
function keyOf({ sources }: Emitter): string {
  return JSON.stringify(
    sources.map(({ point: { x, y, z }, along, relative: { re, im } }) => [
      along,
      x,
      y,
      z,
      ...Array.from(re, (v) => Math.round(1e4 * v)),
      ...Array.from(im, (v) => Math.round(1e4 * v)),
    ]),
  );
}

/** Places over the audience, where one may mix, and on the stage: so close that no cube is left out of which a rake passes but a corner. */
function ownPlaces(venue: Venue): Point[] {
  const step = cubeOf(venue) / 6;
  const zones = [...venue.audience, venue.frontOfHouse, ...(venue.stage ? [venue.stage] : [])];
  return [
    ...venue.positions.map((p) => p.point),
    ...zones.flatMap(({ corners, earHeight }) => {
      const quad = corners as Quad;
      const side = (a: number, b: number) =>
        Math.hypot(quad[b].x - quad[a].x, quad[b].y - quad[a].y, quad[b].z - quad[a].z);
      const across = Math.ceil(Math.max(side(0, 1), side(3, 2)) / step);
      const deep = Math.ceil(Math.max(side(1, 2), side(0, 3)) / step);
      return Array.from({ length: (across + 1) * (deep + 1) }, (_, i) => {
        const p = quadAt(quad, (i % (across + 1)) / across, Math.floor(i / (across + 1)) / deep);
        return { ...p, z: p.z + earHeight };
      });
    }),
  ];
}
