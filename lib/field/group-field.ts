/**
 * The field of one group of sources: complex pressure at any place, path by path.
 */
import { speedOfSound } from "../acoustics/air";
import { type Point, plainPoint } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { type Image, images } from "./images";
import { kernelRoom } from "./path-kernel-simd";
import { airNepers, chainFactors, pathWeights } from "./path-weights";
import { pathFinder } from "./paths";
import { phasorSum, strideOf } from "./phasor-sum";
import { type Wall, wallsOf } from "./walls";

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

/** The field taken apart by the chain of walls that sound meets. */
export interface ChainField {
  readonly walls: readonly Wall[];
  /** An image of each chain of walls, the direct sound first. */
  readonly chains: readonly Image[];
  /**
   * Sums all sources' paths along each chain, what boundaries take left out.
   *
   * @param take  gets the chains that are heard, one at a time, at the frequencies that they reach: see `REACH`
   */
  at(place: Point, take: (chain: number, re: Float64Array, im: Float64Array) => void): void;
}

/**
 * Makes the function that computes a group's pressure at a place.
 *
 * @param venue  the venue
 * @param sources  the sources that sound together
 * @param options  frequencies and what to take into account
 */
export function groupField(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): GroupField {
  const { frequency } = options;
  const { walls, chains, at } = chainField(venue, sources, options);
  const kept = chainFactors(chains, walls, frequency);
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  return (place) => {
    re.fill(0);
    im.fill(0);
    at(place, (chain, x, y) => {
      const factor = kept[chain];
      for (let f = 0; f < x.length; f++) {
        re[f] += factor[f] * x[f];
        im[f] += factor[f] * y[f];
      }
    });
    return { re, im };
  };
}

/**
 * Makes the function that computes a group's pressure at a place chain by chain.
 *
 * @param venue  the venue; the absorption of its boundaries does not matter
 * @param sources  the sources that sound together
 * @param options  frequencies and what to take into account
 */
export function chainField(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): ChainField {
  const { frequency, order, finiteSize, obstruction } = options;
  const c = speedOfSound(venue.air.temperature);
  const waveNumber = frequency.map((f) => (2 * Math.PI * f) / c);
  const walls = wallsOf(options.cavities ? venue : { ...venue, cavities: [] });
  const findPath = pathFinder(walls, { finiteSize, obstruction });
  const rectangles = walls.map((w) => w.rectangle);
  const voices = sources.map((source) => ({
    source,
    drive: drive(source, frequency),
    images: images(source, rectangles, order),
  }));
  const whole = frequency.length;
  const reach = Math.max(0, ...voices.map((voice) => reachOf(voice.drive)));
  const room = kernelRoom(whole, voices.length) + kernelRoom(reach, voices.length);
  const sum = phasorSum(waveNumber, CAPACITY, room);
  const nepers = airNepers(venue.air, frequency);
  const weigherOf = (count: number) => {
    const options = { voices, waveNumber: waveNumber.subarray(0, count), nepers: nepers.subarray(0, count) };
    return pathWeights(walls, frequency.subarray(0, count), options, sum);
  };
  const weigh = weigherOf(whole);
  const weighReflection = reach === whole ? weigh : weigherOf(reach);
  for (let p = 0; p < CAPACITY; p++) sum.row[p] = p;
  const upTo = (count: number) => ({ re: sum.re.subarray(0, count), im: sum.im.subarray(0, count) });
  const direct = upTo(whole);
  const reflected = upTo(reach);
  const at: ChainField["at"] = (point, take) => {
    const place = plainPoint(point);
    for (let chain = 0; voices.length > 0 && chain < voices[0].images.length; chain++) {
      const { re, im } = chain === 0 ? direct : reflected;
      const each = chain === 0 ? weigh : weighReflection;
      const blocks = strideOf(re.length);
      let paths = 0;
      let heard = false;
      for (let voice = 0; voice < voices.length; voice++) {
        const path = findPath(voices[voice].images[chain], place);
        if (!path) continue;
        if (!heard) {
          sum.re.fill(0);
          sum.im.fill(0);
          heard = true;
        }
        const length = Math.max(path.length, NEAREST);
        sum.length[paths] = length;
        sum.scale[paths] = 1 / length;
        each(path, voice, place, paths);
        if (++paths === CAPACITY) {
          sum.run(paths, blocks);
          paths = 0;
        }
      }
      sum.run(paths, blocks);
      if (heard) take(chain, re, im);
    }
  };
  return { walls, chains: voices[0]?.images ?? [], at };
}

/** Paths summed in one go: their weights fit into the second-level cache. */
const CAPACITY = 64;
/** A point source has no size; nearer than this, metres, its level stays as there. */
const NEAREST = 0.1;
/**
 * A source's reflections reach up to where it sends out this much less power than at its loudest, 120 dB: of subs
 * behind their lowpass a quarter of the frequencies need no reflections.
 */
const REACH = 1e-12;

/** How many of the first frequencies, in whole blocks of the phasor sum. */
function reachOf({ re, im }: { readonly re: Float64Array; readonly im: Float64Array }): number {
  const power = re.map((x, f) => x * x + im[f] * im[f]);
  const least = REACH * power.reduce((most, p) => Math.max(most, p), 0);
  let count = power.length;
  while (count > 0 && power[count - 1] < least) count--;
  return Math.min(re.length, strideOf(count));
}
