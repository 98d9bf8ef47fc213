/**
 * What a path does to the sound on its way, but for its length: pattern, air, boundaries, openings, edges,
 * obstructions.
 */

import { valueAt } from "../../acoustics/bands/curve";
import { atmosphericAbsorption } from "../../acoustics/distance/air";
import type { Point } from "../../acoustics/point";
import type { Venue } from "../../venue/venue";
import type { Image } from "../paths/images";
import type { Path } from "../paths/paths";
import type { Wall } from "../paths/walls";
import { divide, lineImpedance, radiationImpedance } from "../room/cavity";
import type { PhasorSum } from "./phasor-sum";
import { type PathKernel, type PathKernelOptions, plainPathKernel } from "./plain";
import { simdPathKernel } from "./simd";

/**
 * Makes the function that writes a path's complex weight at every frequency into a row of a phasor sum. What the
 * boundaries keep is in it where the kernel knows it: see `chainFactors`.
 *
 * @param walls  the walls that the paths' hits count
 * @param frequency  hertz
 * @param kernel  for the same frequencies
 * @param options  what the kernel was made with
 * @param sum  the rows
 */
export function pathWeights(
  walls: readonly Wall[],
  frequency: Float64Array,
  options: PathKernelOptions,
  sum: PhasorSum,
  kernel: PathKernel = simdPathKernel(options, sum) ?? plainPathKernel(options, sum),
) {
  const { weightRe, weightIm } = sum;
  const openings = new Map<number, Mobility>();
  const mobilityOf = (wall: number): Mobility => {
    const known = openings.get(wall) ?? openingMobility(walls[wall], frequency, options.waveNumber);
    openings.set(wall, known);
    return known;
  };
  return (
    { image, length, hits, edges, obstructions }: Path,
    voice: number,
    place: Point,
    row: number,
    chain: number,
  ): void => {
    const { x, y, z } = image.point;
    const direction = length > 0 ? { x: place.x - x, y: place.y - y, z: place.z - z } : image.axis;
    kernel.begin(row, voice, image, direction, length, chain);
    for (const { wall, cosine } of hits) {
      if (!walls[wall].cavity) continue;
      const alone = walls[wall].host === undefined;
      const given = (alone ? 2 : 1) / Math.max(cosine, GRAZING);
      const { re, im } = mobilityOf(wall);
      for (let f = 0, at = row * sum.stride; f < re.length; f++, at++) {
        const a = (alone ? 1 : 0) - given * re[f];
        const b = -given * im[f];
        const x = weightRe[at];
        weightRe[at] = x * a - weightIm[at] * b;
        weightIm[at] = x * b + weightIm[at] * a;
      }
    }
    for (const d of edges) {
      if (d) kernel.finiteSize(row, d, "reflected");
    }
    const act = hits.length > 0 ? "passed" : "in shadow";
    for (const d of obstructions) kernel.finiteSize(row, d, act);
  };
}

/** What the air takes, nepers per metre. */
export function airNepers(air: Venue["air"], frequency: Float64Array): Float64Array {
  return frequency.map((f) => (atmosphericAbsorption(f, air) * Math.LN10) / 20);
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

/** Cosine below which incidence on an opening counts as this: along its plane the finite-size factor has no meaning. */
const GRAZING = 0.1;

/** Over frequency. */
interface Mobility {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** 1/(z + z_r) of an opening: see cavity.ts. Beside a floor its mirror image doubles the piston. */
function openingMobility(wall: Wall, frequency: Float64Array, waveNumber: Float64Array): Mobility {
  const { rectangle, cavity, above, below } = wall;
  const joined = above.joined.map((x, i) => x || below.joined[i]);
  const times = (a: boolean, b: boolean): number => (a ? 2 : 1) * (b ? 2 : 1);
  const width = rectangle.width * times(joined[0], joined[1]);
  const height = rectangle.height * times(joined[2], joined[3]);
  const mobility = Array.from(frequency, (f, i) => {
    const line = lineImpedance(waveNumber[i], cavity?.depth ?? 0, valueAt(wall.absorption, f));
    const air = radiationImpedance(waveNumber[i], width, height);
    return divide({ re: 1, im: 0 }, { re: line.re + air.re, im: line.im + air.im });
  });
  return { re: Float64Array.from(mobility, (y) => y.re), im: Float64Array.from(mobility, (y) => y.im) };
}
