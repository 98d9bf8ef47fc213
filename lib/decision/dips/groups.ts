/**
 * Which dips of several places belong together: those that stay at one frequency from front to back, and those that move on
 * from each place to its neighbours.
 */
import { distance } from "../../acoustics/point";
import type { Position } from "../../survey/survey";
import type { Dip, DipGroup } from "./result";

/**
 * Groups of one part's dips.
 *
 * @param dips  of one part, any order
 * @param positions  of the survey
 * @returns groups; each dip is in exactly one
 */
export function groupDips(dips: readonly Dip[], positions: readonly Position[]): DipGroup[] {
  const groups: DipGroup[] = [];
  let left = [...dips];
  for (;;) {
    const put = steadiest(left, positions);
    if (!put) break;
    groups.push(groupOf(put, positions, "stays put"));
    left = left.filter((d) => !put.includes(d));
  }
  for (const track of tracks(left, positions)) {
    groups.push(groupOf(track, positions, drift(track) > STAYS ? "wanders" : "alone"));
  }
  return groups;
}

/** Octaves to either side within which a dip has stayed where it was. */
const STAYS = 0.13;
/** Octaves from a place to its neighbour within which a dip has moved on. */
const MOVES = 0.3;

/** Octaves from a track's lowest to its highest dip. */
function drift(track: readonly Dip[]): number {
  const octaves = track.map((d) => Math.log2(d.frequency_hz));
  return Math.max(...octaves) - Math.min(...octaves);
}

/** The frequency that most depth gathers about, if half of the places, from front to back, have it. */
function steadiest(dips: readonly Dip[], positions: readonly Position[]): Dip[] | undefined {
  let best: Dip[] = [];
  let most = 0;
  for (const centre of dips) {
    const near = new Map<number, Dip>();
    for (const d of dips) {
      const apart = Math.abs(Math.log2(d.frequency_hz / centre.frequency_hz));
      if (apart > STAYS) continue;
      const rival = near.get(d.row);
      if (!rival || apart < Math.abs(Math.log2(rival.frequency_hz / centre.frequency_hz))) near.set(d.row, d);
    }
    const gathered = [...near.values()];
    const weight = gathered.reduce((sum, d) => sum + d.depth_db, 0);
    if (weight > most) {
      best = gathered;
      most = weight;
    }
  }
  if (best.length < Math.max(3, positions.length / 2)) return undefined;
  const depthOf = (rows: readonly number[]) => {
    const xs = rows.map((r) => positions[r].point.x);
    return Math.max(...xs) - Math.min(...xs);
  };
  const whole = depthOf(positions.map((_, i) => i));
  return depthOf(best.map((d) => d.row)) >= whole / 2 ? best : undefined;
}

/** Chains from place to neighbouring place, nearest frequencies first, never two dips of one place. */
function tracks(dips: readonly Dip[], positions: readonly Position[]): Dip[][] {
  const near = positions.map(({ point }, i) =>
    positions
      .map((other, k) => ({ k, d: distance(point, other.point) }))
      .filter(({ k }) => k !== i)
      .sort((a, b) => a.d - b.d)
      .slice(0, 2)
      .map(({ k }) => k),
  );
  const links: { a: Dip; b: Dip; apart: number }[] = [];
  for (const a of dips) {
    for (const b of dips) {
      if (a.row >= b.row || !(near[a.row].includes(b.row) || near[b.row].includes(a.row))) continue;
      const apart = Math.abs(Math.log2(a.frequency_hz / b.frequency_hz));
      if (apart <= MOVES) links.push({ a, b, apart });
    }
  }
  links.sort((x, y) => x.apart - y.apart);
  const trackOf = new Map<Dip, Dip[]>(dips.map((d) => [d, [d]]));
  for (const { a, b } of links) {
    const one = trackOf.get(a) as Dip[];
    const two = trackOf.get(b) as Dip[];
    if (one === two || one.some((x) => two.some((y) => x.row === y.row))) continue;
    one.push(...two);
    for (const d of two) trackOf.set(d, one);
  }
  return [...new Set(trackOf.values())];
}

function groupOf(
  dips: readonly Dip[],
  positions: readonly Position[],
  behaviour: DipGroup["behaviour"],
): DipGroup {
  const ordered = [...dips].sort((a, b) => positions[a.row].point.x - positions[b.row].point.x);
  const frequencies = ordered.map((d) => d.frequency_hz);
  const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
  return {
    part: dips[0].part,
    dips: ordered,
    frequency_hz: 2 ** mean(frequencies.map((f) => Math.log2(f))),
    lowest_hz: Math.min(...frequencies),
    highest_hz: Math.max(...frequencies),
    depth_db: mean(ordered.map((d) => d.depth_db)),
    positions_fraction: ordered.length / positions.length,
    behaviour,
    reason: REASON[behaviour],
  };
}

const REASON: Readonly<Record<DipGroup["behaviour"], string>> = {
  "stays put":
    "It stays at one frequency from front to back. In the open, what is near the source does that; in a room that says little, since its modes do so as well.",
  wanders: "It moves in frequency from position to position, as what a path makes does.",
  alone: "Too few positions have it to tell whether it stays or wanders.",
};
