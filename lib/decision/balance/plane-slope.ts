/** How fast a value changes from place to place: the plane fitted through the neighbours. */
import { distance, type Point } from "../../acoustics/point";

export interface Change {
  /** Per metre toward the back; null where the neighbours lie on one line across. */
  readonly towardBack: number | null;
  /** Per metre toward house left; null where the neighbours lie on one line in depth. */
  readonly towardLeft: number | null;
}

interface Place {
  readonly point: Point;
  readonly deviation_db: number;
}

/**
 * Change of the balance per metre walked around a place.
 *
 * Least squares of a plane through the place and its neighbours; where these lie on one line, along that line only.
 *
 * @param position  the place itself
 * @param field  all places known, the place among them or not
 * @param radius  neighbours farther than this do not count, metres
 */
export function changeAround(position: Place, field: readonly Place[], radius: number): Change {
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let xd = 0;
  let yd = 0;
  for (const other of field) {
    const r = distance(position.point, other.point);
    if (r === 0 || r > radius) continue;
    const x = other.point.x - position.point.x;
    const y = other.point.y - position.point.y;
    const d = other.deviation_db - position.deviation_db;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xd += x * d;
    yd += y * d;
  }
  const determinant = xx * yy - xy * xy;
  if (determinant > 1e-3 * xx * yy && determinant > 1e-9) {
    return {
      towardBack: (yy * xd - xy * yd) / determinant,
      towardLeft: (xx * yd - xy * xd) / determinant,
    };
  }
  return {
    towardBack: xx > yy && xx > 1e-9 ? xd / xx : null,
    towardLeft: yy > xx && yy > 1e-9 ? yd / yy : null,
  };
}
