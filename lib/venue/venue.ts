/**
 * What stands where: the venue after its file was read, checked, brought to SI and its layouts expanded.
 *
 * Coordinates: x from the stage's front edge toward the back of the room, y across with house left positive (the left
 * hand of someone facing the stage), z up from the floor of the first row. Nothing in the acoustics depends on
 * these axes being left-handed.
 *
 * The field computes from these plain objects alone; how a person writes them down is the venue file's matter.
 */

import type { BandValues, LevelCurve } from "../acoustics/bands/curve";
import type { Pattern } from "../acoustics/directivity/pattern";
import type { Air } from "../acoustics/distance/air";
import type { Filter } from "../acoustics/filters/filter";
import type { Point } from "../acoustics/point";

export type { Air, BandValues, Filter, LevelCurve, Pattern };

export interface Venue {
  /** What the venue is called. */
  readonly name: string;
  /** What the venue is like and what it teaches, a sentence or two. */
  readonly story: string;
  /** Its temperature, humidity and pressure, by which sound travels and is absorbed. */
  readonly air: Air;
  /** Everything that sounds. `group` says whether it belongs to the mains, the subs or the fills. */
  readonly sources: readonly Source[];
  /** Where people sit or stand. */
  readonly audience: readonly AudienceArea[];
  /** Walls, floors and ceilings: what reflects. */
  readonly boundaries: readonly Boundary[];
  /** Hollow spaces that are open at the front, such as the one under a stage. */
  readonly cavities: readonly Cavity[];
  /** Where the mix engineer may stand. */
  readonly frontOfHouse: Zone;
  /** Where performers stand, for spill; absent where there is no stage. */
  readonly stage?: Zone;
  /** Volume and absorption for the diffuse field; absent outdoors. */
  readonly room?: Room;
  /** What is to be said of its file although it could be read: keys that have another name now, boundaries that lie over one another. */
  readonly remarks?: readonly string[];
  /** Named positions: those of microphones, the mix position. */
  readonly positions: readonly NamedPoint[];
  /** What the layouts say about their own limits, such as a spacing too wide for the frequencies used. */
  readonly warnings?: readonly string[];
}

/** What a loudspeaker does by itself, wherever it stands. */
export interface Cabinet {
  /** Sound pressure level at 1 m on axis in free field, dB re 20 µPa per third-octave band, over frequency. */
  readonly level: LevelCurve;
  readonly pattern: Pattern;
  /** Box it fills, metres, for drawings and for stacking; `depth` runs along the axis. */
  readonly size: { readonly width: number; readonly height: number; readonly depth: number };
  /**
   * How far before the middle of its front its low frequencies seem to come from, along the axis, metres; 0 when left out. See
   * `acousticCentre`.
   */
  readonly centre?: number;
}

/** One radiating element where it stands: a cabinet, or one element of a hang. */
export interface Source extends Cabinet {
  /** Path in the venue, for messages and figures, such as "mains left 3" or "sub 2". */
  readonly id: string;
  readonly group: "mains" | "subs" | "fills";
  /** Middle of the cabinet's front, metres; where it sounds from is `acousticCentre`. */
  readonly point: Point;
  /** Unit vector along the axis. */
  readonly axis: Point;
  /** Unit vector square to `axis` along the cabinet's height; with `axis` it orients a rectangular pattern. */
  readonly up: Point;
  /** Gain added in processing, dB. */
  readonly gain: number;
  /** Seconds, positive is later. */
  readonly delay: number;
  readonly polarity: 1 | -1;
  readonly filters: readonly Filter[];
}

export interface AudienceArea {
  readonly name: string;
  /** Floor corners, metres, in order around the area; planar (flat or raked). The first edge is the front one. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Ears above the floor, metres: about 1.2 seated, 1.6 standing. */
  readonly earHeight: number;
  /** People per square metre. */
  readonly density: number;
}

/** A flat rectangle that reflects. */
export interface Boundary {
  readonly name: string;
  /** Corners, metres, in order around the rectangle. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Energy absorption 0…1 by octave, of sound from all directions. */
  readonly absorption: BandValues;
}

/** A cavity open at the front, such as the space under a stage: a line of this depth, closed at its end. */
export interface Cavity {
  readonly name: string;
  /** Corners of the opening, metres, in order around the rectangle. */
  readonly opening: readonly [Point, Point, Point, Point];
  /** From the opening to the closed end, metres, without end correction. */
  readonly depth: number;
  /** Energy absorption of the closed end and losses in the cavity, by octave. */
  readonly absorption: BandValues;
}

/** A flat area of floor where someone may stand. */
export interface Zone {
  readonly corners: readonly [Point, Point, Point, Point];
  readonly earHeight: number;
}

export interface Room {
  /** cubic metres */
  readonly volume: number;
  /** square metres of all surfaces together */
  readonly surface: number;
  /** Reverberation time, seconds, by octave. */
  readonly reverberationTime: BandValues;
}

export interface NamedPoint {
  readonly id: string;
  readonly point: Point;
}
