/** A rectangular room as six rectangles. */
import type { Point } from "../acoustics/point";
import type { BandValues, Boundary } from "./venue";

export const FACES = ["floor", "ceiling", "front", "back", "left", "right"] as const;
export type Face = (typeof FACES)[number];

/** Names under which the faces are found in messages and figures. */
export const FACE_NAMES: Readonly<Record<Face, string>> = {
  floor: "floor",
  ceiling: "ceiling",
  front: "front wall",
  back: "rear wall",
  left: "left wall",
  right: "right wall",
};

/**
 * The faces of a box between two opposite corners.
 *
 * @param from  corner with the least x, y and z, metres
 * @param to  corner with the greatest x, y and z, metres
 * @param absorption  energy absorption by face; a face without one is left out
 * @returns up to six rectangles: floor, ceiling, front wall (least x), rear wall, left wall (greatest y), right wall
 */
export function boxFaces(
  from: Point,
  to: Point,
  absorption: Readonly<Partial<Record<Face, BandValues>>>,
): Boundary[] {
  return FACES.flatMap((face) => {
    const soaked = absorption[face];
    return soaked ? [{ name: FACE_NAMES[face], corners: corners(face, from, to), absorption: soaked }] : [];
  });
}

function corners(face: Face, a: Point, b: Point): Boundary["corners"] {
  const at = (x: number, y: number, z: number): Point => ({ x, y, z });
  const level = (z: number): Boundary["corners"] => [
    at(a.x, b.y, z),
    at(a.x, a.y, z),
    at(b.x, a.y, z),
    at(b.x, b.y, z),
  ];
  const across = (x: number): Boundary["corners"] => [
    at(x, b.y, a.z),
    at(x, a.y, a.z),
    at(x, a.y, b.z),
    at(x, b.y, b.z),
  ];
  const along = (y: number): Boundary["corners"] => [
    at(a.x, y, a.z),
    at(b.x, y, a.z),
    at(b.x, y, b.z),
    at(a.x, y, b.z),
  ];
  switch (face) {
    case "floor":
      return level(a.z);
    case "ceiling":
      return level(b.z);
    case "front":
      return across(a.x);
    case "back":
      return across(b.x);
    case "left":
      return along(b.y);
    case "right":
      return along(a.y);
  }
}
