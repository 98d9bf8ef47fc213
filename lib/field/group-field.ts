/**
 * The field of one group of sources: complex pressure at any place, path by path.
 */
import { atmosphericAbsorption, speedOfSound } from "../acoustics/air";
import { valueAt } from "../acoustics/curve";
import { patternFactors } from "../acoustics/pattern";
import { type Point, subtract } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { divide, lineImpedance, radiationImpedance } from "./cavity";
import { drive } from "./drive";
import { applyFiniteSize } from "./finite-size";
import { type Image, images } from "./images";
import { type Path, pathFinder } from "./paths";
import { type PhasorSum, phasorSum } from "./phasor-sum";
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

/** Makes the function that writes a path's complex weight at every frequency: all but its length. */
function pathWeights(
  venue: Venue,
  walls: readonly Wall[],
  frequency: Float64Array,
  waveNumber: Float64Array,
) {
  const nepers = frequency.map((f) => (atmosphericAbsorption(f, venue.air) * Math.LN10) / 20);
  const reflection = walls.map((wall) => frequency.map((f) => Math.sqrt(1 - valueAt(wall.absorption, f))));
  const mobility = walls.map((wall) =>
    wall.cavity ? openingMobility(wall, frequency, waveNumber) : undefined,
  );
  const rootPerWavelength = waveNumber.map((k) => Math.sqrt(k / (2 * Math.PI)));
  const factor = new Float64Array(frequency.length);
  const chains = new Map<string, Float64Array>();
  /** What the boundaries on the way to an image keep of the pressure; openings act on their own. */
  const kept = (image: Image): Float64Array => {
    const known = chains.get(image.chain);
    if (known) return known;
    const product = image.parent ? kept(image.parent).slice() : new Float64Array(frequency.length).fill(1);
    if (image.parent && !walls[image.wall].cavity) multiply(product, reflection[image.wall]);
    chains.set(image.chain, product);
    return product;
  };
  return (
    path: Path,
    source: Source,
    amplitude: { re: Float64Array; im: Float64Array },
    place: Point,
    { weightRe, weightIm }: PhasorSum,
    start: number,
  ): void => {
    const { image, length, hits } = path;
    const direction = length > 0 ? subtract(place, image.point) : image.axis;
    patternFactors(source.pattern, image, direction, waveNumber, factor);
    if (hits.length > 0) multiply(factor, kept(image));
    decay(nepers, length, factor);
    for (let f = 0; f < factor.length; f++) {
      const g = factor[f];
      weightRe[start + f] = g * amplitude.re[f];
      weightIm[start + f] = g * amplitude.im[f];
    }
    for (const { wall, cosine } of hits) {
      const y = mobility[wall];
      if (!y) continue;
      const host = walls[wall].host;
      for (let f = 0; f < factor.length; f++) {
        const given = (host === undefined ? 2 : 1 + reflection[host][f]) / Math.max(cosine, GRAZING);
        const a = (host === undefined ? 1 : 0) - given * y.re[f];
        const b = -given * y.im[f];
        const x = weightRe[start + f];
        weightRe[start + f] = x * a - weightIm[start + f] * b;
        weightIm[start + f] = x * b + weightIm[start + f] * a;
      }
    }
    for (const edges of path.edges) {
      if (edges) applyFiniteSize(weightRe, weightIm, start, edges, rootPerWavelength);
    }
    for (const edges of path.obstructions) {
      applyFiniteSize(
        weightRe,
        weightIm,
        start,
        edges,
        rootPerWavelength,
        hits.length > 0 ? "passed" : "in shadow",
      );
    }
  };
}

function multiply(values: Float64Array, by: Float64Array): void {
  for (let f = 0; f < values.length; f++) values[f] *= by[f];
}

/** Multiplies by e^{-m r}, the air's part: below 1e-6 nothing, else from a table of e^{-x} and the first terms of the rest. */
function decay(nepers: Float64Array, length: number, factor: Float64Array): void {
  for (let f = 0; f < factor.length; f++) {
    const x = nepers[f] * length;
    if (x < 1e-6) continue;
    const at = x * 64;
    if (at >= DECAY.length) {
      factor[f] = 0;
      continue;
    }
    const i = at | 0;
    const rest = x - i / 64;
    factor[f] *= DECAY[i] * (1 - rest * (1 - rest * (0.5 - rest * (1 / 6))));
  }
}

const DECAY = Float64Array.from({ length: 64 * 40 }, (_, i) => Math.exp(-i / 64));

/** Cosine below which incidence on an opening counts as this: along its plane the finite-size factor has no meaning. */
const GRAZING = 0.1;

/** 1/(z + z_r) of an opening: see cavity.ts. Beside a floor its mirror image doubles the piston. */
function openingMobility(wall: Wall, frequency: Float64Array, waveNumber: Float64Array) {
  const { rectangle, cavity, above, below } = wall;
  const joined = above.joined.map((x, i) => x || below.joined[i]);
  const times = (a: boolean, b: boolean): number => (a ? 2 : 1) * (b ? 2 : 1);
  const width = rectangle.width * times(joined[0], joined[1]);
  const height = rectangle.height * times(joined[2], joined[3]);
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  for (let f = 0; f < frequency.length; f++) {
    const line = lineImpedance(waveNumber[f], cavity?.depth ?? 0, valueAt(wall.absorption, frequency[f]));
    const air = radiationImpedance(waveNumber[f], width, height);
    const y = divide({ re: 1, im: 0 }, { re: line.re + air.re, im: line.im + air.im });
    re[f] = y.re;
    im[f] = y.im;
  }
  return { re, im };
}
