/** A small invented hall and a survey of it by free-field law, so that a figure's test depends on nothing else. */
import type { Point } from "../../lib/acoustics/point";
import type { Response } from "../../lib/acoustics/response";
import type { Position, Survey } from "../../lib/survey/survey";
import type { Source, Venue } from "../../lib/venue/venue";

const corner = (x: number, y: number, z = 0): Point => ({ x, y, z });

const source = (id: string, group: Source["group"], point: Point): Source => ({
  id,
  group,
  point,
  axis: { x: 1, y: 0, z: 0 },
  up: { x: 0, y: 0, z: 1 },
  level: { frequency: [20, 16000], level: [100, 100] },
  gain: 0,
  delay: 0,
  polarity: 1,
  filters: [],
  pattern: { kind: "omni" },
  size: { width: 1, height: 0.4, depth: 0.6 },
});

export const hall: Venue = {
  name: "Test hall",
  story: "A flat hall for tests.",
  air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
  sources: [
    source("mains left", "mains", { x: 0, y: 6, z: 7 }),
    source("mains right", "mains", { x: 0, y: -6, z: 7 }),
    source("sub left", "subs", { x: 0.5, y: 3, z: 0.3 }),
    source("sub right", "subs", { x: 0.5, y: -3, z: 0.3 }),
  ],
  audience: [
    {
      name: "stalls",
      corners: [corner(2, 8), corner(2, -8), corner(26, -8), corner(26, 8)],
      earHeight: 1.2,
      density: 1.5,
    },
  ],
  boundaries: [
    {
      name: "rear wall",
      corners: [corner(28, 9), corner(28, -9), corner(28, -9, 9), corner(28, 9, 9)],
      absorption: { frequency: [63, 4000], value: [0.1, 0.3] },
    },
  ],
  cavities: [],
  frontOfHouse: { corners: [corner(17, 2), corner(17, -2), corner(20, -2), corner(20, 2)], earHeight: 1.6 },
  stage: {
    corners: [corner(-8, 7, 1), corner(-8, -7, 1), corner(0, -7, 1), corner(0, 7, 1)],
    earHeight: 1.6,
  },
  positions: [],
};

/** Rows of seats at a spacing, metres. */
export function hallSeats(spacing = 2): Position[] {
  const seats: Position[] = [];
  for (let x = 2; x <= 26; x += spacing) {
    for (let y = -8; y <= 8; y += spacing) {
      seats.push({
        id: `row ${x} seat ${y}`,
        point: { x, y, z: 1.2 },
        area: "stalls",
        people: spacing ** 2 * 1.5,
      });
    }
  }
  return seats;
}

/** Each source by 1/r and its phase, nothing else. */
export function hallSurvey(positions: readonly Position[], frequency: Float64Array, venue = hall): Survey {
  const group = (name: Source["group"]): Response[] =>
    positions.map(({ point }) => {
      const re = new Float64Array(frequency.length);
      const im = new Float64Array(frequency.length);
      for (const s of venue.sources.filter((each) => each.group === name)) {
        const r = Math.hypot(point.x - s.point.x, point.y - s.point.y, point.z - s.point.z);
        frequency.forEach((f, i) => {
          re[i] += Math.cos((2 * Math.PI * f * r) / 343) / r;
          im[i] -= Math.sin((2 * Math.PI * f * r) / 343) / r;
        });
      }
      return { frequency, re, im };
    });
  return {
    name: "test hall",
    quantity: "pressure",
    frequency,
    positions,
    mains: group("mains"),
    subs: group("subs"),
  };
}

/** A response of 1 that is late: e^{-jωτ} on the frequencies of a transform of 4,096 samples at 16 kHz. */
export function delayedUnit(seconds: number): Response {
  const frequency = Float64Array.from({ length: 2048 }, (_, i) => ((i + 1) * 16000) / 4096);
  const phase = frequency.map((f) => -2 * Math.PI * f * seconds);
  return { frequency, re: phase.map(Math.cos), im: phase.map(Math.sin) };
}
