/** A venue from a few numbers: two arrays or one, subs on the floor, one audience area, the wall behind, the ceiling. */
import { readVenue } from "../../lib/venue/file/read";
import type { Venue } from "../../lib/venue/venue";

export interface Question {
  readonly key: string;
  readonly says: string;
  readonly least: number;
  readonly most: number;
  readonly usual: number;
  /** A length: in feet where those are chosen. */
  readonly length: boolean;
}

const length = (key: string, says: string, least: number, most: number, usual: number): Question => ({
  key,
  says,
  least,
  most,
  usual,
  length: true,
});

/** What is asked; lengths in metres. */
export const questions = [
  length("array-height", "height of the arrays' upper edge above the floor", 1, 30, 6),
  length(
    "array-spacing",
    "distance between the left and the right array; 0 for one in the centre",
    0,
    80,
    10,
  ),
  { key: "elements", says: "elements of one array", least: 1, most: 32, usual: 6, length: false },
  length("sub-spacing", "distance between the left and the right subs; 0 for all in the centre", 0, 80, 8),
  length("front", "stage's front edge to the first row", 0.5, 50, 3),
  length("back", "stage's front edge to the last row", 2, 200, 25),
  length("width", "width of the audience", 2, 150, 14),
  length("wall", "wall behind the subs: how far from their backs; 0 where there is none", 0, 50, 0),
  length("ceiling", "height of the ceiling; 0 outdoors", 0, 60, 0),
] as const satisfies readonly Question[];

export type FormKey = (typeof questions)[number]["key"];
/** In metres. */
export type Form = { readonly [key in FormKey]: number };

export const usualForm = Object.fromEntries(questions.map(({ key, usual }) => [key, usual])) as Form;

const EARS = 1.2; // metres, seated
const CROSSOVER = 90; // hertz; common practice, no source

/** A position on the centre line, or beside it. */
export interface FormPosition {
  readonly id: string;
  /** Metres from the stage's front edge, and to house left. */
  readonly x: number;
  readonly y: number;
}

/**
 * The venue file.
 *
 * @throws RangeError when an answer is out of its range, or the last row lies before the first
 */
export function venueFileOf(name: string, form: Form, positions: readonly FormPosition[]): string {
  for (const { key, says, least, most } of questions)
    if (!(form[key] >= least && form[key] <= most))
      throw new RangeError(`${key} is ${form[key]}, expected ${least} to ${most}: ${says}`);
  const { front, back, width, wall, ceiling } = form;
  if (back <= front) throw new RangeError(`back is ${back}, expected more than front, ${front}`);
  const down = Math.round(
    (180 / Math.PI) * Math.atan2(Math.max(0, form["array-height"] - EARS), (front + 2 * back) / 3),
  );
  const half = Math.max(width, form["array-spacing"], form["sub-spacing"]) / 2 + 1;
  const depth = wall > 0 ? wall + SUB.depth - AHEAD : 6;
  const [long, wide] = [back + 3 + depth, 2 * half];
  const array = {
    name: "array",
    cabinet: "array element",
    elements: form.elements,
    aim: { horizontal: 0, down },
  };
  const splay = Array.from({ length: form.elements - 1 }, () =>
    Math.min(4, 12 / Math.max(1, form.elements - 1)),
  );
  const placed = (spacing: number, x: number, z: number) => ({ x, y: spacing / 2, z });
  const file = {
    name,
    story: "Drawn by a few numbers in a form; levels and absorption are guesses until a drawing is made.",
    units: "m",
    cabinets: {
      "array element": {
        size: { width: 0.7, height: 0.28, depth: 0.45 },
        level: { "50": 88, "70": 95, "100": 99, "1000": 100, "4000": 103, "16000": 100 },
        pattern: { kind: "piston", width: 0.12, height: 0.26, rear: 14 },
      },
      sub: {
        size: SUB,
        level: { "20": 92, "25": 100, "31.5": 108, "40": 111, "100": 111, "200": 104 },
        pattern: { kind: "omni" },
      },
    },
    mains: [
      {
        ...array,
        top: placed(form["array-spacing"], 0, form["array-height"]),
        ...(splay.length && { splay }),
        mirror: form["array-spacing"] > 0,
        filters: [{ kind: "linkwitz-riley", type: "highpass", order: 4, frequency: CROSSOVER }],
      },
    ],
    subs: [
      {
        name: "sub",
        cabinet: "sub",
        ...(form["sub-spacing"] > 0
          ? { layout: "pair", position: placed(form["sub-spacing"], AHEAD, SUB.height / 2) }
          : { layout: "centre-block", position: { x: AHEAD, y: 0, z: SUB.height / 2 }, across: 2, high: 1 }),
        filters: [{ kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: CROSSOVER }],
      },
    ],
    audience: [
      {
        name: "audience",
        front: { x: front, width },
        back: { x: back, width },
        earHeight: EARS,
        density: 1.5,
      },
    ],
    frontOfHouse: {
      front: { x: front + 0.6 * (back - front), width: Math.min(6, width) },
      back: { x: front + 0.8 * (back - front), width: Math.min(6, width) },
      earHeight: 1.7,
    },
    ...(ceiling > 0 && {
      box: {
        from: { x: -depth, y: -half, z: 0 },
        to: { x: back + 3, y: half, z: ceiling },
        absorption: { floor: 0.1, ceiling: 0.2, front: 0.2, back: 0.3, left: 0.15, right: 0.15 },
      },
      room: {
        volume: Math.round(long * wide * ceiling),
        surfaces: [{ area: Math.round(2 * long * wide + 2 * ceiling * (long + wide)), absorption: 0.22 }],
        formula: "eyring",
      },
    }),
    ...(ceiling === 0 &&
      wall > 0 && {
        boundaries: [
          {
            name: "wall behind",
            corners: [
              { x: -depth, y: half, z: 0 },
              { x: -depth, y: -half, z: 0 },
              { x: -depth, y: -half, z: 4 },
              { x: -depth, y: half, z: 4 },
            ],
            absorption: 0.1,
          },
        ],
      }),
    positions: positions.map(({ id, x, y }) => ({ id, point: { x, y, z: EARS } })),
  };
  return `${JSON.stringify(file, null, 2)}\n`;
}

const SUB = { width: 1, height: 0.6, depth: 0.8 };
/** Of the subs' fronts before the stage's edge, metres. */
const AHEAD = 0.3;

export const venueOf = (name: string, form: Form, positions: readonly FormPosition[]): Venue =>
  readVenue(venueFileOf(name, form, positions), "venue.json");

/**
 * Where microphones stood by their delays alone: the earliest in the first row, the others on the centre line behind it.
 *
 * @param delays  seconds, by position
 */
export function byDelays(
  form: Form,
  delays: readonly { readonly id: string; readonly seconds: number }[],
): FormPosition[] {
  const sorted = [...delays].sort((a, b) => a.seconds - b.seconds);
  const across = form["array-spacing"] / 2;
  const high = form["array-height"] - EARS;
  const flight = (x: number) => Math.hypot(x, across, high);
  return sorted.map(({ id, seconds }) => {
    const path = flight(form.front) + 343 * (seconds - sorted[0].seconds);
    const x = Math.sqrt(Math.max(form.front ** 2, path ** 2 - across ** 2 - high ** 2));
    return { id, x: Math.round(10 * x) / 10, y: 0 };
  });
}
