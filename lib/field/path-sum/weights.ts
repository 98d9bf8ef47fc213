/**
 * What a path does to the sound on its way, but for its length: pattern, air, boundaries, openings, edges,
 * obstructions.
 */

import { valueAt } from "../../acoustics/bands/curve";
import { atmosphericAbsorption } from "../../acoustics/distance/air";
import type { Point } from "../../acoustics/point";
import type { Complexes } from "../../numeric/complexes";
import type { Venue } from "../../venue/venue";
import type { Image } from "../paths/images";
import type { Path } from "../paths/paths";
import type { Wall } from "../paths/walls";
import { divide, lineImpedance, radiationImpedance } from "../room/cavity";
import { strideOf, type WeightedPathSum } from "./types";

/**
 * Makes the function that adds a path to a sum, with all that happens on its way.
 *
 * @param sum  with the weights of the sources
 * @param walls  the walls that the paths' hits count
 * @param frequency  hertz
 * @param waveNumber  radians per metre
 * @returns takes the path, which source's it is, the position, the chain of walls, and how many of the first frequencies
 */
export function pathAdder(
  sum: WeightedPathSum,
  walls: readonly Wall[],
  frequency: Float64Array,
  waveNumber: Float64Array,
) {
  const { weightRe, weightIm } = sum;
  const openings = new Map<number, Complexes>();
  const admittanceOf = (wall: number): Complexes => {
    const known = openings.get(wall) ?? openingAdmittance(walls[wall], frequency, waveNumber);
    openings.set(wall, known);
    return known;
  };
  return (
    { image, length, hits, edges, obstructions }: Path,
    source: number,
    position: Point,
    chain: number,
    frequencies: number,
  ): void => {
    const { x, y, z } = image.point;
    const direction = length > 0 ? { x: position.x - x, y: position.y - y, z: position.z - z } : image.axis;
    sum.begin(source, image, direction, length, chain, frequencies);
    for (const { wall, cosine } of hits) {
      if (!walls[wall].cavity) continue;
      const alone = walls[wall].host === undefined;
      const given = (alone ? 2 : 1) / Math.max(cosine, GRAZING);
      const { re, im } = admittanceOf(wall);
      for (let f = 0; f < frequencies; f++) {
        const a = (alone ? 1 : 0) - given * re[f];
        const b = -given * im[f];
        const x = weightRe[f];
        weightRe[f] = x * a - weightIm[f] * b;
        weightIm[f] = x * b + weightIm[f] * a;
      }
    }
    for (const d of edges) {
      if (d) sum.finiteSize(d, "reflected", frequencies);
    }
    const act = hits.length > 0 ? "passed" : "in shadow";
    for (const o of obstructions) sum.finiteSize(o.detours, act, frequencies, o);
    sum.add(0, Math.max(length, NEAREST), strideOf(frequencies));
  };
}

/** A point source has no size; nearer than this, metres, its level stays as there. */
const NEAREST = 0.1;

/** Attenuation by the air, nepers per metre. */
export function airNepers(air: Venue["air"], frequency: Float64Array): Float64Array {
  return frequency.map((f) => (atmosphericAbsorption(f, air) * Math.LN10) / 20);
}

/**
 * What the boundaries along each chain of walls reflect of the pressure: of sound from all directions, whatever the angle of a path, so that
 * it is one factor for all paths of a chain. An opening in a boundary takes 1 + R,
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

/** 1/(z + z_r) of an opening: see cavity.ts. Beside a floor its mirror image doubles the piston. */
function openingAdmittance(wall: Wall, frequency: Float64Array, waveNumber: Float64Array): Complexes {
  const { rectangle, cavity, above, below } = wall;
  const joined = above.joined.map((x, i) => x || below.joined[i]);
  const times = (a: boolean, b: boolean): number => (a ? 2 : 1) * (b ? 2 : 1);
  const width = rectangle.width * times(joined[0], joined[1]);
  const height = rectangle.height * times(joined[2], joined[3]);
  const admittance = Array.from(frequency, (f, i) => {
    const line = lineImpedance(waveNumber[i], cavity?.depth ?? 0, valueAt(wall.absorption, f));
    const air = radiationImpedance(waveNumber[i], width, height);
    return divide({ re: 1, im: 0 }, { re: line.re + air.re, im: line.im + air.im });
  });
  return { re: Float64Array.from(admittance, (y) => y.re), im: Float64Array.from(admittance, (y) => y.im) };
}
