/**
 * What a path does to the sound on its way, but for its length: pattern, air, boundaries, openings, edges,
 * obstructions.
 */
import { atmosphericAbsorption } from "../acoustics/air";
import { valueAt } from "../acoustics/curve";
import { patternFactors } from "../acoustics/pattern";
import { type Point, subtract } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { divide, lineImpedance, radiationImpedance } from "./cavity";
import { applyFiniteSize } from "./finite-size";
import type { Image } from "./images";
import type { Path } from "./paths";
import type { PhasorSum } from "./phasor-sum";
import type { Wall } from "./walls";

/**
 * Makes the function that writes a path's complex weight at every frequency into a phasor sum.
 *
 * @param venue  for its air
 * @param walls  the walls that the paths' hits count
 * @param frequency  hertz
 * @param waveNumber  radians per metre, as many
 */
export function pathWeights(
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
