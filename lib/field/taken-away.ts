/**
 * What places hear with one thing after another taken away from a venue: surfaces that swallow all sound instead, cavities boarded up.
 *
 * Below the hand-over by waves where the venue has them, on cells as coarse as the highest frequency allows, since this is asked of many
 * variants and of few places; elsewhere by paths.
 */
import { speedOfSound } from "../acoustics/distance/air";
import type { Point } from "../acoustics/point";
import { type Complexes, multiply } from "../numeric/complexes";
import { closed } from "../venue/closed";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { takeWaves } from "./hand-over";
import { responder } from "./model-survey";
import { type Admittance, admittanceOf } from "./waves/admittance";
import { handOver, LOWEST, noWaves } from "./waves/low-band";
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
  /** Hertz, ascending. */
  readonly frequency: Float64Array;
  /** Side of the waves' cubes, metres. Default: as coarse as the highest frequency below the hand-over allows. */
  readonly size?: number;
  /** Waves also where the venue is open. Default: where `noWaves` says nothing. */
  readonly waves?: boolean;
  readonly progress?: Progress | undefined;
}

/** Pressures by place, of each of the sources that sound together. */
export type Heard = readonly (readonly Complexes[])[];

/**
 * Pressures with everything in its place, and then with each thing taken away.
 *
 * @param venue  what stands where
 * @param voices  sources that sound together
 * @param places  where to listen
 * @param removables  one at a time
 * @param options  frequencies, cells
 * @returns the whole, and one for each of the things
 */
export function takenAway(
  venue: Venue,
  voices: readonly (readonly Source[])[],
  places: readonly Point[],
  removables: readonly Removable[],
  options: TakenAwayOptions,
): { readonly whole: Heard; readonly without: readonly Heard[] } {
  const { frequency, progress, waves: hasWaves = noWaves(venue) === undefined } = options;
  const variants: readonly (Removable | undefined)[] = [undefined, ...removables];
  const low = frequency.filter((f) => f < handOver.to);
  const needsPaths = !hasWaves || low.length < frequency.length || frequency[0] < LOWEST;
  const inWaves = hasWaves && low.length > 0 ? wavesIn(venue, options, low) : undefined;
  const [whole, ...without] = variants.map((removable, v): Heard => {
    const heard = needsPaths ? byPaths(swallowing(venue, removable), voices, places, frequency) : undefined;
    const waves = inWaves?.(voices, places, removable, (done) => progress?.((v + done) / variants.length));
    return voices.map((_, voice) =>
      places.map((_, place): Complexes => {
        const low = waves?.[voice][place];
        const response = heard?.[voice][place];
        if (!low)
          return (
            response ?? { re: new Float64Array(frequency.length), im: new Float64Array(frequency.length) }
          );
        if (!response) return low;
        takeWaves({ frequency, ...response }, { first: 0, ...low });
        return response;
      }),
    );
  });
  return { whole, without };
}

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

function byPaths(
  venue: Venue,
  voices: readonly (readonly Source[])[],
  places: readonly Point[],
  frequency: Float64Array,
): Heard {
  return voices.map((sources) => {
    // A group is what sounds together: each voice is one of a venue of its own.
    const alone: Venue = { ...venue, sources };
    const hear = responder(alone, sources[0].group, places, {
      frequency,
      order: ORDER,
      diffuse: "none",
      lowBand: "paths",
    });
    return places.map((place) => {
      const { re, im } = hear(place);
      return { re: re.slice(), im: im.slice() };
    });
  });
}

const ORDER = 2;

/** Makes the function that lets voices sound in a venue with a thing taken away. */
function wavesIn(venue: Venue, { size, frequency }: TakenAwayOptions, low: Float64Array) {
  const side = size ?? cubeFor(venue, low[low.length - 1]);
  const base = waveRoom(venue, side);
  const roomWithout = (removable: Removable | undefined): WaveRoom => {
    if (removable?.cavity)
      return waveRoom(
        closed(venue, ({ name }) => name === removable.cavity),
        side,
      );
    const gone = new Set(removable?.boundaries);
    return {
      ...base,
      admittance: (wall) => (gone.has(base.boundaryOf(wall) ?? -1) ? SWALLOWS : base.admittance(wall)),
    };
  };
  const first = frequency.findIndex((f) => f >= LOWEST);
  return (
    voices: readonly (readonly Source[])[],
    places: readonly Point[],
    removable: Removable | undefined,
    progress: Progress,
  ): (Complexes | undefined)[][] => {
    const room = roomWithout(removable);
    const emitters = voices.map((sources) =>
      emitterOf(sources, (point) => room.spot(point) !== undefined, room.speedOfSound),
    );
    const sounding = emitters.flatMap((emitter) => (emitter ? [emitter] : []));
    const recordings = sounding.length > 0 ? record(room, sounding, room.around(places), progress) : [];
    const from = low.subarray(first);
    return voices.map((sources, v) => {
      const emitter = emitters[v];
      if (!emitter) return places.map(() => undefined);
      const hear = listener(recordings[sounding.indexOf(emitter)], from);
      const own = drive(sources[0], from);
      return places.map((place) => {
        const spot = room.spot(place);
        if (!spot) return undefined;
        const heard = hear(spot);
        multiply(heard, own);
        return heard;
      });
    });
  };
}

/**
 * Side of cubes that carry waves up to a frequency, hertz: metres, no smaller than the venue's usual ones. In the open these it is, for
 * what swallows sound around them is stable in short steps only.
 */
export function cubeFor(venue: Venue, frequency: number): number {
  if (!venue.room) return cubeOf(venue);
  const length = speedOfSound(venue.air.temperature) / frequency;
  return Math.max(cubeOf(venue), Math.min(COARSEST, (PHASE / (2 * Math.PI)) * length));
}

/** Radians from cube to cube at the highest frequency: up to about one the grid carries waves well, whatever their direction. */
const PHASE = 1.15;
/** Metres: coarser cubes miss what a venue is made of. */
const COARSEST = 0.7;
