/**
 * Random venues for causes and layouts, each as it is drawn and as it is: walls 0.1 m off, absorption 0.7 off on the scale of log-odds, and
 * in some of them something that nobody drew. Half are halls that absorb little to much, half stand in the open.
 */
import { normalFrom, uniform } from "../../lib/numeric/random";
import type { Boundary, Cavity, Venue } from "../../lib/venue/venue";
import { area, type Box, bands, block, hollow, pairs, sheet, shell, venue } from "../wave-truth/venues";

/** What a drawing is wrong by, one standard deviation: metres, log-odds, kelvin. */
const WRONG = { place: 0.1, absorption: 0.7, temperature: 3 };

export type Planted = "nothing" | "objects" | "inverted sub";

export interface Drawn {
  readonly drawn: Venue;
  readonly real: Venue;
  /** What is there that nobody drew. */
  readonly planted: Planted;
  /** Numbers of the real venue's boundaries that nobody drew. */
  readonly undrawn: readonly number[];
}

/** @param seed  any whole number; even ones are halls, odd ones stand in the open */
export function drawnVenue(seed: number): Drawn {
  const kind = uniform(seed * 7 + 1)();
  const planted: Planted = kind < 0.4 ? "nothing" : kind < 0.8 ? "objects" : "inverted sub";
  const build = seed % 2 === 0 ? hall : open;
  const drawn = build(seed, false);
  const real = build(seed, true);
  const extra = planted === "objects" ? real.extra : [];
  return {
    drawn: drawn.venue,
    real: {
      ...real.venue,
      boundaries: [...real.venue.boundaries, ...extra],
      sources: real.venue.sources.map((s) =>
        planted === "inverted sub" && s.id === "sub 1" ? { ...s, polarity: -1 as const } : s,
      ),
    },
    planted,
    undrawn: extra.map((_, i) => real.venue.boundaries.length + i),
  };
}

/** Values of the drawing, and how far the real ones are from them. */
function chance(seed: number, isReal: boolean) {
  const random = uniform(seed);
  const off = normalFrom(uniform(1000 * seed + 1));
  const wrong = (value: number, by: number) => {
    const change = by * off();
    return isReal ? value + change : value;
  };
  return {
    random,
    between: (a: number, b: number) => a + (b - a) * random(),
    wrong,
    place: (value: number) => wrong(value, WRONG.place),
    absorbing: (value: number) => {
      const real = 1 / (1 + Math.exp(-wrong(Math.log(value / (1 - value)), WRONG.absorption)));
      return bands(real, real, real);
    },
  };
}

interface Built {
  readonly venue: Venue;
  readonly extra: readonly Boundary[];
}

function hall(seed: number, isReal: boolean): Built {
  const by = chance(seed, isReal);
  const { random, between, place, absorbing } = by;
  const low = random() < 0.35;
  const [length, width, height] = low
    ? [between(10, 17), between(7, 12), between(2.7, 4.2)]
    : [between(16, 28), between(11, 19), between(4.5, 9)];
  const behind = between(1.2, 6);
  const half = width / 2;
  const room: Box = {
    from: [place(-behind), place(-half), 0],
    to: [place(length), place(half), place(height)],
  };
  // From live to damped: each hall has its own middle, each wall strays about it.
  const middle = Math.exp(between(Math.log(0.07), Math.log(0.5)));
  const absorption = [0, 1, 2, 3, 4, 5].map(() =>
    absorbing(Math.min(0.6, Math.max(0.04, middle * 2 ** between(-0.7, 0.7)))),
  );
  const boundaries: Boundary[] = shell(room, absorption);
  const stage = random();
  const depth = Math.min(behind - 0.2, between(3, 6));
  const stageHeight = between(0.6, 1.2);
  const stageHalf = between(3, half - 0.8);
  const cavities: Cavity[] = [];
  if (stage < 0.4 && depth > 1) {
    boundaries.push(
      ...block(
        "stage",
        { from: [-depth, -stageHalf, 0], to: [0, stageHalf, stageHeight] },
        absorbing(0.15),
        room,
      ),
    );
  } else if (stage < 0.7 && depth > 2) {
    boundaries.push(
      sheet(
        "stage front",
        [
          [0, -stageHalf, 0],
          [0, stageHalf, 0],
          [0, stageHalf, stageHeight],
          [0, -stageHalf, stageHeight],
        ],
        absorbing(0.15),
      ),
      sheet(
        "stage floor",
        [
          [-depth, -stageHalf, stageHeight],
          [0, -stageHalf, stageHeight],
          [0, stageHalf, stageHeight],
          [-depth, stageHalf, stageHeight],
        ],
        absorbing(0.15),
      ),
    );
    cavities.push(hollow(0, stageHalf - 0.1, stageHeight - 0.1, depth));
  }
  const mainY = between(2.4, half - 1);
  const subY = random() < 0.5 ? mainY : between(0.6, half - 1);
  const mainZ = height > 4.4 ? between(3, height - 0.9) : 2;
  const first = between(2, 3.5);
  const extra = things(uniform(77 * seed), {
    along: [first, length - 2],
    half: half - 0.15,
    highest: height - 0.4,
    behind: stage >= 0.7 && behind > 2 ? Math.min(behind - 0.8, 3) : 0,
  });
  const sabine = 0.161 * length * width * height;
  const surface = 2 * (length * width + width * height + height * length);
  const decay = Math.min(3, sabine / (surface * middle));
  return {
    venue: {
      ...venue({
        name: `hall ${seed}`,
        room,
        decay: [decay, decay, decay],
        boundaries,
        cavities,
        sources: pairs([place(0.4), place(mainY), mainZ], [place(0.6), place(subY), 0.3]),
        audience: [area("floor", [first, length - 1.2, half - 1.6], [0, 0, 1.4])],
        mix: [length * 0.5, length * 0.85, half * 0.5, 0],
      }),
      air: { temperature: by.wrong(20, WRONG.temperature), relativeHumidity: 50, pressure: 101.325 },
    },
    extra,
  };
}

function open(seed: number, isReal: boolean): Built {
  const by = chance(seed, isReal);
  const { random, between, place, absorbing } = by;
  const boundaries: Boundary[] = [
    sheet(
      "ground",
      [
        [-25, -30, 0],
        [40, -30, 0],
        [40, 30, 0],
        [-25, 30, 0],
      ],
      absorbing(0.06),
    ),
  ];
  const cavities: Cavity[] = [];
  const length = between(9, 15);
  const half = between(4, 7);
  if (random() < 0.6) {
    const x = place(-between(0.9, 3.2));
    boundaries.push(sheet("wall behind the subs", upright(x, -8, 8, between(3, 6)), absorbing(0.08)));
  }
  if (random() < 0.45) {
    const x = place(length + between(1, 3));
    boundaries.push(sheet("rear wall", upright(x, -9, 9, between(3, 6)), absorbing(0.08)));
  }
  for (const side of [1, -1] as const) {
    if (random() < 0.4) {
      const y = place(side * (half + between(0.5, 2)));
      const height = between(3, 6);
      boundaries.push(
        sheet(
          `side wall, house ${side > 0 ? "left" : "right"}`,
          [
            [-5, y, 0],
            [length + 4, y, 0],
            [length + 4, y, height],
            [-5, y, height],
          ],
          absorbing(0.08),
        ),
      );
    }
  }
  if (random() < 0.3) {
    const height = between(3.5, 6);
    boundaries.push(
      sheet(
        "roof",
        [
          [-4, -half, place(height)],
          [length, -half, height],
          [length, half, height],
          [-4, half, height],
        ].map(([x, y]) => [x, y, height] as const),
        absorbing(0.1),
      ),
    );
  }
  if (random() < 0.4 && boundaries.every(({ name }) => name !== "wall behind the subs")) {
    const height = between(0.8, 1.4);
    const depth = place(between(2, 6));
    boundaries.push(
      sheet("stage front", upright(0, -5, 5, height), absorbing(0.15)),
      sheet(
        "stage floor",
        [
          [-depth, -5, height],
          [0, -5, height],
          [0, 5, height],
          [-depth, 5, height],
        ],
        absorbing(0.15),
      ),
    );
    cavities.push(hollow(0, 4.9, height - 0.05, depth));
  }
  const mainY = between(2.5, half - 0.5);
  const subY = random() < 0.4 ? mainY : between(0.6, half - 0.5);
  return {
    venue: {
      ...venue({
        name: `open ${seed}`,
        boundaries,
        cavities,
        sources: pairs([place(0.4), place(mainY), between(2, 6)], [place(0.6), place(subY), 0.3]),
        audience: [area("field", [2.5, length, half], [0, 0, 1.6])],
        mix: [length * 0.5, length * 0.85, half * 0.5, 0],
      }),
      air: { temperature: by.wrong(20, WRONG.temperature), relativeHumidity: 50, pressure: 101.325 },
    },
    extra: things(uniform(77 * seed), {
      along: [1, length - 2],
      half: half + 1.5,
      highest: 4,
      behind: boundaries.some(({ name }) => /behind|stage/.test(name)) ? 0 : 3,
    }),
  };
}

const upright = (x: number, from: number, to: number, height: number) =>
  [
    [x, from, 0],
    [x, to, 0],
    [x, to, height],
    [x, from, height],
  ] as const;

interface Free {
  /** From and to along the audience, and to either side as far as things may stand, metres. */
  readonly along: readonly [number, number];
  readonly half: number;
  readonly highest: number;
  /** How far behind the subs something may stand; 0 where nothing can. */
  readonly behind: number;
}

/** What nobody draws: bars, containers, partitions, piles of chairs beside the audience, a backdrop behind the subs. */
function things(random: () => number, { along: [from, to], half, highest, behind }: Free): Boundary[] {
  const count = 1 + Math.floor(2 * random());
  return Array.from({ length: count }, (_, i) => {
    const side = random() < 0.5 ? 1 : -1;
    const x = from + random() * Math.max(0.5, to - from - 4);
    const deep = 0.5 + 0.7 * random();
    const wide = 3 + 5 * random();
    const height = Math.min(highest, 1.6 + 2.4 * random());
    const y = side > 0 ? [half - deep, half] : [-half, -half + deep];
    const back = -(0.8 + random() * (behind - 0.8));
    const box: Box =
      i === 0 && behind > 1
        ? { from: [back - 0.4, -half + 1, 0], to: [back, half - 1, height] }
        : { from: [x, y[0], 0], to: [Math.min(x + wide, to + 1), y[1], height] };
    return block(`thing ${i}`, box, bands(0.1, 0.1, 0.1));
  }).flat();
}
