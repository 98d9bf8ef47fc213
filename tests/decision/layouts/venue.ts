/** Small invented venues for the tests of layouts, symmetric about the centre line. */
import type { Point } from "../../../lib/acoustics/point";
import type { Cabinet, Source, Venue } from "../../../lib/venue/venue";

const corner = (x: number, y: number, z = 0): Point => ({ x, y, z });

/** Plays alike at all frequencies and all round. */
export const cabinet: Cabinet = {
  level: { frequency: [20, 16000], level: [100, 100] },
  pattern: { kind: "omni" },
  size: { width: 1, height: 0.6, depth: 0.8 },
};

export const source = (
  id: string,
  group: Source["group"],
  point: Point,
  more: Partial<Source> = {},
): Source => ({
  id,
  group,
  point,
  axis: { x: 1, y: 0, z: 0 },
  up: { x: 0, y: 0, z: 1 },
  ...cabinet,
  gain: 0,
  delay: 0,
  polarity: 1,
  filters: [],
  ...more,
});

const highPass = { kind: "linkwitz-riley", type: "highpass", order: 4, frequency: 120 } as const;

/** Mains, an audience of 12 m by 12 m, a stage behind x = 0; nothing reflects. */
export const openAir: Venue = {
  name: "Test green",
  story: "Open air for tests.",
  air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
  sources: [
    source("mains left", "mains", { x: 0, y: 5, z: 5 }, { filters: [highPass] }),
    source("mains right", "mains", { x: 0, y: -5, z: 5 }, { filters: [highPass] }),
    source("sub", "subs", { x: 1, y: 0, z: 0 }),
  ],
  audience: [
    {
      name: "green",
      corners: [corner(3, 6), corner(3, -6), corner(15, -6), corner(15, 6)],
      earHeight: 1.2,
      density: 1,
    },
  ],
  boundaries: [],
  cavities: [],
  frontOfHouse: { corners: [corner(9, 1), corner(9, -1), corner(11, -1), corner(11, 1)], earHeight: 1.6 },
  stage: {
    corners: [corner(-1, 4, 1), corner(-1, -4, 1), corner(-5, -4, 1), corner(-5, 4, 1)],
    earHeight: 1.6,
  },
  positions: [],
};

const absorption = { frequency: [63, 4000], value: [0.15, 0.4] };
const wall = (name: string, corners: [Point, Point, Point, Point]) => ({ name, corners, absorption });

/** The same on the floor of a room of 24 m by 16 m by 7 m with a rear wall, a ceiling and a diffuse field. */
export const indoors: Venue = {
  ...openAir,
  name: "Test room",
  boundaries: [
    wall("floor", [corner(-6, 8), corner(-6, -8), corner(18, -8), corner(18, 8)]),
    wall("ceiling", [corner(-6, 8, 7), corner(-6, -8, 7), corner(18, -8, 7), corner(18, 8, 7)]),
    wall("rear wall", [corner(18, 8), corner(18, -8), corner(18, -8, 7), corner(18, 8, 7)]),
  ],
  room: {
    volume: 24 * 16 * 7,
    surface: 2 * (24 * 16 + 24 * 7 + 16 * 7),
    reverberationTime: { frequency: [63, 4000], value: [1.6, 0.9] },
  },
};
