/**
 * How much sound power a group of sources gives to the room.
 *
 * Sources within a wavelength of each other, or of a wall, work against each other's pressure: n subs side by side
 * radiate n² times the power of one, a sub on the floor twice that of one in the air. For point sources the power
 * is Σᵢⱼ aᵢ aⱼ* sin(kd)/(kd), images in walls of first order included; directional ones count with the root of
 * their power share.
 *
 * @source Waterhouse, J. Acoust. Soc. Am. 30 (1958), 4-13, for sources before walls; Morse and Ingard, Theoretical
 *   Acoustics, for several (both from memory); check: tests/field/room/diffuse.test.ts
 */

import { type BandValues, valueAt } from "../../acoustics/bands/curve";
import { directivityIndex } from "../../acoustics/directivity/directivity";
import { patternFactor } from "../../acoustics/directivity/pattern";
import { distance, type Point } from "../../acoustics/point";
import type { Complexes } from "../../numeric/complexes";
import { acousticCentre } from "../../venue/centre";
import type { Pattern, Source } from "../../venue/venue";
import { drive } from "../drive";
import { mirrorPoint } from "../paths/rectangle";
import type { Wall } from "../paths/walls";
import type { Emission } from "./diffuse";

/**
 * Emission of a group.
 *
 * @param sources  the group
 * @param walls  walls whose first images change the power
 * @param frequency  hertz
 * @param speedOfSound  metres per second
 */
export function emission(
  sources: readonly Source[],
  walls: readonly Pick<Wall, "rectangle" | "absorption">[],
  frequency: Float64Array,
  speedOfSound: number,
): Emission {
  const waveNumber = frequency.map((f) => (2 * Math.PI * f) / speedOfSound);
  const weighted = sources.map((source) => {
    const index = indexOf(source.pattern);
    const { re, im } = drive(source, frequency);
    for (let f = 0; f < re.length; f++) {
      const root = 10 ** (-valueAt(index, waveNumber[f]) / 20);
      re[f] *= root;
      im[f] *= root;
    }
    return { point: acousticCentre(source), re, im };
  });
  const power = new Float64Array(frequency.length);
  const own = weighted.map(({ re, im }) => re.reduce((sum, x, f) => sum + x * x + im[f] * im[f], 0));
  const direct = frequency.map(() => 1);
  const reflection = walls.map(({ absorption }) =>
    frequency.map((f) => Math.sqrt(1 - valueAt(absorption, f))),
  );
  weighted.forEach((a, i) => {
    for (let j = i; j < weighted.length; j++) {
      const b = weighted[j];
      const twice = j === i ? 1 : 2;
      addPair(power, a, b, distance(a.point, b.point), waveNumber, direct, twice);
      walls.forEach(({ rectangle }, w) => {
        const apart = distance(a.point, mirrorPoint(rectangle, b.point));
        addPair(power, a, b, apart, waveNumber, reflection[w], twice);
      });
    }
  });
  const total = own.reduce((x, y) => x + y, 0) || 1;
  return {
    power: power.map((x) => Math.max(0, x)),
    positions: weighted.map(({ point }, i) => ({ point, fraction: own[i] / total })),
  };
}

interface Weighted extends Complexes {
  readonly point: Point;
}

function addPair(
  power: Float64Array,
  a: Weighted,
  b: Weighted,
  distance: number,
  waveNumber: Float64Array,
  factor: Float64Array,
  times: number,
): void {
  for (let f = 0; f < power.length; f++) {
    const x = waveNumber[f] * distance;
    // Beyond some wavelengths the two no longer feel each other.
    if (x > FAR) break;
    const near = x < 1e-3 ? 1 : Math.sin(x) / x;
    power[f] += times * factor[f] * near * (a.re[f] * b.re[f] + a.im[f] * b.im[f]);
  }
}

const FAR = 10 * Math.PI;

/** Directivity index of a pattern at wave numbers, radians per metre, a third of an octave apart. */
function indexOf(pattern: Pattern): BandValues {
  const key = JSON.stringify(pattern);
  const known = indices.get(key);
  if (known) return known;
  const waveNumbers = Float64Array.from(
    { length: pattern.kind === "piston" || pattern.kind === "sphere" ? 37 : 1 },
    (_, i) => 0.1 * 2 ** (i / 3),
  );
  const orientation = { axis: { x: 1, y: 0, z: 0 }, up: { x: 0, y: 0, z: 1 } };
  const value = Array.from(waveNumbers, (k) =>
    directivityIndex(
      (ahead, across, up) => patternFactor(pattern, orientation, { x: ahead, y: across, z: up }, k),
      // Every pattern of a cabinet is symmetric about both of its planes.
      { polar: 64, azimuth: 12, around: Math.PI / 2 },
    ),
  );
  const index = { frequency: Array.from(waveNumbers), value };
  indices.set(key, index);
  return index;
}

/** By pattern: it changes slowly over frequency, is costly, and the same for every venue and every hang of a cabinet. */
const indices = new Map<string, BandValues>();
