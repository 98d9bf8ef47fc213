/**
 * What places hear with one thing after another taken away from a venue: surfaces that swallow all sound instead, cavities boarded up.
 *
 * By waves where the venue has them, on cells as coarse as the highest frequency allows, since this is asked of many variants and of few
 * places; elsewhere by paths.
 */
import { speedOfSound } from "../acoustics/distance/air";
import type { Point } from "../acoustics/point";
import { addTo, type Complexes, complexes, multiply } from "../numeric/complexes";
import { closed } from "../venue/closed";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { responder } from "./model-survey";
import { type Admittance, admittanceOf } from "./waves/admittance";
import { keptRoom, noWaves } from "./waves/low-band";
import { emitterOf, listener, record } from "./waves/recording";
import { cubeOf, type WaveRoom, waveRoom } from "./waves/room";
import type { Progress } from "./waves/run";

/** Something that can be taken away. */
export interface Removable {
  /** Numbers of boundaries that go together. */
  readonly boundaries: readonly number[];
  /** Name of a cavity. */
  readonly cavity?: string;
}

export interface TakenAwayOptions {
  /** Hertz, ascending; by waves from 18 to below the hand-over's end. */
  readonly frequency: Float64Array;
  /** Numbers of voices that are heard as one where something is taken away. Default: each by itself. */
  readonly together?: readonly (readonly number[])[];
  /** Side of the waves' cubes, metres. Default: as coarse as the highest frequency allows. */
  readonly size?: number;
  /** Waves also where the venue is open. Default: where `noWaves` says nothing. */
  readonly waves?: boolean;
  readonly progress?: Progress | undefined;
}

/** Pressures by place, of each of the sources that sound together. */
export type Heard = readonly (readonly Complexes[])[];

/** Sources that sound together. */
export type Voice = readonly Source[];

/**
 * Pressures with everything in its place, and then with each thing taken away.
 *
 * @param venue  what stands where
 * @param voices  sources that sound together
 * @param places  where to listen
 * @param removables  one at a time
 * @param options  frequencies, cells
 * @returns the whole by voice, and for each of the things what is heard without it, by the voices that are `together`
 */
export function takenAway(
  venue: Venue,
  voices: readonly Voice[],
  places: readonly Point[],
  removables: readonly Removable[],
  options: TakenAwayOptions,
): { readonly whole: Heard; readonly without: readonly Heard[] } {
  const { waves = noWaves(venue) === undefined, together = voices.map((_, v) => [v]) } = options;
  const joined = together.map((own) => own.map((v) => voices[v]));
  const alone = voices.map((voice) => [voice]);
  return (waves ? inWaves : byPaths)(venue, alone, joined, places, removables, options);
}

/** @param alone, joined  voices that are heard as one: with everything in its place, and with things taken away */
type Experiment = (
  venue: Venue,
  alone: readonly (readonly Voice[])[],
  joined: readonly (readonly Voice[])[],
  places: readonly Point[],
  removables: readonly Removable[],
  options: TakenAwayOptions,
) => { readonly whole: Heard; readonly without: readonly Heard[] };

/** A wall that takes what a locally reacting one can. */
const SWALLOWS: Admittance = admittanceOf({ frequency: [100], value: [1] });

/** The venue with a thing taken away, for paths. */
export function swallowing(venue: Venue, removable: Removable | undefined): Venue {
  if (!removable) return venue;
  const absorption = { frequency: [100], value: [1] };
  const boundaries = venue.boundaries.map((b, i) =>
    removable.boundaries.includes(i) ? { ...b, absorption } : b,
  );
  return closed({ ...venue, boundaries }, ({ name }) => name === removable.cavity);
}

const byPaths: Experiment = (venue, alone, joined, places, removables, { frequency }) => {
  const heard = (removable: Removable | undefined, groups: readonly (readonly Voice[])[]): Heard => {
    const left = swallowing(venue, removable);
    return groups.map((voices) => {
      const sums = places.map(() => complexes(frequency.length));
      for (const sources of voices) {
        // A group is what sounds together: each voice is one of a venue of its own.
        const hear = responder({ ...left, sources }, sources[0].group, places, {
          frequency,
          order: ORDER,
          diffuse: "none",
          lowBand: "paths",
        });
        places.forEach((place, p) => {
          addTo(sums[p], hear(place));
        });
      }
      return sums;
    });
  };
  return {
    whole: heard(undefined, alone),
    without: removables.map((removable) => heard(removable, joined)),
  };
};

const ORDER = 2;

/**
 * Four fields take hardly longer than one, so surfaces are taken away in as many fields of one room as there are of these; a cavity that is
 * boarded up makes another room.
 */
const inWaves: Experiment = (venue, alone, joined, places, removables, { frequency, size, progress }) => {
  const side = size ?? cubeFor(venue, frequency[frequency.length - 1]);
  const isSurface = ({ cavity }: Removable): boolean => cavity === undefined;
  const cavities = removables.filter((r) => !isSurface(r));
  const total = alone.length + removables.length * joined.length;
  let done = 0;
  const record = (room: WaveRoom, fields: readonly FieldWithout[]): Complexes[][] => {
    const heard = heardIn(room, fields, places, frequency, (share) =>
      progress?.((done + share * fields.length) / total),
    );
    done += fields.length;
    return heard;
  };
  const room = side === cubeOf(venue) ? keptRoom(venue) : waveRoom(venue, side);
  const [...heard] = record(room, [
    ...alone.map((voices) => ({ voices })),
    ...removables.filter(isSurface).flatMap((removable) => joined.map((voices) => ({ voices, removable }))),
  ]);
  const whole = heard.splice(0, alone.length);
  const boarded = cavities.map((removable) =>
    record(
      waveRoom(
        closed(venue, ({ name }) => name === removable.cavity),
        side,
      ),
      joined.map((voices) => ({ voices })),
    ),
  );
  const without = removables.map((removable) =>
    isSurface(removable) ? heard.splice(0, joined.length) : boarded[cavities.indexOf(removable)],
  );
  return { whole, without };
};

/** Voices that are heard as one, and what is taken away. */
interface FieldWithout {
  readonly voices: readonly Voice[];
  readonly removable?: Removable;
}

/** Pressures by place of each of some fields; none where a voice or a place lies in no air. */
function heardIn(
  room: WaveRoom,
  fields: readonly FieldWithout[],
  places: readonly Point[],
  frequency: Float64Array,
  progress: Progress,
): Complexes[][] {
  const isAir = (point: Point) => room.spot(point) !== undefined;
  const sent = new Map(
    [...new Set(fields.map((f) => f.voices))].map((voices) => {
      const sources = voices.filter((voice) => emitterOf(voice, isAir, room.speedOfSound)).flat();
      const emitter = sources.length > 0 ? emitterOf(sources, isAir, room.speedOfSound) : undefined;
      return [voices, emitter && { emitter, source: sources[0] }];
    }),
  );
  const sounding = fields.flatMap(({ voices, removable }, field) => {
    const own = sent.get(voices);
    if (!own) return [];
    const gone = new Set(removable?.boundaries);
    const admittance = (wall: number): Admittance =>
      gone.has(room.boundaryOf(wall) ?? -1) ? SWALLOWS : room.admittance(wall);
    return [{ field, source: own.source, emitter: { ...own.emitter, admittance } }];
  });
  const heard = fields.map(() => places.map(() => complexes(frequency.length)));
  if (sounding.length === 0) return heard;
  const spots = places.map((place) => room.spot(place));
  const recordings = record(
    room,
    sounding.map((s) => s.emitter),
    room.around(places),
    progress,
  );
  sounding.forEach(({ field, source }, i) => {
    const hear = listener([{ recording: recordings[i], weight: 1, delay: 0 }], frequency);
    const own = drive(source, frequency);
    spots.forEach((spot, p) => {
      if (!spot) return;
      heard[field][p] = hear(spot);
      multiply(heard[field][p], own);
    });
  });
  return heard;
}

/**
 * Side of cubes that carry waves up to a frequency, hertz: metres. The venue's usual ones where much coarser don't, for these have been cut
 * already; and in the open, where what swallows sound around them is stable in short steps only.
 */
export function cubeFor(venue: Venue, frequency: number): number {
  const usual = cubeOf(venue);
  if (!venue.room) return usual;
  const length = speedOfSound(venue.air.temperature) / frequency;
  const coarse = Math.min(COARSEST, (PHASE / (2 * Math.PI)) * length);
  return coarse > 1.05 * usual ? coarse : usual;
}

/** Radians from cube to cube at the highest frequency: up to about one the grid carries waves well, whatever their direction. */
const PHASE = 1.15;
/** Metres: coarser cubes miss what a venue is made of. */
const COARSEST = 0.7;
