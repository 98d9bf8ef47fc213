/**
 * The field of one group of sources: complex pressure at any place, path by path.
 */
import { speedOfSound } from "../acoustics/distance/air";
import { type Point, plainPoint } from "../acoustics/point";
import type { Complexes } from "../numeric/complexes";
import { acousticCentre } from "../venue/centre";
import { closed } from "../venue/closed";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { weightedPathSum } from "./path-sum/path-sum";
import { strideOf } from "./path-sum/types";
import { airNepers, chainFactors, pathAdder } from "./path-sum/weights";
import { type Image, images } from "./paths/images";
import { pathFinder } from "./paths/paths";
import { type Wall, wallsOf } from "./paths/walls";

export interface GroupFieldOptions {
  /** hertz, ascending */
  readonly frequency: Float64Array;
  /** The first of them that is wanted, by its number; all by default. */
  readonly from?: number;
  readonly order: number;
  readonly finiteSize: boolean;
  readonly obstruction: boolean;
  readonly cavities: boolean;
}

/** Complex pressure at one place; the arrays are overwritten by the next call. */
export type GroupField = (position: Point) => Complexes;

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
  const { sum, add } = chainAdder(group, chainFactors(group.chains, group.walls, group.frequency));
  const re = sum.re.subarray(0, group.frequency.length);
  const im = sum.im.subarray(0, group.frequency.length);
  return (point) => {
    const position = plainPoint(point);
    sum.re.fill(0);
    sum.im.fill(0);
    for (let chain = 0; chain < group.chains.length; chain++) add(chain, position);
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
  const { sum, add } = chainAdder(group);
  const upTo = (count: number) => ({ re: sum.re.subarray(0, count), im: sum.im.subarray(0, count) });
  const direct = upTo(group.frequency.length);
  const reflected = upTo(group.reach);
  const at: ChainField["at"] = (point, take) => {
    const position = plainPoint(point);
    for (let chain = 0; chain < group.chains.length; chain++) {
      if (!add(chain, position)) continue;
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
  readonly sources: readonly SourcePaths[];
  readonly findPath: ReturnType<typeof pathFinder>;
  readonly frequency: Float64Array;
  /** Radians per metre, and what the air takes, nepers per metre. */
  readonly waveNumber: Float64Array;
  readonly nepers: Float64Array;
  /** How many of the first frequencies reflections reach: see `REACH`. */
  readonly reach: number;
}

interface SourcePaths {
  readonly pattern: Source["pattern"];
  readonly drive: Complexes;
  readonly images: readonly Image[];
}

function groupOf(venue: Venue, sources: readonly Source[], options: GroupFieldOptions): Group {
  const { order, finiteSize, obstruction, from = 0 } = options;
  const frequency = options.frequency.subarray(from);
  const c = speedOfSound(venue.air.temperature);
  const walls = wallsOf(options.cavities ? venue : closed(venue));
  const rectangles = walls.map((w) => w.rectangle);
  const drives = sources.map((source) => drive(source, options.frequency));
  const own = sources.map((source, i) => ({
    pattern: source.pattern,
    drive: { re: drives[i].re.subarray(from), im: drives[i].im.subarray(from) },
    images: images({ ...source, point: acousticCentre(source) }, rectangles, order),
  }));
  return {
    walls,
    chains: own[0]?.images ?? [],
    sources: own,
    findPath: pathFinder(walls, { finiteSize, obstruction }),
    frequency,
    waveNumber: frequency.map((f) => (2 * Math.PI * f) / c),
    nepers: airNepers(venue.air, frequency),
    reach: Math.max(0, ...drives.map((each) => reachOf(each, from))),
  };
}

/**
 * Makes the function that adds all sources' paths along a chain to the sums; it says whether one is heard.
 *
 * @param reflectionFactors  of the boundaries of each chain; 1 when left out
 */
function chainAdder(group: Group, reflectionFactors?: readonly Float64Array[]) {
  const { walls, sources, findPath, frequency, waveNumber, nepers, reach } = group;
  const sum = weightedPathSum({ sources, waveNumber, nepers, reflectionFactors });
  const addPath = pathAdder(sum, walls, frequency, waveNumber);
  const add = (chain: number, position: Point): boolean => {
    let heard = false;
    for (let source = 0; source < sources.length; source++) {
      const path = findPath(sources[source].images[chain], position);
      if (!path) continue;
      heard = true;
      addPath(path, source, position, chain, chain === 0 ? frequency.length : reach);
    }
    return heard;
  };
  return { sum, add };
}

/**
 * A source's reflections reach up to where it sends out this much less power than at its loudest, 120 dB: of subs
 * behind their lowpass a quarter of the frequencies need no reflections.
 */
const REACH = 1e-12;

/** How many of the frequencies from the first one that is wanted, in whole blocks of the path sum. */
function reachOf({ re, im }: Complexes, from: number): number {
  const power = re.map((x, f) => x * x + im[f] * im[f]);
  const least = REACH * power.reduce((most, p) => Math.max(most, p), 0);
  let count = power.length;
  while (count > from && power[count - 1] < least) count--;
  return Math.min(re.length - from, strideOf(count - from));
}
