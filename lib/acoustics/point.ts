/** Points and directions in space, metres, as plain objects. */
export interface Point {
  /** metres from the stage's front edge toward the back of the room */
  readonly x: number;
  /** metres across, house left (the left hand of someone facing the stage) positive */
  readonly y: number;
  /** metres up from the floor of the first row */
  readonly z: number;
}

/**
 * A copy of the shape that all sums have. Points come from files, threads and literals, and V8 slows code down that
 * meets more than four kinds of them: tenfold where paths are walked.
 */
export const plainPoint = ({ x, y, z }: Point): Point => ({ x, y, z });
export const subtract = (a: Point, b: Point): Point => ({ x: a.x - b.x, y: a.y - b.y, z: a.z - b.z });
export const add = (a: Point, b: Point): Point => ({ x: a.x + b.x, y: a.y + b.y, z: a.z + b.z });
export const scale = (a: Point, s: number): Point => ({ x: a.x * s, y: a.y * s, z: a.z * s });
export const dot = (a: Point, b: Point): number => a.x * b.x + a.y * b.y + a.z * b.z;
export const cross = (a: Point, b: Point): Point => ({
  x: a.y * b.z - a.z * b.y,
  y: a.z * b.x - a.x * b.z,
  z: a.x * b.y - a.y * b.x,
});
/** By the plain root, many times faster than Math.hypot, whose care for 1e200 metres is not needed. */
export const norm = ({ x, y, z }: Point): number => Math.sqrt(x * x + y * y + z * z);
/**
 * Distance between two points, along a straight line.
 *
 * @param a  metres
 * @param b  metres
 * @returns metres, 0 or more
 * @source Pythagoras, Euclid's Elements I.47; check: tests/acoustics/distance/spreading.test.ts
 * @example
 * acoustics.distance.between({ x: 0, y: 0, z: 0 }, { x: 4, y: 0, z: 3 }) // 5
 */
export const distance = (a: Point, b: Point): number => norm(subtract(a, b));
