/**
 * How far walls go as screens: what of each stands in the way of sound from one point to another.
 *
 * A wall goes on beyond an edge where another continues it in its plane. An edge that adjoins another boundary on both sides,
 * such as that of a partition on the floor, is closed, and the screen goes on there as its mirror image. One that adjoins a
 * boundary on one side alone is a corner with a side that it shuts in. Where the sound comes from there, or goes there, as in a
 * room whose floor ends at its walls, it finds no way round it: closed. Where the corner shuts in a pillar or a riser, sound
 * bends round it: free.
 *
 * Faces that meet at such a free corner, or lie in one plane, are one obstacle: sound that passes through two of them bends
 * round it once.
 */
import { add, dot, type Point, scale, subtract } from "../../acoustics/point";
import type { Extent } from "./finite-size";
import { heightAbove, localPoint, type Rectangle } from "./rectangle";
import { ALONG, adjoining, CLOSED, edgesOf, extentOf, gapOf, meets, NEAR, touches } from "./walls";

/** What a point has to do with the walls as screens. */
export interface Standpoint {
  /** Where the point is shut in by a corner: four edges a wall, known for those walls that were asked for. */
  readonly within: Int8Array;
  readonly point: Point;
}

export interface Screens {
  standpoint(point: Point): Standpoint;
  /** For a source, which walls are one obstacle: the same number. */
  obstacles(source: Standpoint): Int32Array;
  /** How far a wall goes for sound from one point to another. */
  extent(wall: number, from: Standpoint, to: Standpoint): Extent;
  /** Whether u, v of a wall lies beyond an edge that is closed from one side alone, where its neighbour stands instead. */
  isBeyondCorner(wall: number, u: number, v: number, from: Standpoint, to: Standpoint): boolean;
}

interface Screen {
  /** The wall with what continues it in its plane, and where it begins along the wall's own sides. */
  readonly whole: Rectangle;
  readonly startU: number;
  readonly startV: number;
  readonly edges: readonly Edge[];
  /** Walls in its plane that adjoin it. */
  readonly level: readonly number[];
  /** By which edges are closed, a bit each; made when they are asked for. */
  readonly extents: Extent[];
  /** The extent where it has no corners, and so depends on nothing. */
  readonly always: Extent | undefined;
}

interface Edge {
  readonly kind: "free" | "closed" | "corner";
  /** Walls that make the corner, and points just within it. */
  readonly others: readonly number[];
  readonly probes: readonly Point[];
}

const UNKNOWN = -1;

/**
 * Makes what tells how far walls go as screens.
 *
 * @param rectangles  of the walls; those that are no screens are neither asked for nor neighbours
 * @param isScreen  which of them may stand in the way
 */
export function screensOf(rectangles: readonly Rectangle[], isScreen: (wall: number) => boolean): Screens {
  const solid = rectangles.flatMap((_, i) => (isScreen(i) ? [i] : []));
  const screens = rectangles.map((_, i) => (isScreen(i) ? screenOf(rectangles, solid, i) : undefined));
  const shells = connected(screens, () => true);
  const free = { fromU: 0, toU: 0, fromV: 0, toV: 0 };

  const isWithin = (wall: number, edge: number, { point, within }: Standpoint): boolean => {
    const at = 4 * wall + edge;
    if (within[at] === UNKNOWN) {
      const { probes } = (screens[wall] as Screen).edges[edge];
      const shell = solid.filter((i) => shells[i] === shells[wall]);
      const inside = probes.filter(
        (probe) => shell.filter((i) => meets(rectangles[i], probe, point, 0)).length % 2 === 0,
      );
      within[at] = 2 * inside.length > probes.length ? 1 : 0;
    }
    return within[at] === 1;
  };
  const isShut = (wall: number, edge: number, from: Standpoint, to: Standpoint): boolean =>
    isWithin(wall, edge, from) || isWithin(wall, edge, to);

  return {
    standpoint: (point) => ({ point, within: new Int8Array(4 * rectangles.length).fill(UNKNOWN) }),
    obstacles: (source) => connected(screens, (wall, edge) => !isWithin(wall, edge, source)),
    extent: (wall, from, to) => {
      const screen = screens[wall];
      if (!screen) return free;
      if (screen.always) return screen.always;
      let closed = 0;
      for (let edge = 0; edge < 4; edge++) {
        const { kind } = screen.edges[edge];
        if (kind === "closed" || (kind === "corner" && isShut(wall, edge, from, to))) closed |= 1 << edge;
      }
      screen.extents[closed] ??= extentWith(screen, closed);
      return screen.extents[closed];
    },
    isBeyondCorner: (wall, u, v, from, to) => {
      const { whole, startU, startV, edges, always } = screens[wall] as Screen;
      if (always) return false;
      const inside = [u - startU, startU + whole.width - u, v - startV, startV + whole.height - v];
      return edges.some(
        ({ kind }, edge) => kind === "corner" && inside[edge] < 0 && isShut(wall, edge, from, to),
      );
    },
  };
}

function screenOf(rectangles: readonly Rectangle[], solid: readonly number[], index: number): Screen {
  const { whole, level } = continued(rectangles, solid, index);
  const neighbours = solid.filter((i) => i !== index && !level.includes(i)).map((i) => rectangles[i]);
  const numbers = (found: readonly Rectangle[]) => found.map((r) => rectangles.indexOf(r));
  const [above, below] = ([1, -1] as const).map((sign) => adjoining(whole, neighbours, sign));
  const edges = edgesOf(whole).map(({ from, to, outward }, i): Edge => {
    if (above[i].length > 0 && below[i].length > 0) return { kind: "closed", others: [], probes: [] };
    const others = numbers([...above[i], ...below[i]]);
    if (others.length === 0) return { kind: "free", others, probes: [] };
    const inward = Math.min(NEAR, gapOf(whole)) / 2;
    const into = add(scale(outward, -inward), scale(whole.normal, above[i].length > 0 ? inward : -inward));
    const probes = ALONG.slice(1, -1).map((t) => add(add(scale(from, 1 - t), scale(to, t)), into));
    return { kind: "corner", others, probes };
  });
  const { u, v } = localPoint(rectangles[index], whole.origin);
  const place = { whole, startU: u, startV: v };
  const closed = edges.reduce((bits, { kind }, edge) => bits | (kind === "closed" ? 1 << edge : 0), 0);
  const always = edges.some(({ kind }) => kind === "corner") ? undefined : extentWith(place, closed);
  return { ...place, edges, level, extents: [], always };
}

function extentWith(
  { whole, startU, startV }: Pick<Screen, "whole" | "startU" | "startV">,
  closed: number,
): Extent {
  const { fromU, toU, fromV, toV } = extentOf(
    whole,
    [1, 2, 4, 8].map((bit) => (closed & bit) > 0),
  );
  return { fromU: fromU + startU, toU: toU + startU, fromV: fromV + startV, toV: toV + startV };
}

/** A rectangle with those in its plane that continue it, one after the other. */
function continued(rectangles: readonly Rectangle[], solid: readonly number[], index: number) {
  const r = rectangles[index];
  const inPlane = solid.filter(
    (i) =>
      i !== index && edgesOf(rectangles[i]).every(({ from, to }) => isInPlane(r, from) && isInPlane(r, to)),
  );
  const level: number[] = [];
  let whole = r;
  for (let grown = true; grown; ) {
    grown = false;
    for (const [edge, { from, to, outward }] of edgesOf(whole).entries()) {
      const beyond = ALONG.map((t) => add(add(scale(from, 1 - t), scale(to, t)), scale(outward, NEAR)));
      const next = inPlane.filter((i) => beyond.some((point) => touches(rectangles[i], point)));
      const held = beyond.filter((point) => next.some((i) => touches(rectangles[i], point)));
      if (held.length < CLOSED) continue;
      const reach = Math.max(
        ...next.flatMap((i) => edgesOf(rectangles[i]).map((e) => dot(outward, subtract(e.from, from)))),
      );
      for (const i of next) if (!level.includes(i)) level.push(i);
      if (!(reach > NEAR)) continue;
      whole = grownBy(whole, edge, reach);
      grown = true;
    }
  }
  return { whole, level };
}

const isInPlane = (r: Rectangle, point: Point): boolean => Math.abs(heightAbove(r, point)) < NEAR;

function grownBy(r: Rectangle, edge: number, by: number): Rectangle {
  const origin =
    edge === 0 ? add(r.origin, scale(r.u, -by)) : edge === 2 ? add(r.origin, scale(r.v, -by)) : r.origin;
  return edge < 2 ? { ...r, origin, width: r.width + by } : { ...r, origin, height: r.height + by };
}

/** Numbers that are equal for walls that hang together, by their plane or by the corners that count. */
function connected(
  screens: readonly (Screen | undefined)[],
  counts: (wall: number, edge: number) => boolean,
): Int32Array {
  const group = Int32Array.from(screens, (_, i) => i);
  const join = (a: number, b: number) => {
    const [kept, gone] = [group[a], group[b]];
    for (let i = 0; i < group.length; i++) if (group[i] === gone) group[i] = kept;
  };
  screens.forEach((screen, wall) => {
    for (const other of screen?.level ?? []) join(wall, other);
    screen?.edges.forEach(({ kind, others }, edge) => {
      if (kind === "corner" && counts(wall, edge)) for (const other of others) join(wall, other);
    });
  });
  return group;
}
