/** What distance alone does to level, and how much of a set of levels it explains. */
import { distance, type Point } from "../../acoustics/point";

/**
 * Level from distance alone: sources that radiate alike into free space, added by power.
 *
 * @param point  where one listens, metres
 * @param origins  where the sources are, metres, at least one
 * @returns dB re one such source at 1 m
 * @throws RangeError when there is no origin, or the point lies in one
 * @source spherical spreading, 6.02 dB for each doubling: ISO 9613-2 geometrical divergence; check: tests/public/examples.test.ts
 * @example
 * const subs = [{ x: 0, y: -6, z: 0 }, { x: 0, y: 6, z: 0 }];
 * acoustics.distance.levelAt({ x: 8, y: 0, z: 0 }, subs) // -16.99
 */
export function distanceLevel(point: Point, origins: readonly Point[]): number {
  if (origins.length === 0)
    throw new RangeError("origins is empty, expected at least one position of a source");
  let sum = 0;
  for (const origin of origins) {
    const r = distance(point, origin);
    if (!(r > 0))
      throw new RangeError(`a position lies in a source, at x ${origin.x} y ${origin.y} z ${origin.z}`);
    sum += 1 / (r * r);
  }
  return 10 * Math.log10(sum);
}

/** A straight line fitted by weighted least squares; null where all x are the same. */
export interface LineFit {
  readonly slope: number;
  readonly intercept: number;
  /** Weighted standard deviation of what the line leaves. */
  readonly residual: number;
}

export function fitLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  weights: ArrayLike<number>,
): LineFit | null {
  let total = 0;
  let mx = 0;
  let my = 0;
  for (let i = 0; i < x.length; i++) {
    total += weights[i];
    mx += weights[i] * x[i];
    my += weights[i] * y[i];
  }
  mx /= total;
  my /= total;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < x.length; i++) {
    xx += weights[i] * (x[i] - mx) ** 2;
    xy += weights[i] * (x[i] - mx) * (y[i] - my);
    yy += weights[i] * (y[i] - my) ** 2;
  }
  if (!(xx > 1e-12 * total)) return null;
  const slope = xy / xx;
  return { slope, intercept: my - slope * mx, residual: Math.sqrt(Math.max(0, yy - slope * xy) / total) };
}
