/** What may be otherwise than drawn: errors of the drawing and of the rig, each as the venue would then be. */
import type { Boundary, Room, Source, Venue } from "../../../venue/venue";
import { isSub, withSources } from "../kinds/faults";

/** One of the things that may be otherwise. */
export interface Suspect {
  /** In words, such as "the subs of house left are inverted". */
  readonly what: string;
  /** The venue as it is then. */
  readonly venue: Venue;
}

/**
 * What may be otherwise than drawn in a venue. In an exercise one of them is true.
 *
 * @param drawing  as it is drawn
 */
export function suspectsOf(drawing: Venue): Suspect[] {
  const sides = ["house left", "house right"] as const;
  const stacks = sides.flatMap((side): Suspect[] => {
    const isThere = stackOf(drawing, side);
    return [
      {
        what: `the subs of ${side} are inverted`,
        venue: withSources(
          drawing,
          isThere,
          (s): Partial<Source> => ({ polarity: s.polarity === 1 ? -1 : 1 }),
        ),
      },
      {
        what: `the subs of ${side} are silent`,
        venue: withSources(drawing, isThere, () => ({ gain: SILENT })),
      },
    ];
  });
  // A wall alone changes little: with half of the subs it is another venue.
  const moved = movedWall(drawing);
  const both = moved && {
    what: `the subs of house left are silent, and ${moved.what}`,
    venue: withSources(moved.venue, stackOf(drawing, "house left"), () => ({ gain: SILENT })),
  };
  return [...stacks, ...(both ? [both] : [])];
}

/** Gain of what makes no sound, dB. */
const SILENT = -100;

/** Half of the cabinets, by the side on which they stand; in a row along the centre line every second one. */
function stackOf(venue: Venue, side: "house left" | "house right"): (source: Source) => boolean {
  const subs = venue.sources.filter(isSub);
  const aside = subs.some((s) => s.point.y > CENTRE) && subs.some((s) => s.point.y < -CENTRE);
  const left = side === "house left";
  if (aside) return (s) => isSub(s) && (left ? s.point.y > CENTRE : s.point.y < -CENTRE);
  const half = new Set(subs.filter((_, i) => (i % 2 === 0) === left).map((s) => s.id));
  return (s) => half.has(s.id);
}
const CENTRE = 0.05;

/** Metres by which a wall stands farther out than drawn. */
const OUT = 3;

/** One side wall farther out, with all that meets it. */
function movedWall(drawing: Venue): Suspect | undefined {
  const wall = drawing.boundaries.find(({ name }) => /^(?:right wall|rock at house left)$/.test(name));
  if (!wall) return undefined;
  const at = wall.corners[0].y;
  const out = Math.sign(at) * OUT;
  const meets = (y: number) => Math.abs(y - at) < NEAR;
  const boundaries = drawing.boundaries.map(
    (boundary): Boundary => ({
      ...boundary,
      corners: boundary.corners.map((c) =>
        meets(c.y) ? { ...c, y: c.y + out } : c,
      ) as unknown as Boundary["corners"],
    }),
  );
  const width = Math.abs(at) * 2;
  const venue = {
    ...drawing,
    boundaries,
    ...(drawing.room ? { room: wider(drawing.room, 1 + OUT / width) } : {}),
  };
  const side = at > 0 ? "house left" : "house right";
  return { what: `the ${drawing.room ? "wall" : "rock"} of ${side} stands ${OUT} m farther out`, venue };
}
const NEAR = 0.05;

/** A room of another width: volume grows with it, the surface by floor and ceiling, about half of it. */
function wider(room: Room, ratio: number): Room {
  const surface = room.surface * (1 + (ratio - 1) / 2);
  const longer = ratio / (surface / room.surface);
  const { frequency, value } = room.reverberationTime;
  return {
    volume: room.volume * ratio,
    surface,
    reverberationTime: { frequency, value: value.map((t) => t * longer) },
  };
}
