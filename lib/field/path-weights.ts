/**
 * What a path does to the sound on its way, but for its length: pattern, air, boundaries, openings, edges,
 * obstructions.
 */
import { atmosphericAbsorption } from "../acoustics/air";
import { valueAt } from "../acoustics/curve";
import { patternFactors } from "../acoustics/pattern";
import { type Point, subtract } from "../acoustics/point";
import type { Source, Venue } from "../venue/venue";
import { divide, type Impedance, lineImpedance, radiationImpedance } from "./cavity";
import { applyFiniteSize } from "./finite-size";
import type { Image } from "./images";
import type { Path } from "./paths";
import type { PhasorSum } from "./phasor-sum";
import type { Wall } from "./walls";

/**
 * Makes the function that writes a path's complex weight at every frequency into a phasor sum. What the boundaries keep
 * is not in it: see `chainFactors`.
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
  const rootPerWavelength = waveNumber.map((k) => Math.sqrt(k / (2 * Math.PI)));
  const factor = new Float64Array(frequency.length);
  const openings = new Map<number, Impedance[]>();
  const mobilityOf = (wall: number): Impedance[] => {
    const known = openings.get(wall) ?? openingMobility(walls[wall], frequency, waveNumber);
    openings.set(wall, known);
    return known;
  };
  return (
    { image, length, hits, edges, obstructions }: Path,
    source: Source,
    amplitude: { re: Float64Array; im: Float64Array },
    place: Point,
    { weightRe, weightIm }: PhasorSum,
    start: number,
  ): void => {
    const direction = length > 0 ? subtract(place, image.point) : image.axis;
    patternFactors(source.pattern, image, direction, waveNumber, factor);
    decay(nepers, length, factor);
    for (let f = 0; f < factor.length; f++) {
      const g = factor[f];
      weightRe[start + f] = g * amplitude.re[f];
      weightIm[start + f] = g * amplitude.im[f];
    }
    for (const { wall, cosine } of hits) {
      if (!walls[wall].cavity) continue;
      const alone = walls[wall].host === undefined;
      const given = (alone ? 2 : 1) / Math.max(cosine, GRAZING);
      mobilityOf(wall).forEach((y, f) => {
        const a = (alone ? 1 : 0) - given * y.re;
        const b = -given * y.im;
        const x = weightRe[start + f];
        weightRe[start + f] = x * a - weightIm[start + f] * b;
        weightIm[start + f] = x * b + weightIm[start + f] * a;
      });
    }
    for (const d of edges) {
      if (d) applyFiniteSize(weightRe, weightIm, start, d, rootPerWavelength);
    }
    const act = hits.length > 0 ? "passed" : "in shadow";
    for (const d of obstructions) applyFiniteSize(weightRe, weightIm, start, d, rootPerWavelength, act);
  };
}

/**
 * What the boundaries keep of the pressure on the way along each chain of walls. An opening in a boundary takes 1 + R,
 * R the reflection of the boundary around it; one that nothing surrounds acts by itself.
 *
 * @param chains  an image of each chain
 * @param walls  the walls that the chains count, with the absorption wanted
 * @param frequency  hertz
 */
export function chainFactors(
  chains: readonly Image[],
  walls: readonly Pick<Wall, "absorption" | "cavity" | "host">[],
  frequency: Float64Array,
): Float64Array[] {
  const reflection = walls.map((wall) => frequency.map((f) => Math.sqrt(1 - valueAt(wall.absorption, f))));
  const wallFactor = walls.map(({ cavity, host }, i) => {
    if (!cavity) return reflection[i];
    return host === undefined ? frequency.map(() => 1) : reflection[host].map((r) => 1 + r);
  });
  return chains.map((image) => {
    const product = new Float64Array(frequency.length).fill(1);
    for (let at: Image = image; at.parent; at = at.parent) multiply(product, wallFactor[at.wall]);
    return product;
  });
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
function openingMobility(wall: Wall, frequency: Float64Array, waveNumber: Float64Array): Impedance[] {
  const { rectangle, cavity, above, below } = wall;
  const joined = above.joined.map((x, i) => x || below.joined[i]);
  const times = (a: boolean, b: boolean): number => (a ? 2 : 1) * (b ? 2 : 1);
  const width = rectangle.width * times(joined[0], joined[1]);
  const height = rectangle.height * times(joined[2], joined[3]);
  return Array.from(frequency, (f, i) => {
    const line = lineImpedance(waveNumber[i], cavity?.depth ?? 0, valueAt(wall.absorption, f));
    const air = radiationImpedance(waveNumber[i], width, height);
    return divide({ re: 1, im: 0 }, { re: line.re + air.re, im: line.im + air.im });
  });
}
