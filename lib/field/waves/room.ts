/**
 * A venue as waves meet it: its air cut into cells, its walls' admittances, how long it rings.
 */
import { type BandValues, valueAt } from "../../acoustics/bands/curve";
import { speedOfSound } from "../../acoustics/distance/air";
import { type Point, plainPoint } from "../../acoustics/point";
import { type Quad, quadAt } from "../../venue/quad";
import type { Venue } from "../../venue/venue";
import { cornersOf, heightAbove, localPoint, type Rectangle, rectangle } from "../paths/rectangle";
import { type Admittance, admittanceOf } from "./admittance";
import { type CellOptions, type Cells, cellsOf, pieceAt } from "./cells";
import { type Equations, equationsOf, piecesAround } from "./equations";
import { type Layer, layerOf } from "./layer";
import type { Spot } from "./run";
import { type Along, spotAt } from "./spot";
import { boxBehind, type Surface, surfacesOf } from "./surfaces";

/** A venue's air in pieces. */
export interface CutAir {
  readonly cells: Cells;
  readonly equations: Equations;
}

export interface WaveRoom extends CutAir {
  /** Of a wall as `Equations.walls` numbers them. */
  readonly admittance: (wall: number) => Admittance;
  /** Number of the venue's boundary that such a wall is part of; undefined where it is none's. */
  readonly boundaryOf: (wall: number) => number | undefined;
  /** Metres per second. */
  readonly speedOfSound: number;
  /** Of sound that is computed. */
  readonly seconds: number;
  /** Pieces of air around a point and their weights there, or of a derivative along a direction; undefined where the point lies in no air that sound reaches. */
  spot(point: Point, along?: Along): Spot | undefined;
  /** Makes the layer that lets sound go where there is no room, for one run at a step of time, seconds. */
  readonly layer: ((step: number) => Layer) | undefined;
  /** All pieces of air that spots of places may use. */
  around(places: readonly Point[]): number[];
}

/** What of a venue shapes its waves; where its sources stand says in the open how much of it counts. */
export type WaveVenue = Pick<Venue, "air" | "audience" | "boundaries" | "cavities" | "room"> & {
  readonly sources: readonly { readonly point: Point }[];
};

/**
 * Cuts a venue into cells.
 *
 * @param venue  its surfaces and its air
 * @param size  side of a cube, metres
 * @param cut  the same venue's air as another thread has cut it
 */
export function waveRoom(venue: WaveVenue, size = cubeOf(venue), cut?: CutAir): WaveRoom {
  const { low, high } = extentOf(venue);
  const pad = venue.room ? 0.1 * size : DEEP;
  // Cubes lie alike to the left and to the right of the middle, so that a symmetric venue stays one.
  const [x, y] = (["x", "y"] as const).map((axis) => {
    const half = (Math.ceil((high[axis] - low[axis] + 2 * pad) / size) * size) / 2;
    const middle = (low[axis] + high[axis]) / 2;
    return [middle - half, middle + half];
  });
  // A floor in the box's own face would be hard; under the open it lies between cubes, so that those of the layer stay whole.
  const from = { x: x[0], y: y[0], z: low.z - (venue.room ? pad : size) };
  const to = { x: x[1], y: y[1], z: high.z + pad };
  const drawn = surfacesOf(venue);
  const surfaces = venue.room
    ? closed(drawn, venue, venue.room)
    : [...drawn, ...belowGround(drawn, venue), groundOf(venue, { ...from, z: low.z }, to)];
  const { cells, equations } = cut ?? cutAir(venue, surfaces, { size, from, to });
  const strengths = surfaces.map((s) => admittanceOf(s.absorption));
  const c = speedOfSound(venue.air.temperature);
  const spots = new Map<string, Spot | undefined>();
  return {
    cells,
    equations,
    admittance: (wall) => strengths[wall >> 1],
    boundaryOf: (wall) => surfaces[wall >> 1].boundary,
    speedOfSound: c,
    seconds: secondsOf(venue, c),
    layer: venue.room
      ? undefined
      : (step) => {
          const damping = (axis: number, at: number): number => {
            const name = AXES[axis];
            const below = axis === 2 ? 0 : low[name] - at;
            return PEAK * (Math.max(0, below, at - high[name]) / pad) ** 2;
          };
          return layerOf(cells, equations, { speedOfSound: c, step, damping });
        },
    spot(point, along) {
      if (along) return spotIn(cells, equations, point, along);
      const key = `${point.x} ${point.y} ${point.z}`;
      if (!spots.has(key)) spots.set(key, spotIn(cells, equations, plainPoint(point)));
      return spots.get(key);
    },
    around(places) {
      const hosts = new Set<number>();
      for (const place of places) {
        const piece = pieceAt(cells, place);
        if (piece !== undefined && equations.home[piece] >= 0) hosts.add(equations.home[piece]);
      }
      return [...new Set([...hosts].flatMap((piece) => piecesAround(cells, equations, piece)))];
    },
  };
}

function cutAir(venue: WaveVenue, surfaces: readonly Surface[], options: CellOptions): CutAir {
  const cells = cellsOf(
    surfaces.map((s) => s.rectangle),
    options,
  );
  const starts = insides(venue).map((p) => pieceAt(cells, p));
  const equations = equationsOf(
    cells,
    starts.filter((p): p is number => p !== undefined),
  );
  return { cells, equations };
}

/** Points whose air is the venue's own: ears in the middle of each area, and where there is no audience, the sources. */
function insides({ audience, sources }: WaveVenue): Point[] {
  if (audience.length === 0) return sources.map((s) => s.point);
  return audience.map(({ corners, earHeight }) => {
    const middle = quadAt(corners as Quad, 0.5, 0.5);
    return { ...middle, z: middle.z + earHeight };
  });
}

function spotIn(cells: Cells, equations: Equations, point: Point, along?: Along): Spot | undefined {
  const piece = pieceAt(cells, point);
  return piece === undefined || equations.home[piece] < 0
    ? undefined
    : spotAt(cells, equations, point, along);
}

/** Side of a venue's cubes, metres: as many as suit its size, and 0.4 m where it is large, which carries 125 Hz within 1 %. */
export function cubeOf(venue: WaveVenue): number {
  return Math.min(LARGEST, Math.max(SMALLEST, Math.cbrt(volumeOf(venue) / CUBES)));
}

const LARGEST = 0.4;
const SMALLEST = 0.25;
const CUBES = 60_000;

/** Updates of a cube that a venue takes for each run, to tell beforehand whether it is too large. */
export function workOf(venue: WaveVenue): number {
  const size = cubeOf(venue);
  const c = speedOfSound(venue.air.temperature);
  return (volumeOf(venue) / size ** 3) * (secondsOf(venue, c) / ((COURANT * size) / c));
}

/** Step of time in cubes that sound crosses: whole cubes allow 0.866, the smallest cut ones 0.77. */
export const COURANT = 0.74;

function volumeOf(venue: WaveVenue): number {
  const { low, high } = extentOf(venue);
  return (high.x - low.x) * (high.y - low.y) * (high.z - low.z);
}

/** Long enough for sound to cross the venue twice, and for half of its decay time. */
function secondsOf(venue: WaveVenue, c: number): number {
  const { low, high } = extentOf(venue);
  const across = Math.hypot(high.x - low.x, high.y - low.y, high.z - low.z) / c;
  const decay = venue.room ? Math.max(...[31.5, 63, 125].map((f) => valueAt(decayTime(venue), f))) : 0;
  return Math.min(LONGEST, Math.max(SHORTEST + 2 * across, 0.5 * decay));
}

const decayTime = ({ room }: WaveVenue): BandValues =>
  room?.reverberationTime ?? { frequency: [100], value: [0] };
const SHORTEST = 0.2;
const LONGEST = 1.2;

interface Extent {
  readonly low: Point;
  readonly high: Point;
}

/** Metres of the layer around what is open, and how much it damps at its end, per second. */
const DEEP = 4;
const PEAK = 900;
/** What is flatter than this, metres, is no room. */
const LEAST = 0.5;
const AXES = ["x", "y", "z"] as const;

/** Whether a boundary is ground, or a floor. */
const isFlat = (corners: Venue["boundaries"][number]["corners"]): boolean =>
  Math.abs(rectangle(corners).normal.z) > 0.7;

/** The box around all that is drawn; in the open, around what stands on the ground. */
function extentOf(venue: WaveVenue): Extent {
  const points = [
    ...venue.boundaries.flatMap((b) => (venue.room || !isFlat(b.corners) ? b.corners : [])),
    ...venue.audience.flatMap(({ corners, earHeight }) =>
      corners.flatMap((p) => [p, { ...p, z: p.z + earHeight + 1 }]),
    ),
    ...venue.cavities.flatMap((cavity) => boxBehind(cavity, venue).flatMap((s) => cornersOf(s.rectangle))),
    ...(venue.room ? [] : venue.sources.map((s) => s.point)),
  ];
  const of = (pick: (...values: number[]) => number): Point => ({
    x: pick(...points.map((p) => p.x)),
    y: pick(...points.map((p) => p.y)),
    z: pick(...points.map((p) => p.z)),
  });
  return { low: of(Math.min), high: of(Math.max) };
}

/**
 * Sides of the box around a room that nobody drew, closed: they take what the room's decay time leaves to them.
 *
 * @source Sabine: 0.161 V/T
 */
function closed(surfaces: readonly Surface[], venue: WaveVenue, room: NonNullable<Venue["room"]>): Surface[] {
  const missing = sidesOf(venue).filter((side) => isMissing(side, surfaces));
  const area = areaOf(missing);
  if (area === 0) return [...surfaces];
  const frequency = [31.5, 63, 125, 250];
  const value = frequency.map((f) => {
    const drawn = surfaces.reduce((sum, s) => sum + areaOf([s]) * valueAt(s.absorption, f), 0);
    const left = (0.161 * room.volume) / valueAt(room.reverberationTime, f) - drawn;
    return Math.min(0.7, Math.max(0.02, left / area));
  });
  return [
    ...surfaces,
    ...missing.map(({ rectangle: r }) => ({
      name: "not drawn",
      rectangle: r,
      absorption: { frequency, value },
    })),
  ];
}

/** Share of the sides of the box around a room that nobody drew, 0…1. */
export function undrawn(venue: WaveVenue): number {
  const { low, high } = extentOf(venue);
  if (!AXES.every((axis) => high[axis] - low[axis] > LEAST)) return 1;
  const surfaces = surfacesOf(venue);
  const sides = sidesOf(venue);
  return areaOf(sides.filter((side) => isMissing(side, surfaces))) / areaOf(sides);
}

function isMissing(
  { rectangle: side, axis, at }: ReturnType<typeof sidesOf>[number],
  surfaces: readonly Surface[],
): boolean {
  const drawn = surfaces.filter(
    ({ rectangle: r }) =>
      Math.abs(r.normal[axis]) > 0.8 && cornersOf(r).every((p) => Math.abs(p[axis] - at) < NEAR),
  );
  return areaOf(drawn) < 0.5 * areaOf([{ rectangle: side }]);
}

const areaOf = (surfaces: readonly { readonly rectangle: Rectangle }[]): number =>
  surfaces.reduce((sum, { rectangle: r }) => sum + r.width * r.height, 0);

/** The ground under all that is in the open, also where nobody drew it: like the lowest that is drawn. */
function groundOf({ boundaries }: WaveVenue, from: Point, to: Point): Surface {
  const height = (b: Venue["boundaries"][number]): number => Math.min(...b.corners.map((p) => p.z));
  const [lowest] = boundaries.filter((b) => isFlat(b.corners)).sort((a, b) => height(a) - height(b));
  const corners = [from, { ...from, x: to.x }, { ...from, x: to.x, y: to.y }, { ...from, y: to.y }] as const;
  return {
    name: "ground",
    rectangle: rectangle(corners),
    absorption: lowest?.absorption ?? { frequency: [100], value: [0] },
  };
}

/** What ground that rises stands on: sides down to the lowest point, else it would be a table. */
function belowGround(surfaces: readonly Surface[], venue: WaveVenue): Surface[] {
  const { z } = extentOf(venue).low;
  return surfaces.flatMap(({ name, rectangle: r, absorption }) => {
    const corners = cornersOf(r);
    if (!isFlat(corners) || venue.sources.some(({ point }) => liesBelow(point, r))) return [];
    return corners.flatMap((a, i) => {
      const b = corners[(i + 1) % 4];
      if (Math.min(a.z, b.z) - z < 0.05) return [];
      return [{ name, absorption, rectangle: rectangle([a, b, { ...b, z }, { ...a, z }]) }];
    });
  });
}

/** Whether a point lies under a floor. */
function liesBelow(point: Point, floor: Rectangle): boolean {
  const { u, v } = localPoint(floor, point);
  return (
    u > 0 && u < floor.width && v > 0 && v < floor.height && heightAbove(floor, point) * floor.normal.z < 0
  );
}

/** Metres within which a drawn surface stands for a side of the box. */
const NEAR = 2;

function sidesOf(venue: WaveVenue) {
  const { low, high } = extentOf(venue);
  return AXES.flatMap((axis) => {
    const [u, v] = AXES.filter((a) => a !== axis);
    return [low[axis], high[axis]].map((at) => {
      const corner = (a: number, b: number): Point => ({ ...low, [axis]: at, [u]: a, [v]: b });
      const corners = [
        corner(low[u], low[v]),
        corner(high[u], low[v]),
        corner(high[u], high[v]),
        corner(low[u], high[v]),
      ] as const;
      return { axis, at, rectangle: rectangle(corners) };
    });
  });
}
