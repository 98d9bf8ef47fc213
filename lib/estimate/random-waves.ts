/**
 * A random wave field: plane waves from all directions, as in a room whose waves nobody can tell.
 *
 * @source Cook et al., J. Acoust. Soc. Am. 27 (1955): sin(kr)/kr for waves from all sides, J0(kr) for those in a plane
 *   (from memory); check: tests/estimate/random-waves.test.ts
 */
import type { Point } from "../acoustics/point";
import type { Complexes } from "../numeric/complexes";

const COUNT = 64;
/**
 * Directions by a spiral that turns by the golden angle, evenly over the sphere but nearer to the horizontal: in halls by waves the
 * field along the floor is between that of waves from all sides and that of waves along the floor alone.
 */
const directions: readonly Point[] = Array.from({ length: COUNT }, (_, i) => {
  const z = 0.7 * (1 - (2 * i + 1) / COUNT);
  const turn = i * Math.PI * (3 - Math.sqrt(5));
  const r = Math.sqrt(1 - z * z);
  return { x: r * Math.cos(turn), y: r * Math.sin(turn), z };
});

/** What each plane wave has at places: cosines, then sines, of its phase, wave by wave. */
export function planeWaves(points: readonly Point[], waveNumber: number): Float32Array {
  const waves = new Float32Array(2 * COUNT * points.length);
  points.forEach((p, at) => {
    directions.forEach((d, n) => {
      const phase = waveNumber * (d.x * p.x + d.y * p.y + d.z * p.z);
      waves[n * points.length + at] = Math.cos(phase);
      waves[(COUNT + n) * points.length + at] = Math.sin(phase);
    });
  });
  return waves;
}

/** Correlation of the field at two places. */
export function correlation(waves: Float32Array, places: number, i: number, j: number): number {
  let sum = 0;
  for (let n = 0; n < 2 * COUNT; n++) sum += waves[n * places + i] * waves[n * places + j];
  return sum / COUNT;
}

/** Amplitudes of the plane waves, real and imaginary: new ones, or near to those of the frequency before. */
export function amplitudes(normal: () => number, former?: Float64Array, alike = 0): Float64Array {
  const own = Math.sqrt(former ? 1 - alike * alike : 1) / Math.sqrt(2 * COUNT);
  const now = new Float64Array(4 * COUNT);
  for (let n = 0; n < now.length; n++) now[n] = (former ? alike * former[n] : 0) + own * normal();
  return now;
}

/** The field of mean square 1 that they make at places. */
export function fieldOf(
  amplitude: Float64Array,
  waves: Float32Array,
  places: number,
  { re, im }: Complexes,
): void {
  re.fill(0);
  im.fill(0);
  // Two waves at a time, for what they are added to is fetched once.
  for (let n = 0; n < 2 * COUNT; n += 2) {
    const [a, b, c, d] = amplitude.subarray(2 * n, 2 * n + 4);
    const row = n * places;
    const next = row + places;
    for (let i = 0; i < places; i++) {
      const [x, y] = [waves[row + i], waves[next + i]];
      re[i] += a * x + c * y;
      im[i] += b * x + d * y;
    }
  }
}
