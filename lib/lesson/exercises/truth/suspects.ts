/** What may be otherwise than drawn: errors of the drawing and of the rig, each as the venue would then be. */
import { type BandValues, valueAt } from "../../../acoustics/bands/curve";
import { absorptionAreaOfReverberation, sabine } from "../../../acoustics/room/reverberation";
import { rectangle } from "../../../field/paths/rectangle";
import type { Boundary, Room, Source, Venue } from "../../../venue/venue";
import { hash } from "../hash";
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
  const stack = (side: Side, fault: StackFault, other?: Suspect): Suspect => {
    const { what, change } = faults[fault];
    const subs = `the subs of ${side} are ${what}`;
    return {
      what: other ? `${subs}, and ${other.what}` : subs,
      venue: withSources(other?.venue ?? drawing, stackOf(drawing, side), change),
    };
  };
  const sides: readonly Side[] = ["house left", "house right"];
  const stacks = sides.flatMap((side) => [stack(side, "inverted"), stack(side, "late")]);
  // A wall, a curtain or the air alone changes little: with a stack at fault it is another venue.
  const others = [
    ["silent", movedWall(drawing)],
    ["inverted", withCurtains(drawing)],
    ["late", warmer(drawing)],
  ] as const;
  const also = others.flatMap(([fault, other]) => (other ? [stack("house right", fault, other)] : []));
  // Two of them: each has waves of its own, which are computed and kept.
  const leftOut = also.length > 2 ? hash(JSON.stringify(drawing.boundaries)) % also.length : -1;
  return [...stacks, ...also.filter((_, i) => i !== leftOut)];
}

type Side = "house left" | "house right";
type StackFault = keyof typeof faults;

/** What may be wrong with one of two stacks of subs. Half a period at 71 Hz is 7 ms. */
const faults = {
  inverted: {
    what: "inverted",
    change: (s: Source): Partial<Source> => ({ polarity: s.polarity === 1 ? -1 : 1 }),
  },
  late: { what: "7 ms late", change: (s: Source): Partial<Source> => ({ delay: s.delay + 0.007 }) },
  silent: { what: "silent", change: (): Partial<Source> => ({ gain: -100 }) },
};

/** Half of the cabinets, by the side on which they stand; in a row along the centre line every second one. */
function stackOf(venue: Venue, side: Side): (source: Source) => boolean {
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

/** Heavy curtains before the side walls of a room. */
function withCurtains(drawing: Venue): Suspect | undefined {
  const walls = drawing.boundaries.filter(({ name }) => /^(?:left|right) wall$/.test(name));
  if (!drawing.room || walls.length === 0) return undefined;
  const area = walls.reduce((sum, { name, corners }) => {
    const { width, height } = rectangle(corners, name);
    return sum + width * height;
  }, 0);
  const [{ absorption }] = walls;
  const behind = curtained(absorption);
  return {
    what: "heavy curtains hang before the side walls",
    venue: {
      ...drawing,
      boundaries: drawing.boundaries.map((b) => (walls.includes(b) ? { ...b, absorption: behind } : b)),
      room: softer(drawing.room, area, (f) => valueAt(behind, f) - valueAt(absorption, f)),
    },
  };
}

/**
 * Energy absorption of heavy velour in folds to half its width, by octave.
 *
 * @source handbooks' tables, from memory; the octave of 63 Hz is assumed
 */
const CURTAIN: BandValues = {
  frequency: [63, 125, 250, 500, 1000, 2000, 4000],
  value: [0.05, 0.14, 0.35, 0.55, 0.72, 0.7, 0.65],
};

/** A wall with a curtain: in each octave what takes more of the two. */
function curtained(wall: BandValues): BandValues {
  const { frequency } = CURTAIN;
  return { frequency, value: Array.from(frequency, (f, i) => Math.max(CURTAIN.value[i], valueAt(wall, f))) };
}

/** A room with more absorption on an area, by Sabine. */
function softer(room: Room, area: number, more: (frequency: number) => number): Room {
  const { frequency, value } = room.reverberationTime;
  return {
    ...room,
    reverberationTime: {
      frequency,
      value: Array.from(frequency, (f, i) => {
        const absorbing = absorptionAreaOfReverberation(room.volume, value[i]);
        return sabine(room.volume, absorbing + area * more(f));
      }),
    },
  };
}

/** Kelvins by which the air is warmer than drawn. */
const WARMER = 12;

const warmer = (drawing: Venue): Suspect => ({
  what: `the air is ${WARMER} °C warmer`,
  venue: { ...drawing, air: { ...drawing.air, temperature: drawing.air.temperature + WARMER } },
});

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
