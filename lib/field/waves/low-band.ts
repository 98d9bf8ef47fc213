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
import { type Emitter, emitterOf, listener, type Part, type Recording, record } from "./recording";
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
  const groups = [sources, ...groupsOf(venue).filter((g) => g[0].group !== sources[0].group)];
  const parts = partsOf(kept, groups, places, progress);
  if (!parts) return undefined;
  const own = drive(sources[0], low);
  const hear = listener(parts, low);
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
  prepareWaves(venue, groupsOf(venue), places);
  return { cut: cutOf(venue), recordings: [...roomOf(venue).recordings] };
}

/** The air of a venue as it has been cut. */
export function cutOf(venue: Venue): CutAir {
  const { cells, equations } = keptRoom(venue);
  return { cells, equations };
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
  const kept = roomOf(venue);
  const asked = groups.flatMap((sources) => (sources.length > 0 && askedFor(kept, sources)) || []);
  recorded(kept, asked, places, progress);
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
  /** Where subs stood that were heard. */
  readonly subs: Set<string>;
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
  return { room, zone: room.around(ownPlaces(venue)), recordings: new Map(), subs: new Set() };
}

interface Asked {
  readonly emitter: Emitter;
  readonly key: string;
}

/** @param by  by whose drive it is recorded, the first one's by default */
function askedFor({ room }: Kept, sources: readonly Source[], by = sources[0]): Asked | undefined {
  const emitter = emitterOf(sources, (point) => room.spot(point) !== undefined, room.speedOfSound, by);
  return emitter && { emitter, key: keyOf(emitter) };
}

/** Records what isn't yet, at the venue's own places and at others, all in one go. */
function recorded(
  { room, zone, recordings }: Kept,
  asked: readonly Asked[],
  places: readonly Point[],
  progress?: Progress,
): Recording[] {
  const wanted = room.around(places);
  const missing = asked.filter((a) => !covers(recordings.get(a.key), wanted));
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
      recordings.set(key, found[i]);
    });
  }
  const answer = asked.map(({ key }) => recordings.get(key) as Recording);
  // Whatever was asked for last is kept longest.
  asked.forEach(({ key }, i) => {
    recordings.delete(key);
    recordings.set(key, answer[i]);
  });
  const oldest = [...recordings.keys()];
  for (const key of oldest.slice(0, Math.max(0, oldest.length - MOST_GROUPS))) recordings.delete(key);
  return answer;
}

const covers = (recording: Recording | undefined, pieces: readonly number[]): boolean =>
  recording !== undefined && pieces.every((piece) => recording.place.has(piece));

/**
 * What the first of a venue's groups is heard by, all of them recorded in one go. Subs that were heard before and now play otherwise are
 * recorded stack by stack: from then on none that is silent, inverted, turned down or late needs a run.
 *
 * @source pressures of sources add; check: tests/field/waves/low-band.test.ts, against a run of the whole
 */
function partsOf(
  kept: Kept,
  groups: readonly (readonly Source[])[],
  places: readonly Point[],
  progress?: Progress,
): Part[] | undefined {
  const wanted = kept.room.around(places);
  const each = groups.map((sources): Wanted[] | undefined => {
    const asked = askedFor(kept, sources);
    const whole = asked && [{ asked, weight: 1, delay: 0 }];
    if (!asked || covers(kept.recordings.get(asked.key), wanted)) return whole;
    const points = JSON.stringify(sources.map((s) => s.point));
    const stacks = sources[0].group === "subs" && kept.subs.has(points) && stacksOf(kept, sources);
    kept.subs.add(points);
    return stacks || whole;
  });
  const found = recorded(
    kept,
    each.flatMap((list) => (list ?? []).map(({ asked }) => asked)),
    places,
    progress,
  );
  return each[0]?.map(({ weight, delay }, i) => ({ recording: found[i], weight, delay }));
}

interface Wanted extends Omit<Part, "recording"> {
  readonly asked: Asked;
}

/** A group by the side on which its sources stand, as driven as all of it; undefined where it stands on one or does not sound. */
function stacksOf(kept: Kept, sources: readonly Source[]): Wanted[] | undefined {
  const sides = [1, 0, -1].map((side) => sources.filter(({ point }) => side === sideOf(point)));
  const stacks = sides.filter((stack) => stack.length > 0);
  if (stacks.length < 2) return undefined;
  const [first] = sources;
  const by = { ...first, gain: 0, polarity: 1 as const };
  const found = stacks.map((stack): Wanted | undefined => {
    const [{ gain, polarity }] = stack;
    const delay = stack[0].delay - first.delay;
    const alone = stack.map((s) => ({
      ...s,
      gain: s.gain - gain,
      delay: s.delay - delay,
      polarity: s.polarity === polarity ? (1 as const) : (-1 as const),
    }));
    const asked = askedFor(kept, alone, by);
    const weight = 10 ** ((gain - first.gain) / 20) * polarity * first.polarity;
    return asked && { asked, weight, delay };
  });
  const all = found.flatMap((each) => each ?? []);
  return all.length === stacks.length ? all : undefined;
}

/** 1 to the left of the centre line, −1 to the right, 0 on it. */
const sideOf = ({ y }: Point): number => (Math.abs(y) < ON_CENTRE ? 0 : Math.sign(y));
/** Metres. */
const ON_CENTRE = 0.05;

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
