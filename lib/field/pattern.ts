/**
 * How the level of a source falls off its axis, per frequency, on the way to a place.
 */
import { cross, dot, norm, type Point, subtract } from "../acoustics/point";
import type { Pattern } from "../venue/venue";

export function patternFactor(
  pattern: Pattern,
  from: { readonly point: Point; readonly axis: Point; readonly up: Point },
  to: Point,
  waveNumber: Float64Array,
): Float64Array {
  const line = subtract(to, from.point);
  const r = norm(line) || 1;
  const ahead = dot(line, from.axis) / r;
  if (pattern.kind === "omni") return waveNumber.map(() => 1);
  if (pattern.kind === "first-order") return waveNumber.map(() => 1 - pattern.a + pattern.a * ahead);
  const u = (dot(line, cross(from.axis, from.up)) / r) * (pattern.width / 2);
  const v = (dot(line, from.up) / r) * (pattern.height / 2);
  const limit = ahead < 0 ? 10 ** (-pattern.rear / 20) : 1;
  return waveNumber.map((k) => {
    const d = sinc(k * u) * sinc(k * v);
    return Math.max(-limit, Math.min(limit, d));
  });
}

const sinc = (x: number): number => (Math.abs(x) < 1e-6 ? 1 : Math.sin(x) / x);
