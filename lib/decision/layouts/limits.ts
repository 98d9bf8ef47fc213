/** Within what a search for a layout must stay: places, cabinets, count, delays, levels, polarity. */

import type { Point } from "../../acoustics/point";
import { requireInteger, requireWithin } from "../../guard/arguments";
import { cabinetOf } from "../../venue/cabinet";
import { mirrored } from "../../venue/direction";
import { type Quad, quadAt } from "../../venue/quad";
import type { Cabinet, Filter, Source, Venue } from "../../venue/venue";

/** Where a cabinet may be: a point, along a line, or over an area; the middle of its front, metres. */
export type SubPositions = {
  /** Name of the zone, for the result. */
  readonly name: string;
  /** True where cabinets hang: a matter for people qualified in rigging. */
  readonly flown?: boolean;
  /** From one position to the next along a line or over an area, metres. Default 1. */
  readonly spacing?: number;
} & ({ readonly point: Point } | { readonly from: Point; readonly to: Point } | { readonly corners: Quad });

/** A cabinet to choose, and which way it is turned. */
export interface SubKind {
  /** Name, for the result. */
  readonly name: string;
  /** What the loudspeaker does by itself. */
  readonly cabinet: Cabinet;
  /** Unit vector along the axis. Default: to the back of the room. */
  readonly axis?: Point;
  /** Unit vector perpendicular to the axis, along the cabinet's height. Default: up. */
  readonly up?: Point;
}

export interface LayoutLimits {
  /** Where cabinets may stand or hang. */
  readonly positions: readonly SubPositions[];
  /** Cabinets to choose among. Default: that of the venue's first sub. */
  readonly kinds?: readonly SubKind[];
  /** Least and greatest number of cabinets. Default 1 to 8. */
  readonly count?: readonly [number, number];
  /** Delays of single cabinets, seconds. Default 0 to 0.012. */
  readonly delays?: readonly [number, number];
  /** Step between delays, seconds. Default 0.0005: a sixteenth of a period at 125 Hz. */
  readonly delayStep?: number;
  /** Gains of single cabinets, dB; the loudest stands at the upper end, since the offset sets the level of all. Default −6 to 0. */
  readonly gains?: readonly [number, number];
  /** Step between gains, dB. Default 3. */
  readonly gainStep?: number;
  /** Whether cabinets may be inverted in polarity. Default true. */
  readonly inverted?: boolean;
  /** True: each cabinet beside the centre line has its mirror image with the same settings. Default false. */
  readonly mirror?: boolean;
  /** Filters of all cabinets. Default: those of the venue's first sub. */
  readonly filters?: readonly Filter[];
  /** How far over the level that the venue file gives it the loudest cabinet may be turned up, dB. Default 6. */
  readonly headroom?: number;
}

/** One thing to put up or leave: a cabinet, or a cabinet with its mirror image. */
export interface Unit {
  readonly position: number;
  readonly kind: number;
  readonly zone: string;
  readonly flown: boolean;
  /** As they stand with gain 0, no delay, normal polarity. */
  readonly sources: readonly Source[];
}

/** The limits as lists to choose from. */
export interface LayoutSpace {
  readonly units: readonly Unit[];
  /** Units at a place, by index of the place: one per kind. */
  readonly unitsAt: readonly (readonly number[])[];
  /** Places as near as a step or two, for moving a cabinet a little. */
  readonly neighbours: readonly (readonly number[])[];
  /** Whether two places can't both be taken, since the cabinets would overlap: row by row. */
  readonly clash: Uint8Array;
  readonly delays: readonly number[];
  readonly gains: readonly number[];
  readonly polarities: readonly (1 | -1)[];
  readonly count: readonly [number, number];
  readonly headroom: number;
}

/**
 * Limits to start from: a strip of floor across the room where the venue's subs stand now, left and right alike.
 *
 * @param venue  a venue with subs
 * @throws RangeError when it has none on the floor
 */
export function usualLimits(venue: Venue): LayoutLimits {
  const context = venue.sources.filter((s) => s.group === "subs" && s.point.z < 2);
  if (context.length === 0)
    throw new RangeError(`"${venue.name}" has no subs on the floor: say where some may stand`);
  const { x, z } = context[0].point;
  const front = venue.audience[0].corners.slice(0, 2);
  const width = Math.max(...front.map((p) => Math.abs(p.y)), ...context.map((s) => Math.abs(s.point.y)));
  const spacing = Math.max(context[0].size.width, 2 * (width / 30));
  return {
    positions: [
      { name: "in front of the stage", from: { x, y: -width, z }, to: { x, y: width, z }, spacing },
    ],
    count: [2, 8],
    mirror: true,
  };
}

/**
 * Limits as lists to choose from.
 *
 * @param venue  for its subs, where the limits leave cabinet and filters open
 * @param limits  what the user allows
 * @throws RangeError when nothing can be chosen, or a limit makes no sense
 */
export function layoutSpace(venue: Venue, limits: LayoutLimits): LayoutSpace {
  const {
    count = [1, 8],
    delays = [0, 0.012],
    delayStep = 0.0005,
    gains = [-6, 0],
    gainStep = 3,
    inverted = true,
    mirror = false,
    headroom = 6,
  } = limits;
  requireInteger("count[0]", count[0], 1, 64);
  requireInteger("count[1]", count[1], count[0], 64);
  requireWithin("headroom", headroom, -60, 60);
  const own = venue.sources.find((s) => s.group === "subs");
  const kinds = limits.kinds ?? (own ? [{ name: "sub", cabinet: own, axis: own.axis, up: own.up }] : []);
  if (kinds.length === 0)
    throw new RangeError("kinds is empty and the venue has no subs: say which cabinets there are");
  const filters = limits.filters ?? own?.filters ?? [];
  const largest = {
    depth: Math.max(...kinds.map((k) => k.cabinet.size.depth)),
    width: Math.max(...kinds.map((k) => k.cabinet.size.width)),
    height: Math.max(...kinds.map((k) => k.cabinet.size.height)),
  };
  const sideways = kinds.some((k) => Math.abs(k.axis?.y ?? 0) > 0.1);
  const flat = Math.max(largest.depth, largest.width);
  const box = sideways ? { ...largest, depth: flat, width: flat } : largest;
  const positions = positionsOf(limits.positions).filter(
    ({ point }) => !mirror || point.y === 0 || 2 * Math.abs(point.y) >= box.width - NEARLY,
  );
  const all = mirror ? withoutMirrorTwins(positions) : positions;
  if (all.length === 0)
    throw new RangeError("positions is empty, expected at least one position where a sub may stand");
  const units: Unit[] = [];
  const unitsAt = all.map(({ point, zone, flown }, position) =>
    kinds.map((kind, k) => {
      units.push({
        position,
        kind: k,
        zone,
        flown,
        sources: unitSources(kind, point, filters, mirror, zone),
      });
      return units.length - 1;
    }),
  );
  const clash = new Uint8Array(all.length ** 2);
  const images = all.map(({ point }) => (mirror && point.y !== 0 ? [point, mirrored(point)] : [point]));
  images.forEach((here, i) => {
    images.forEach((there, j) => {
      clash[i * all.length + j] = Number(here.some((p) => there.some((q) => overlap(p, q, box))));
    });
  });
  return {
    units,
    unitsAt,
    neighbours: all.map(({ point }, i) => nearest(all, point, i)),
    clash,
    delays: range("delays", delays, delayStep),
    gains: range("gains", gains, gainStep),
    polarities: inverted ? [1, -1] : [1],
    count,
    headroom,
  };
}

interface PositionChoice {
  readonly point: Point;
  readonly zone: string;
  readonly flown: boolean;
}

/** A tenth of a millimetre: cabinets that touch do not overlap. */
const NEARLY = 1e-4;

function positionsOf(zones: readonly SubPositions[]): PositionChoice[] {
  const positions = zones.flatMap((zone, i): PositionChoice[] => {
    const { spacing = 1, name, flown = false } = zone;
    if (!(spacing > 0))
      throw new RangeError(`positions[${i}].spacing is ${spacing}, expected metres more than 0`);
    const mark = (point: Point): PositionChoice => ({ point: tidy(point), zone: name, flown });
    if ("point" in zone) return [mark(zone.point)];
    if ("from" in zone)
      return along(zone.from, zone.to, spacing).map((t) =>
        mark(quadAt([zone.from, zone.to, zone.to, zone.from], t, 0)),
      );
    const [a, b, , d] = zone.corners;
    return along(a, d, spacing).flatMap((deep) =>
      along(a, b, spacing).map((across) => mark(quadAt(zone.corners, across, deep))),
    );
  });
  positions.forEach(({ point, zone }) => {
    if (![point.x, point.y, point.z].every(Number.isFinite)) {
      throw new RangeError(`positions "${zone}" has a point that is not three numbers in metres`);
    }
  });
  if (positions.length > MOST_PLACES) {
    throw new RangeError(
      `positions makes ${positions.length} of them, expected at most ${MOST_PLACES}: choose a wider spacing`,
    );
  }
  return positions.filter((s, i) => !positions.slice(0, i).some((t) => same(s.point, t.point)));
}

const MOST_PLACES = 400;

/** Shares of the way from one point to another, about a spacing apart, both ends included. */
function along(from: Point, to: Point, spacing: number): number[] {
  const steps = Math.max(
    0,
    Math.floor(Math.hypot(to.x - from.x, to.y - from.y, to.z - from.z) / spacing + NEARLY),
  );
  return Array.from({ length: steps + 1 }, (_, i) => (steps === 0 ? 0.5 : i / steps));
}

/** Rounded to a tenth of a millimetre, so that the middle of a line from −y to y lies on the centre line. */
function tidy({ x, y, z }: Point): Point {
  const round = (v: number) => Math.round(v * 1e4) / 1e4 + 0;
  return { x: round(x), y: round(y), z: round(z) };
}

const same = (p: Point, q: Point): boolean => p.x === q.x && p.y === q.y && p.z === q.z;

/** Of a place and its mirror image one is enough when each brings the other along: that on house left. */
function withoutMirrorTwins(positions: readonly PositionChoice[]): PositionChoice[] {
  return positions.filter(
    (s) => s.point.y >= 0 || !positions.some((t) => t !== s && same(t.point, mirrored(s.point))),
  );
}

function unitSources(
  { cabinet, axis = { x: 1, y: 0, z: 0 }, up = { x: 0, y: 0, z: 1 } }: SubKind,
  point: Point,
  filters: readonly Filter[],
  mirror: boolean,
  zone: string,
): Source[] {
  const one: Source = {
    id: zone,
    group: "subs",
    point,
    axis,
    up,
    ...cabinetOf(cabinet),
    gain: 0,
    delay: 0,
    polarity: 1,
    filters,
  };
  if (!mirror || point.y === 0) return [one];
  return [one, { ...one, point: mirrored(point), axis: mirrored(axis), up: mirrored(up) }];
}

function overlap(p: Point, q: Point, box: { depth: number; width: number; height: number }): boolean {
  return (
    Math.abs(p.x - q.x) < box.depth - NEARLY &&
    Math.abs(p.y - q.y) < box.width - NEARLY &&
    Math.abs(p.z - q.z) < box.height - NEARLY
  );
}

function nearest(positions: readonly PositionChoice[], from: Point, own: number): number[] {
  return positions
    .map(({ point }, i) => ({ i, d: Math.hypot(point.x - from.x, point.y - from.y, point.z - from.z) }))
    .filter(({ i }) => i !== own)
    .sort((a, b) => a.d - b.d || a.i - b.i)
    .slice(0, 4)
    .map(({ i }) => i);
}

function range(name: string, [from, to]: readonly [number, number], step: number): number[] {
  if (!(Number.isFinite(from) && Number.isFinite(to) && from <= to && step > 0)) {
    throw new RangeError(
      `${name} is ${from} to ${to} in steps of ${step}, expected two numbers in order and a step more than 0`,
    );
  }
  const count = Math.floor((to - from) / step + 1e-9) + 1;
  if (count > 10_000) throw new RangeError(`${name} makes ${count} steps, expected at most 10000`);
  return Array.from({ length: count }, (_, i) => from + i * step);
}
