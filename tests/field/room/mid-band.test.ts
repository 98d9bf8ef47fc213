/**
 * The model's mid band in 24 boxes against image sources and rays of pyroomacoustics: made by
 * scripts/reference/field_mid_band.py, which says how. SHOW_DEVIATIONS=1 prints the table of tests/README.md.
 */
import { describe, expect, it } from "vitest";
import { atmosphericAbsorption } from "../../../lib/acoustics/distance/air";
import { referencePressure } from "../../../lib/acoustics/level/decibel";
import type { Point } from "../../../lib/acoustics/point";
import { power } from "../../../lib/acoustics/response";
import { eyring } from "../../../lib/acoustics/room/reverberation";
import { modelSurvey } from "../../../lib/field/model-survey";
import { DIFFUSE_SPREAD, type DiffuseModel } from "../../../lib/field/room/diffuse";
import type { Pattern } from "../../../lib/venue/venue";
import images from "../reference/field_mid_band.json";
import { at, box, source, venue } from "../venues";
import rays from "./mid-band-rays.json";

type Room = (typeof images.rooms)[number];

const PATTERNS: { readonly [name: string]: Pattern } = {
  omni: { kind: "omni" },
  cardioid: { kind: "first-order", a: 0.5 },
  piston: { kind: "piston", width: 0.4, height: 0.4, rear: 14 },
};
const SCATTERING = ["0", "0.1", "0.3", "0.6"] as const;
const AIR = { temperature: 20, relativeHumidity: 50, pressure: 101.325 };
/** Of each octave, so that interference averages out. */
const IN_OCTAVE = 24;

const point = ([x, y, z]: readonly number[]): Point => ({ x, y, z });

/** The model's levels at the seats, by octave, dB re the direct sound at 1 m. */
function modelled(room: Room, diffuse: DiffuseModel): number[][] {
  const { octaves } = images;
  const [length, width, height] = room.size;
  const volume = length * width * height;
  const surface = 2 * (length * width + width * height + length * height);
  const faces = box(room.size, {}).map((face) => {
    const value = room.absorption[face.name as keyof Room["absorption"]];
    return { ...face, absorption: { frequency: octaves, value } };
  });
  const area = { x: width * height, y: length * height, z: length * width };
  const areas = { west: area.x, east: area.x, south: area.y, north: area.y, floor: area.z, ceiling: area.z };
  const value = octaves.map((f, o) => {
    const mean = faces.reduce(
      (sum, { name, absorption }) =>
        sum + (areas[name as keyof typeof areas] / surface) * absorption.value[o],
      0,
    );
    return eyring(volume, surface, mean, { airAbsorption: atmosphericAbsorption(f, AIR) });
  });
  const axis = point(room.axis);
  const flat = Math.hypot(axis.x, axis.y);
  const v = venue({
    air: AIR,
    boundaries: faces,
    room: { volume, surface, reverberationTime: { frequency: octaves, value } },
    sources: [
      source(point(room.source), {
        group: "mains",
        axis,
        up: { x: (-axis.x * axis.z) / flat, y: (-axis.y * axis.z) / flat, z: flat },
        pattern: PATTERNS[room.pattern],
        level: { frequency: [1000], level: [20 * Math.log10(1 / referencePressure)] },
      }),
    ],
  });
  const frequency = Float64Array.from(
    octaves.flatMap((f) =>
      Array.from({ length: IN_OCTAVE }, (_, i) => f * 2 ** ((i + 0.5) / IN_OCTAVE - 0.5)),
    ),
  );
  const seats = room.seats.map(([x, y, z]) => at(x, y, z));
  return modelSurvey(v, seats, { frequency, diffuse }).mains.map((response) => {
    const p = power(response);
    return octaves.map((_, o) => {
      const inside = p.subarray(o * IN_OCTAVE, (o + 1) * IN_OCTAVE);
      return 10 * Math.log10(inside.reduce((sum, x) => sum + x, 0) / IN_OCTAVE);
    });
  });
}

interface Errors {
  /** One of each room and octave: mean over the seats, and change from the nearest seat to the farthest along a straight line, dB. */
  readonly level: number[];
  readonly slope: number[];
}

function errorsOf(
  rooms: readonly Room[],
  diffuse: DiffuseModel,
  reference: (room: Room) => number[][],
): Errors {
  const level: number[] = [];
  const slope: number[] = [];
  for (const room of rooms) {
    const model = modelled(room, diffuse);
    const expected = reference(room);
    const way = room.seats.map((seat) => Math.hypot(...seat.map((x, i) => x - room.source[i])));
    const middle = mean(way);
    const square = way.reduce((sum, r) => sum + (r - middle) ** 2, 0);
    images.octaves.forEach((_, o) => {
      const error = model.map((levels, seat) => levels[o] - expected[seat][o]);
      level.push(mean(error));
      const perMetre = way.reduce((sum, r, seat) => sum + (r - middle) * error[seat], 0) / square;
      slope.push(perMetre * (Math.max(...way) - Math.min(...way)));
    });
  }
  return { level, slope };
}

const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
const rms = (x: readonly number[]) => Math.sqrt(mean(x.map((v) => v * v)));
const deviation = (x: readonly number[]) => rms(x.map((v) => v - mean(x)));

const byRays = (scattering: (typeof SCATTERING)[number]) => (room: Room) =>
  rays.rooms[room.name as keyof typeof rays.rooms][scattering];

const KEPT_BACK = images.rooms.filter((room) => !room.learnt);
const sets = {
  learnt: images.rooms.filter((room) => room.learnt),
  "kept back": KEPT_BACK,
  all: images.rooms,
};

/** Errors of a law against images, against rays at each scattering, and against all rays. */
function against(rooms: readonly Room[], law: DiffuseModel) {
  const each = SCATTERING.map((s) => errorsOf(rooms, law, byRays(s)));
  const scattered = { level: each.flatMap((e) => e.level), slope: each.flatMap((e) => e.slope) };
  return { images: errorsOf(rooms, law, (room) => room.level), each, scattered };
}

function show(name: string, { level, slope }: Errors): void {
  const both = [level, slope].map((x) => `${mean(x).toFixed(2)} ± ${deviation(x).toFixed(2)}`.padStart(14));
  console.info(`${name.padEnd(44)} level ${both[0]}  slope ${both[1]}`);
}

describe("the model's mid band, 250 Hz to 4 kHz", () => {
  const balance = against(KEPT_BACK, "energy-balance");
  const barron = against(KEPT_BACK, "barron");

  if (process.env.SHOW_DEVIATIONS) {
    it.each(Object.entries(sets))("is shown for the rooms: %s", (name, rooms) => {
      for (const law of ["barron", "hopkins-stryker", "energy-balance"] as const) {
        const found = against(rooms, law);
        show(`${name}, ${law}, images`, found.images);
        found.each.forEach((errors, i) => {
          show(`${name}, ${law}, scattering ${SCATTERING[i]}`, errors);
        });
        show(`${name}, ${law}, scattering all`, found.scattered);
      }
    });
  }

  it("has one reference in images and in rays where nothing is scattered", () => {
    const apart = images.rooms.flatMap((room) => {
      const traced = byRays("0")(room);
      return images.octaves.map((_, o) =>
        mean(room.level.map((levels, seat) => levels[o] - traced[seat][o])),
      );
    });
    for (const x of apart) expect(Math.abs(x)).toBeLessThan(0.3);
  });

  it("lies within the stated spread in rooms kept back, whatever they scatter", () => {
    expect(rms(balance.scattered.level)).toBeLessThan(DIFFUSE_SPREAD.level * 1.05);
    expect(rms(balance.scattered.slope)).toBeLessThan(DIFFUSE_SPREAD.slope * 1.05);
    // Nor is the spread overstated: of a normal distribution 68 % lie within one standard deviation.
    for (const part of ["level", "slope"] as const) {
      const within = balance.scattered[part].filter((x) => Math.abs(x) < DIFFUSE_SPREAD[part]);
      expect(within.length / balance.scattered[part].length).toBeLessThan(0.85);
    }
  });

  it("has no bias there", () => {
    expect(Math.abs(mean(balance.scattered.level))).toBeLessThan(0.25);
    expect(Math.abs(mean(balance.scattered.slope))).toBeLessThan(0.25);
  });

  it("is nearer there than by Barron's law, the more so the less is scattered", () => {
    expect(rms(balance.images.level)).toBeLessThan(0.7 * rms(barron.images.level));
    expect(rms(balance.images.slope)).toBeLessThan(0.7 * rms(barron.images.slope));
    expect(rms(balance.scattered.level)).toBeLessThan(0.7 * rms(barron.scattered.level));
    expect(rms(balance.scattered.slope)).toBeLessThan(rms(barron.scattered.slope));
  });
});
