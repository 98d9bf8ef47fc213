/**
 * How much sound power a group of sources gives to the room.
 *
 * Sources within a wavelength of each other, or of a wall, work against each other's pressure: n subs side by side
 * radiate n² times the power of one, a sub on the floor twice that of one in the air. For point sources the power
 * is Σᵢⱼ aᵢ aⱼ* sin(kd)/(kd), images in walls of first order included; directional ones count with the root of
 * their power share.
 *
 * @source Waterhouse, J. Acoust. Soc. Am. 30 (1958), 4-13, for sources before walls; Morse and Ingard, Theoretical
 *   Acoustics, for several (both from memory); check: tests/field/diffuse.test.ts
 */
import { valueAt } from "../acoustics/curve";
import { directivityIndex } from "../acoustics/directivity";
import { patternFactor } from "../acoustics/pattern";
import { distance, type Point } from "../acoustics/point";
import type { Pattern, Source } from "../venue/venue";
import type { Emission } from "./diffuse";
import { drive } from "./drive";
import { mirrorPoint } from "./rectangle";
import type { Wall } from "./walls";

/**
 * Emission of a group.
 *
 * @param sources  the group
 * @param walls  walls whose first images change the power; openings are left out
 * @param frequency  hertz
 * @param speedOfSound  metres per second
 */
export function emission(
  sources: readonly Source[],
  walls: readonly Wall[],
  frequency: Float64Array,
  speedOfSound: number,
): Emission {
  const indices = new Map<string, { frequency: number[]; value: number[] }>();
  const voices = sources.map((source) => {
    const key = JSON.stringify(source.pattern);
    const index = indices.get(key) ?? indexCurve(source.pattern, frequency, speedOfSound);
    indices.set(key, index);
    const { re, im } = drive(source, frequency);
    for (let f = 0; f < re.length; f++) {
      const root = 10 ** (-valueAt(index, frequency[f]) / 20);
      re[f] *= root;
      im[f] *= root;
    }
    return { point: source.point, re, im };
  });
  const power = new Float64Array(frequency.length);
  const own = voices.map(({ re, im }) => re.reduce((sum, x, f) => sum + x * x + im[f] * im[f], 0));
  const boundaries = walls.filter((w) => !w.cavity);
  voices.forEach((a, i) => {
    for (let j = i; j < voices.length; j++) {
      const b = voices[j];
      const twice = j === i ? 1 : 2;
      addPair(power, a, b, distance(a.point, b.point), frequency, speedOfSound, () => twice);
      for (const wall of boundaries) {
        const d = distance(a.point, mirrorPoint(wall.rectangle, b.point));
        addPair(
          power,
          a,
          b,
          d,
          frequency,
          speedOfSound,
          (f) => twice * Math.sqrt(1 - valueAt(wall.absorption, f)),
        );
      }
    }
  });
  const total = own.reduce((x, y) => x + y, 0) || 1;
  return {
    power: power.map((x) => Math.max(0, x)),
    places: voices.map(({ point }, i) => ({ point, share: own[i] / total })),
  };
}

interface Voice {
  readonly point: Point;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

function addPair(
  power: Float64Array,
  a: Voice,
  b: Voice,
  distance: number,
  frequency: Float64Array,
  speedOfSound: number,
  factor: (f: number) => number,
): void {
  for (let f = 0; f < power.length; f++) {
    const x = (2 * Math.PI * frequency[f] * distance) / speedOfSound;
    // Beyond some wavelengths the two no longer feel each other.
    if (x > FAR) break;
    const near = x < 1e-3 ? 1 : Math.sin(x) / x;
    power[f] += factor(frequency[f]) * near * (a.re[f] * b.re[f] + a.im[f] * b.im[f]);
  }
}

const FAR = 10 * Math.PI;

/** Directivity index at each third octave or so of the grid: it changes slowly, and its integral is costly. */
function indexCurve(pattern: Pattern, frequency: Float64Array, speedOfSound: number) {
  const first = frequency[0];
  const last = frequency[frequency.length - 1];
  const count = pattern.kind === "piston" ? 2 + Math.floor(3 * Math.log2(last / first)) : 1;
  const at = Array.from(
    { length: count },
    (_, i) => first * (last / first) ** (count > 1 ? i / (count - 1) : 0),
  );
  const orientation = { axis: { x: 1, y: 0, z: 0 }, up: { x: 0, y: 0, z: 1 } };
  const value = at.map((f) => {
    const k = (2 * Math.PI * f) / speedOfSound;
    return directivityIndex(
      (ahead, across, up) => patternFactor(pattern, orientation, { x: ahead, y: across, z: up }, k),
      {
        polar: 64,
        azimuth: 48,
      },
    );
  });
  return { frequency: at, value };
}
