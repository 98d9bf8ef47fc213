/** Why it dips: the cause that a student names is mended, and the seats say what that was worth. */
import { logGrid } from "../../../acoustics/bands/bands";
import { power } from "../../../acoustics/response";
import { depthCurve, findDips, responseOf } from "../../../decision/dips/dips";
import type { Dip } from "../../../decision/dips/result";
import { modelSurvey } from "../../../field/model-survey";
import type { Position, Survey } from "../../../survey/survey";
import { acousticCentre } from "../../../venue/centre";
import { closed } from "../../../venue/closed";
import { seats } from "../../../venue/seats";
import type { Venue } from "../../../venue/venue";
import type { Misconception } from "../misconceptions";
import { readChoice, type SetUp } from "../task";
import { alignedDrawing } from "./crossover";
import { isSub, withSubs } from "./faults";

/** What may be the cause, each with what would mend it. */
const remedies = {
  "wall behind the subs": (venue: Venue) => swallowing(venue, /behind the subs|front wall/),
  cavity: (venue: Venue) => closed(venue),
  "side walls": (venue: Venue) => swallowing(venue, /^(left|right) wall/),
  "rear wall": (venue: Venue) => swallowing(venue, /^rear wall/),
  ceiling: (venue: Venue) => swallowing(venue, /^ceiling/),
  "mains against subs": (venue: Venue) => withSubs(venue, { inverted: true }),
} as const;

export type DipCauseName = keyof typeof remedies;

/** Causes near the subs: their dip is the same in every row. */
const staying: readonly string[] = ["wall behind the subs", "cavity"];

/**
 * @param options  `fault` that makes the dip: nothing but the building, or the subs inverted; `change` of the venue before
 */
export function dipTask(options: {
  readonly causes: readonly DipCauseName[];
  readonly fault?: "inverted subs";
  readonly change?: (venue: Venue, random: () => number) => Venue;
  /** Hertz up to which a dip counts. Default 140. */
  readonly upTo?: (drawing: Venue) => number;
}): SetUp {
  const { causes, fault, change, upTo = () => 140 } = options;
  return (venue, random) => {
    const changed = change ? change(venue, random) : venue;
    const drawing = fault ? withSubs(changed, { delay: alignedDrawing(changed).delay_ms / 1000 }) : changed;
    const truth = withSubs(drawing, { inverted: fault === "inverted subs" });
    const part = fault ? "sum" : "subs";
    const positions = listeners(truth);
    const survey = heard(truth, positions);
    const search = findDips(survey, { parts: [part], leastDepth: 3, range: { [part]: [28, upTo(drawing)] } });
    const dips = search.groups[0]?.dips ?? [];
    if (dips.length === 0) throw new RangeError(`no dip in ${venue.name}: this variant has no exercise`);
    const middle = search.groups[0].frequency_hz;
    return {
      question: `Most seats have a dip ${fault ? "in the sum of mains and subs" : "in the subs"} near ${Math.round(middle)} Hz. What makes it? The cause that you name will be taken away, as far as the model can: lengths are in the drawing. Answer one of the choices.`,
      drawing,
      truth,
      choices: causes,
      read: (answer) => readChoice(answer, causes),
      loss: "the depth of the dip that is left (mean)",
      why: "The cause is what fills the dip when it is taken away: decide.causes() asks that of everything in the drawing. A wall at distance d behind the subs' acoustic centre and a cavity of depth d answer at c/4d, in every row alike. What is in the sum but neither in subs nor mains is the crossover.",
      judge: (audience) => {
        const far = dips.filter((d) => stands(audience, positions[d.row]));
        const left = new Map(
          causes.map((cause) => [
            cause,
            depthLeft(remedies[cause](truth), positions, far.length ? far : dips),
          ]),
        );
        const cost = (cause: DipCauseName) => left.get(cause) as number;
        const best = [...causes].sort((a, b) => cost(a) - cost(b))[0];
        return {
          cost: (answer) => cost(answer as DipCauseName),
          best,
          misconception: (answer) => mistake(answer as string, best),
        };
      },
    };
  };
}

function mistake(answer: string, best: string): Misconception {
  if (best === "mains against subs") return "room blamed for the crossover";
  if (answer === "mains against subs") return "crossover blamed for the room";
  const [given, right] = [staying.includes(answer), staying.includes(best)];
  if (given === right) return "wrong length";
  return given ? "wanders taken for stays" : "stays taken for wanders";
}

/** Mean depth at the dips' own places and frequencies after something was mended, dB. */
function depthLeft(mended: Venue, positions: readonly Position[], dips: readonly Dip[]): number {
  const rows = [...new Set(dips.map((d) => d.row))];
  const survey = heard(
    mended,
    rows.map((row) => positions[row]),
  );
  const depth = depthCurve(survey.frequency);
  const curves = new Map(
    rows.map((row, i) => {
      const found = responseOf(survey, dips[0].part, i);
      return [row, found ? depth(power(found.response)) : undefined] as const;
    }),
  );
  const each = dips.map((d) => {
    const i = survey.frequency.findIndex((f) => f >= d.frequency_hz);
    return Math.max(0, curves.get(d.row)?.[i] ?? d.depth_db);
  });
  return each.reduce((s, x) => s + x, 0) / each.length;
}

function heard(venue: Venue, positions: readonly Position[]): Survey {
  return modelSurvey(venue, positions, { frequency: logGrid(20, 320, 97) });
}

/** A wall that takes all sound: without one, a room's side would be taken for one that nobody drew. */
function swallowing(venue: Venue, name: RegExp): Venue {
  const absorption = { frequency: [100], value: [1] };
  return {
    ...venue,
    boundaries: venue.boundaries.map((b) => (name.test(b.name) ? { ...b, absorption } : b)),
  };
}

const listeners = (venue: Venue): Position[] => seats(venue, { count: 30 });

/** Whether a seat is far from all microphones: the audience that is given has none of the measured ones. */
const stands = (audience: Survey, seat: Position): boolean =>
  audience.positions.some(
    ({ point }) => Math.hypot(point.x - seat.point.x, point.y - seat.point.y, point.z - seat.point.z) < 1.5,
  );

/** A stage whose space is closed, with a wall behind the subs or without one, by the variant: without it another thing makes the dip. */
export function wallOrNone(venue: Venue, random: () => number): Venue {
  if (random() < 0.5) return wallBehind(venue, random);
  return { ...venue, cavities: [], boundaries: venue.boundaries.filter((b) => !BEHIND.test(b.name)) };
}

/** Hertz up to which a dip may be that of such a wall alone, where there is one: above, a ceiling has its own. */
export const upToWall = ({ boundaries }: Venue): number =>
  boundaries.some((b) => BEHIND.test(b.name)) ? 60 : 140;

const BEHIND = /behind the subs/;

/** A wall behind the subs at a distance of its own from their acoustic centre, for each variant. */
function wallBehind(venue: Venue, random: () => number): Venue {
  const subs = venue.sources.filter(isSub);
  const x = Math.min(...subs.map((s) => acousticCentre(s).x)) - (1.55 + 0.4 * random());
  return {
    ...venue,
    cavities: [],
    boundaries: [
      ...venue.boundaries.filter((b) => !BEHIND.test(b.name)),
      {
        name: "wall behind the subs",
        corners: [
          { x, y: 9, z: 0 },
          { x, y: -9, z: 0 },
          { x, y: -9, z: 7 },
          { x, y: 9, z: 7 },
        ],
        absorption: { frequency: [100], value: [0.02] },
      },
    ],
  };
}
