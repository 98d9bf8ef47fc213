/** What the same subs would do elsewhere: the venue's own cabinets in other places, each at its best level. */
import type { Point } from "../acoustics/point";
import { compareLayouts, type NamedLayouts, standingLayout } from "../decision/layouts/compare";
import type { LayoutComparison } from "../decision/layouts/compare-result";
import type { OffsetOptions } from "../decision/offset/result";
import { seats } from "../venue/seats";
import type { Source, Venue } from "../venue/venue";

/**
 * Compares the subs as they stand with the same cabinets in one block, in a line across, and hung beside the mains.
 *
 * @param venue    the venue
 * @param options  what is wanted, as for `levelOffset`
 * @returns the comparison; undefined where the venue has no subs
 */
export function compareAlternatives(venue: Venue, options: OffsetOptions = {}): LayoutComparison | undefined {
  const subs = standingLayout(venue).sources;
  if (subs.length === 0) return undefined;
  const hung = hangingPoint(venue);
  const layouts: NamedLayouts = {
    "as measured": { sources: subs },
    ...(subs.length > 1 && {
      "one block in the middle": { sources: moved(subs, across(subs, subs[0].size.width)) },
      "a line across the stage front": { sources: moved(subs, across(subs, lineSpacing(subs))) },
    }),
    ...(hung && { "hung beside the mains": { sources: moved(subs, columns(subs, hung)) } }),
  };
  return compareLayouts(venue, layouts, { ...options, positions: seats(venue, { count: SEATS }) });
}

/** Seats that suffice to compare layouts: about one in ten people. */
const SEATS = 120;

/** Cabinets side by side about the centre line, at the depth of the standing ones, on the floor. */
function across(subs: readonly Source[], spacing: number): Point[] {
  const x = subs.reduce((sum, s) => sum + s.point.x, 0) / subs.length;
  const z = Math.min(...subs.map((s) => s.point.z));
  return subs.map((_, i) => ({ x, y: (i - (subs.length - 1) / 2) * spacing, z }));
}

/** As wide as the standing subs reach, but no wider than the line carries at 80 Hz: half a wavelength, about 2.1 m. */
function lineSpacing(subs: readonly Source[]): number {
  const reach = 2 * Math.max(...subs.map((s) => Math.abs(s.point.y)));
  return Math.max(subs[0].size.width, Math.min(2.1, reach / Math.max(1, subs.length - 1)));
}

/** Where a hang of the mains ends above, on the house left side; undefined where the mains stand low. */
function hangingPoint(venue: Venue): Point | undefined {
  const mains = venue.sources.filter((s) => s.group === "mains" && s.point.y >= 0);
  if (mains.length === 0) return undefined;
  const top = mains.reduce((a, b) => (b.point.z > a.point.z ? b : a)).point;
  return top.z > 4 ? top : undefined;
}

/** Two columns, a metre outside the hangs, from their top down. */
function columns(subs: readonly Source[], top: Point): Point[] {
  const side = Math.ceil(subs.length / 2);
  return subs.map((s, i) => ({
    x: top.x,
    y: (i < side ? 1 : -1) * (Math.abs(top.y) + 1),
    z: Math.max(s.size.height / 2, top.z - (i % side) * s.size.height),
  }));
}

const moved = (subs: readonly Source[], to: readonly Point[]): Source[] =>
  subs.map((s, i) => ({
    ...s,
    point: to[i],
    delay: 0,
    polarity: 1 as const,
    axis: { x: 1, y: 0, z: 0 },
    up: { x: 0, y: 0, z: 1 },
  }));
