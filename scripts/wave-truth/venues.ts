/** Ten invented venues, each of another kind, by which waves on the usual cells are held against waves on finer ones. */
import type { Point } from "../../lib/acoustics/point";
import type { BandValues, Boundary, Cavity, Filter, Source, Venue } from "../../lib/venue/venue";

type Triple = readonly [number, number, number];

export const bands = (low: number, mid: number, high: number): BandValues => ({
  frequency: [31.5, 63, 125, 1000],
  value: [low, mid, high, high],
});
const CONCRETE = bands(0.02, 0.02, 0.02);
const PLASTER = bands(0.1, 0.12, 0.1);
const BOARDS = bands(0.25, 0.2, 0.15);
const PANELS = bands(0.3, 0.4, 0.3);
const PEOPLE = bands(0.1, 0.2, 0.4);
const DRAPES = bands(0.05, 0.1, 0.25);

const point = ([x, y, z]: Triple): Point => ({ x, y, z });
export const sheet = (name: string, corners: readonly Triple[], absorption: BandValues): Boundary => ({
  name,
  corners: corners.map(point) as unknown as Boundary["corners"],
  absorption,
});

/** The face of a box that is square to an axis, at a height along it. */
function face(from: Triple, to: Triple, axis: number, at: number): Triple[] {
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  return [
    [from[u], from[v]],
    [to[u], from[v]],
    [to[u], to[v]],
    [from[u], to[v]],
  ].map(([a, b]) => {
    const p = [0, 0, 0];
    p[axis] = at;
    p[u] = a;
    p[v] = b;
    return p as unknown as Triple;
  });
}

export interface Box {
  readonly from: Triple;
  readonly to: Triple;
}

/** Six walls: back of the stage, rear, house right, house left, floor, ceiling. */
export function shell({ from, to }: Box, absorption: readonly BandValues[]): Boundary[] {
  const names = ["stage wall", "rear wall", "right wall", "left wall", "floor", "ceiling"];
  return names.map((name, i) =>
    sheet(name, face(from, to, i >> 1, (i % 2 ? to : from)[i >> 1]), absorption[i]),
  );
}

/** Faces of a block that the room around it does not hide. */
export function block(name: string, { from, to }: Box, absorption: BandValues, room?: Box): Boundary[] {
  return [0, 1, 2].flatMap((axis) =>
    [from[axis], to[axis]].flatMap((at, end) =>
      at === room?.from[axis] || at === room?.to[axis] || (axis === 2 && at === 0)
        ? []
        : [sheet(`${name} ${"xyz"[axis]}${end}`, face(from, to, axis, at), absorption)],
    ),
  );
}

export const hollow = (front: number, halfWidth: number, height: number, depth: number): Cavity => ({
  name: "under the stage",
  opening: face([front, -halfWidth, 0], [front, halfWidth, height], 0, front).map(
    point,
  ) as unknown as Cavity["opening"],
  depth,
  absorption: BOARDS,
});

const crossover = (type: "lowpass" | "highpass"): Filter => ({
  kind: "linkwitz-riley",
  type,
  order: 4,
  frequency: 85,
});

export function cabinet(id: string, group: "mains" | "subs", at: Triple): Source {
  const isSub = group === "subs";
  return {
    id,
    group,
    point: point(at),
    axis: { x: 1, y: 0, z: 0 },
    up: { x: 0, y: 0, z: 1 },
    level: isSub
      ? { frequency: [25, 31.5, 40, 100, 200], level: [96, 104, 107, 107, 100] }
      : { frequency: [50, 80, 1000, 8000, 16000], level: [96, 104, 106, 106, 100] },
    gain: 0,
    delay: 0,
    polarity: 1,
    filters: [crossover(isSub ? "lowpass" : "highpass")],
    pattern: isSub ? { kind: "omni" } : { kind: "piston", width: 0.3, height: 0.5, rear: 14 },
    size: isSub ? { width: 1, height: 0.6, depth: 0.7 } : { width: 0.5, height: 0.8, depth: 0.5 },
  };
}

/** Mains and subs left and right. */
export const pairs = (main: Triple, sub: Triple): Source[] =>
  [1, -1].flatMap((side) => [
    cabinet(`main ${side}`, "mains", [main[0], side * main[1], main[2]]),
    cabinet(`sub ${side}`, "subs", [sub[0], side * sub[1], sub[2]]),
  ]);

/** Where people are: from, to and half the width; floors at both ends, ears above them. */
export const area = (
  name: string,
  [from, to, half]: Triple,
  [front, back, ears]: Triple,
): Venue["audience"][number] => ({
  name,
  corners: [
    point([from, half, front]),
    point([from, -half, front]),
    point([to, -half, back]),
    point([to, half, back]),
  ],
  earHeight: ears,
  density: 1,
});

export interface Sketch {
  readonly name: string;
  readonly room?: Box;
  /** Decay time, seconds, at 31.5, 63 and 125 Hz and above. */
  readonly decay?: readonly [number, number, number];
  readonly boundaries: readonly Boundary[];
  readonly cavities?: readonly Cavity[];
  readonly sources: readonly Source[];
  readonly audience: Venue["audience"];
  /** Where one may mix: from, to, half the width, floor. */
  readonly mix: readonly [number, number, number, number];
}

export function venue({
  name,
  room,
  decay,
  boundaries,
  cavities = [],
  sources,
  audience,
  mix,
}: Sketch): Venue {
  const [x, y, z] = room ? [0, 1, 2].map((i) => room.to[i] - room.from[i]) : [0, 0, 0];
  const [from, to, half, floor] = mix;
  return {
    name,
    story: "",
    air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
    sources,
    audience,
    boundaries,
    cavities,
    frontOfHouse: {
      corners: [
        point([from, half, floor]),
        point([from, -half, floor]),
        point([to, -half, floor]),
        point([to, half, floor]),
      ],
      earHeight: 1.6,
    },
    positions: [],
    ...(room &&
      decay && {
        room: { volume: x * y * z, surface: 2 * (x * y + y * z + z * x), reverberationTime: bands(...decay) },
      }),
  };
}

export function venues(): Venue[] {
  const club: Box = { from: [-3, -4.5, 0], to: [11, 4.5, 2.9] };
  const theatre: Box = { from: [-7, -8, 0], to: [19, 8, 9] };
  const ballroom: Box = { from: [-3, -8, 0], to: [23, 8, 5.2] };
  const hall: Box = { from: [-5, -7, 0], to: [18, 7, 6.8] };
  const pillars: Box = { from: [-3, -7, 0], to: [15, 7, 4.2] };
  const corner: Box = { from: [-2.5, -6, 0], to: [14.5, 6, 4.1] };
  const church: Box = { from: [-5, -5.5, 0], to: [19, 5.5, 12.4] };
  const cellar: Box = { from: [-1.5, -3.1, 0], to: [8.7, 3.1, 2.6] };
  const risers: Box = { from: [-4, -6, 0], to: [12, 6, 5.1] };
  return [
    venue({
      name: "low club",
      room: club,
      decay: [0.9, 0.8, 0.6],
      boundaries: [
        ...shell(club, [DRAPES, PLASTER, CONCRETE, CONCRETE, PEOPLE, PLASTER]),
        ...block("stage", { from: [-3, -3, 0], to: [0, 3, 0.6] }, BOARDS, club),
      ],
      sources: pairs([0.3, 3.4, 2.2], [0.5, 3.2, 0.3]),
      audience: [area("floor", [1.5, 10.4, 4], [0, 0, 1.6])],
      mix: [5, 9.5, 2.5, 0],
    }),
    venue({
      name: "theatre with balcony and hollow stage",
      room: theatre,
      decay: [1.3, 1.1, 0.9],
      boundaries: [
        ...shell(theatre, [DRAPES, PANELS, PANELS, PANELS, PEOPLE, PLASTER]),
        sheet("stage front", face([0, -7, 0], [0, 7, 1.1], 0, 0), BOARDS),
        sheet("stage floor", face([-7, -8, 1.1], [0, 8, 1.1], 2, 1.1), BOARDS),
        ...block("balcony", { from: [12, -8, 4], to: [19, 8, 4.4] }, PANELS, theatre),
      ],
      cavities: [hollow(0, 6, 1, 6)],
      sources: pairs([0.4, 5.6, 6], [0.6, 5.8, 0.3]),
      audience: [area("stalls", [2, 18, 7], [0, 0, 1.2]), area("balcony", [12.6, 18.4, 7], [4.4, 4.4, 1.2])],
      mix: [8, 17, 3, 0],
    }),
    venue({
      name: "ballroom",
      room: ballroom,
      decay: [1.4, 1.2, 1.1],
      boundaries: [
        ...shell(ballroom, [PLASTER, PLASTER, PANELS, PLASTER, BOARDS, PLASTER]),
        ...block("stage", { from: [-3, -5, 0], to: [0, 5, 0.8] }, BOARDS, ballroom),
      ],
      sources: pairs([0.3, 5.2, 3.4], [0.6, 4.6, 0.3]),
      audience: [area("floor", [2, 22, 7], [0, 0, 1.6])],
      mix: [11, 20, 3, 0],
    }),
    venue({
      name: "hall with a shallow rake",
      room: hall,
      decay: [1.4, 1.2, 1],
      boundaries: [
        ...shell(hall, [DRAPES, PLASTER, PANELS, PANELS, CONCRETE, PLASTER]),
        sheet(
          "rake",
          [
            [4, -7, 0],
            [18, -7, 1.3],
            [18, 7, 1.3],
            [4, 7, 0],
          ],
          PEOPLE,
        ),
        ...block("stage", { from: [-5, -7, 0], to: [0, 7, 0.9] }, BOARDS, hall),
      ],
      sources: pairs([0.4, 5, 4.6], [0.6, 4.5, 0.3]),
      audience: [area("rake", [4.2, 17.4, 6.2], [0.02, 1.24, 1.2])],
      mix: [8.5, 12.5, 3, 0.6],
    }),
    venue({
      name: "room with pillars",
      room: pillars,
      decay: [1.1, 1, 0.8],
      boundaries: [
        ...shell(pillars, [PLASTER, PLASTER, CONCRETE, CONCRETE, PEOPLE, PLASTER]),
        ...[2.5, 8.5].flatMap((x) =>
          [3.1, -3.7].flatMap((y) =>
            block(`pillar ${x} ${y}`, { from: [x, y, 0], to: [x + 0.6, y + 0.6, 4.2] }, CONCRETE, pillars),
          ),
        ),
      ],
      sources: pairs([0, 4.4, 3.1], [0.2, 4.2, 0.3]),
      audience: [area("floor", [1.5, 14.3, 2.9], [0, 0, 1.6])],
      mix: [6, 13, 2.4, 0],
    }),
    venue({
      name: "room with a corner built in and a screen",
      room: corner,
      decay: [1, 0.9, 0.7],
      boundaries: [
        ...shell(corner, [PLASTER, PLASTER, PLASTER, CONCRETE, PEOPLE, PLASTER]),
        ...block("corner", { from: [9, -6, 0], to: [14.5, -1.5, 4.1] }, CONCRETE, corner),
        sheet("screen", face([6.5, 1.6, 0], [6.5, 4.6, 2.4], 0, 6.5), BOARDS),
      ],
      sources: pairs([0, 4, 2.8], [0.2, 3.6, 0.3]),
      audience: [area("floor", [1.5, 8.4, 5], [0, 0, 1.6])],
      mix: [4.5, 8.2, 4, 0],
    }),
    venue({
      name: "church",
      room: church,
      decay: [2.6, 2.4, 2.2],
      boundaries: [
        ...shell(church, [CONCRETE, PLASTER, CONCRETE, CONCRETE, PEOPLE, PLASTER]),
        ...block("choir", { from: [-5, -5.5, 0], to: [0, 5.5, 0.45] }, CONCRETE, church),
      ],
      sources: pairs([0.4, 4.4, 3.2], [0.6, 4.2, 0.3]),
      audience: [area("nave", [2, 18, 4.4], [0, 0, 1.2])],
      mix: [9, 17, 2.5, 0],
    }),
    venue({
      name: "small cellar",
      room: cellar,
      decay: [1, 0.9, 0.7],
      boundaries: [
        ...shell(cellar, [CONCRETE, CONCRETE, PLASTER, CONCRETE, PEOPLE, PLASTER]),
        ...block("pier", { from: [4.1, 1.2, 0], to: [4.55, 1.65, 2.6] }, CONCRETE, cellar),
      ],
      sources: pairs([0, 2.2, 1.9], [0.1, 2.1, 0.3]),
      audience: [area("floor", [1.2, 8.2, 1.05], [0, 0, 1.6])],
      mix: [4.8, 8, 1, 0],
    }),
    venue({
      name: "room with risers",
      room: risers,
      decay: [1, 0.9, 0.8],
      boundaries: [
        ...shell(risers, [DRAPES, PANELS, PLASTER, PLASTER, BOARDS, PLASTER]),
        ...block("stage", { from: [-4, -4.2, 0], to: [0, 4.2, 0.75] }, BOARDS, risers),
        ...[0, 1, 2].flatMap((n) =>
          block(
            `riser ${n}`,
            { from: [6 + 2 * n, -4.5, 0], to: [n < 2 ? 8 + 2 * n : 12, 4.5, 0.35 * (n + 1)] },
            BOARDS,
            risers,
          ),
        ),
      ],
      sources: pairs([0.3, 4.6, 3.6], [0.5, 4.7, 0.3]),
      audience: [
        area("floor", [1.5, 5.8, 5], [0, 0, 1.2]),
        ...[0, 1, 2].map((n) =>
          area(`riser ${n}`, [6.2 + 2 * n, 7.8 + 2 * n, 4.3], [0.35 * (n + 1), 0.35 * (n + 1), 1.2]),
        ),
      ],
      mix: [3, 5.8, 3.5, 0],
    }),
    venue({
      name: "hollow stage in the open",
      boundaries: [
        sheet("ground", face([-15, -20, 0], [30, 20, 0], 2, 0), PLASTER),
        sheet("stage front", face([0, -5, 0], [0, 5, 1.2], 0, 0), BOARDS),
        sheet("stage floor", face([-6.5, -5, 1.2], [0, 5, 1.2], 2, 1.2), BOARDS),
      ],
      cavities: [hollow(0, 5, 1.15, 6.5)],
      sources: pairs([0.3, 5.6, 4], [0.7, 4, 0.3]),
      audience: [area("field", [2.5, 17, 7], [0, 0, 1.6])],
      mix: [9, 16, 3, 0],
    }),
  ];
}
