/**
 * The field of one group of sources: complex pressure at any place, path by path.
 */
import { speedOfSound } from "../acoustics/air";
import type { Point } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { images } from "./images";
import { pathWeights } from "./path-weights";
import { pathFinder } from "./paths";
import { phasorSum } from "./phasor-sum";
import { wallsOf } from "./walls";

export interface GroupFieldOptions {
  /** hertz, ascending */
  readonly frequency: Float64Array;
  readonly order: number;
  readonly finiteSize: boolean;
  readonly obstruction: boolean;
  readonly cavities: boolean;
}

/** Complex pressure at one place; the arrays are overwritten by the next call. */
export type GroupField = (place: Point) => { readonly re: Float64Array; readonly im: Float64Array };

/**
 * Makes the function that computes a group's pressure at a place.
 *
 * @param venue  the venue
 * @param sources  the sources that sound together
 * @param options  frequencies and what to take into account
 */
export function groupField(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): GroupField {
  const { frequency, order, finiteSize, obstruction } = options;
  const c = speedOfSound(venue.air.temperature);
  const waveNumber = frequency.map((f) => (2 * Math.PI * f) / c);
  const walls = wallsOf(options.cavities ? venue : { ...venue, cavities: [] });
  const weigh = pathWeights(venue, walls, frequency, waveNumber);
  const findPath = pathFinder(walls, { finiteSize, obstruction });
  const rectangles = walls.map((w) => w.rectangle);
  const voices = sources.map((source) => ({
    source,
    drive: drive(source, frequency),
    images: images(source, rectangles, order),
  }));
  const sum = phasorSum(waveNumber, CAPACITY);
  const re = sum.re.subarray(0, frequency.length);
  const im = sum.im.subarray(0, frequency.length);
  for (let p = 0; p < CAPACITY; p++) sum.row[p] = p;
  return (place) => {
    sum.re.fill(0);
    sum.im.fill(0);
    let paths = 0;
    for (const voice of voices) {
      for (const image of voice.images) {
        const path = findPath(image, place);
        if (!path) continue;
        const length = Math.max(path.length, NEAREST);
        sum.length[paths] = length;
        sum.scale[paths] = 1 / length;
        weigh(path, voice.source, voice.drive, place, sum, paths * sum.stride);
        if (++paths === CAPACITY) {
          sum.run(paths);
          paths = 0;
        }
      }
    }
    sum.run(paths);
    return { re, im };
  };
}

/** Paths summed in one go: their weights fit into the second-level cache. */
const CAPACITY = 64;
/** A point source has no size; nearer than this, metres, its level stays as there. */
const NEAREST = 0.1;
