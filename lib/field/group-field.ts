/**
 * The field of one group of sources: complex pressure at any place, path by path.
 */
import { speedOfSound } from "../acoustics/distance/air";
import { type Point, plainPoint } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { phasorSum, strideOf } from "./path-sum/phasor-sum";
import { kernelRoom } from "./path-sum/simd";
import { airNepers, chainFactors, pathWeights } from "./path-sum/weights";
import { type Image, images } from "./paths/images";
import { pathFinder } from "./paths/paths";
import { type Wall, wallsOf } from "./paths/walls";

export interface GroupFieldOptions {
  /** hertz, ascending */
  readonly frequency: Float64Array;
  readonly order: number;
  readonly finiteSize: boolean;
  readonly obstruction: boolean;
  readonly cavities: boolean;
}

/** Complex pressure at one place; the arrays are overwritten by the next call. */
export type GroupField = (position: Point) => { readonly re: Float64Array; readonly im: Float64Array };

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
  at(position: Point, take: (chain: number, re: Float64Array, im: Float64Array) => void): void;
}

/**
 * Makes the function that computes a group's pressure at a place.
 *
 * @param venue  the venue
 * @param sources  the sources that sound together
 * @param options  frequencies and what to take into account
 */
export function groupField(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): GroupField {
  const group = groupOf(venue, sources, options);
  const { sum, add, flush } = adder(group, chainFactors(group.chains, group.walls, options.frequency));
  const re = sum.re.subarray(0, options.frequency.length);
  const im = sum.im.subarray(0, options.frequency.length);
  return (point) => {
    const position = plainPoint(point);
    sum.re.fill(0);
    sum.im.fill(0);
    for (let chain = 0; chain < group.chains.length; chain++) {
      add(chain, position);
      if (chain === 0) flush();
    }
    flush();
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
  const group = groupOf(venue, sources, options);
  const { sum, add, flush } = adder(group);
  const upTo = (count: number) => ({ re: sum.re.subarray(0, count), im: sum.im.subarray(0, count) });
  const direct = upTo(options.frequency.length);
  const reflected = upTo(group.reach);
  const at: ChainField["at"] = (point, take) => {
    const position = plainPoint(point);
    for (let chain = 0; chain < group.chains.length; chain++) {
      if (!add(chain, position)) continue;
      flush();
      const { re, im } = chain === 0 ? direct : reflected;
      take(chain, re, im);
      sum.re.fill(0);
      sum.im.fill(0);
    }
  };
  return { walls: group.walls, chains: group.chains, at };
}

interface Group {
  readonly walls: readonly Wall[];
  readonly chains: readonly Image[];
  readonly voices: readonly Voice[];
  readonly findPath: ReturnType<typeof pathFinder>;
  readonly frequency: Float64Array;
  /** Radians per metre, and what the air takes, nepers per metre. */
  readonly waveNumber: Float64Array;
  readonly nepers: Float64Array;
  /** How many of the first frequencies reflections reach: see `REACH`. */
  readonly reach: number;
}

interface Voice {
  readonly source: Source;
  readonly drive: { readonly re: Float64Array; readonly im: Float64Array };
  readonly images: readonly Image[];
}

function groupOf(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): Group {
  const { frequency, order, finiteSize, obstruction } = options;
  const c = speedOfSound(venue.air.temperature);
  const walls = wallsOf(options.cavities ? venue : { ...venue, cavities: [] });
  const rectangles = walls.map((w) => w.rectangle);
  const voices = sources.map((source) => ({
    source,
    drive: drive(source, frequency),
    images: images(source, rectangles, order),
  }));
  return {
    walls,
    chains: voices[0]?.images ?? [],
    voices,
    findPath: pathFinder(walls, { finiteSize, obstruction }),
    frequency,
    waveNumber: frequency.map((f) => (2 * Math.PI * f) / c),
    nepers: airNepers(venue.air, frequency),
    reach: Math.max(0, ...voices.map((voice) => reachOf(voice.drive))),
  };
}

/**
 * Makes the function that adds all sources' paths along a chain to the sums; it says whether one is heard. `flush`
 * finishes the sums, and must come between the direct sound and the first reflection.
 *
 * @param kept  what the boundaries of each chain keep; all of it when left out
 */
function adder(group: Group, kept?: readonly Float64Array[]) {
  const { walls, voices, findPath, frequency, waveNumber, nepers, reach } = group;
  const whole = frequency.length;
  const room = kernelRoom(whole, voices.length) + kernelRoom(reach, voices.length, kept?.length);
  const sum = phasorSum(waveNumber, CAPACITY, room);
  for (let p = 0; p < CAPACITY; p++) sum.row[p] = p;
  const weigherOf = (count: number, chains?: readonly Float64Array[]) => {
    const upTo = (values: Float64Array) => values.subarray(0, count);
    const options = { voices, waveNumber: upTo(waveNumber), nepers: upTo(nepers), kept: chains?.map(upTo) };
    return pathWeights(walls, upTo(frequency), options, sum);
  };
  const weigh = weigherOf(whole);
  const weighReflection = weigherOf(reach, kept);
  let paths = 0;
  let blocks = 0;
  const flush = (): void => {
    sum.run(paths, blocks);
    paths = 0;
  };
  const add = (chain: number, position: Point): boolean => {
    const each = chain === 0 ? weigh : weighReflection;
    blocks = strideOf(chain === 0 ? whole : reach);
    let heard = false;
    for (let voice = 0; voice < voices.length; voice++) {
      const path = findPath(voices[voice].images[chain], position);
      if (!path) continue;
      heard = true;
      const length = Math.max(path.length, NEAREST);
      sum.length[paths] = length;
      sum.scale[paths] = 1 / length;
      each(path, voice, position, paths, chain);
      if (++paths === CAPACITY) flush();
    }
    return heard;
  };
  return { sum, add, flush };
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
