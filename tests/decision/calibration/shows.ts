/**
 * Simulated shows with hidden true values, by seed: a hall that is not quite as its file says, heard at four places.
 *
 * Hidden are levels, slope, delay, places, absorption, cavity, temperature and decay, drawn as far off as a venue file is expected to be;
 * and what the calibration has no value for: each loudspeaker's own ripple from third to third, microphones that stand a little off, noise.
 */

import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { uncertainValues, venueWith } from "../../../lib/decision/calibration/values";
import { modelSurvey } from "../../../lib/field/model-survey";
import { normal, uniform } from "../../../lib/numeric/random";
import type { Position, Survey } from "../../../lib/survey/survey";
import { seats } from "../../../lib/venue/seats";
import type { Boundary, Source, Venue } from "../../../lib/venue/venue";
import { source, venue } from "../../field/venues";

export interface Show {
  /** As the file has it. */
  readonly file: Venue;
  readonly truth: Venue;
  readonly seats: readonly Position[];
  /** All seats as they truly are. */
  readonly audience: Survey;
  /** Four places as measured. */
  readonly measured: Survey;
  readonly field: { readonly order: number; readonly frequency: Float64Array };
}

/** Low end and the mains' mid band; the same grid serves measurement, truth and fit. */
const FREQUENCY = Float64Array.of(...logGrid(27, 142, 25), ...logGrid(440, 2260, 9));

/** dB by which each third octave of each loudspeaker is off by itself, and metres of a microphone. */
const RIPPLE = 0.4;
const ASTRAY = 0.1;

export function show(seed: number): Show {
  const random = uniform(seed);
  const draw = normal(seed + 7);
  const between = (a: number, b: number) => a + (b - a) * random();
  const file = hall(between, random);
  const values = uncertainValues(file);
  const hidden = venueWith(file, values, values.map(draw));
  const truth = {
    ...hidden,
    sources: hidden.sources.map((s) => ({ ...s, level: rippled(s.level, s.group, seed) })),
  };
  const field = { order: 1, frequency: FREQUENCY };
  const places = seats(file, { count: 24 });
  const audience = modelSurvey(truth, places, field);
  const positions = microphones(file, between);
  const heard = modelSurvey(
    truth,
    positions.map((p) => ({
      ...p,
      point: {
        x: p.point.x + ASTRAY * draw(),
        y: p.point.y + ASTRAY * draw(),
        z: p.point.z + (ASTRAY / 2) * draw(),
      },
    })),
    field,
  );
  const noisy = (r: Response) => measured(r, draw);
  const survey: Survey = {
    ...heard,
    name: `show ${seed}`,
    positions,
    mains: heard.mains.map(noisy),
    subs: heard.subs.map(noisy),
  };
  return { file, truth, seats: places, audience, measured: survey, field };
}

function hall(between: (a: number, b: number) => number, random: () => number): Venue {
  const length = between(15, 32);
  const width = between(12, 24);
  const height = between(6, 11);
  const behind = between(1.2, 5);
  const first = between(2.5, 4);
  const subX = 0.5;
  const pair = random() < 0.5;
  const subY = pair ? between(2.5, 5) : 0.6;
  const sub = (y: number): Source =>
    source(
      { x: subX, y, z: 0.4 },
      {
        id: `sub ${y}`,
        group: "subs",
        level: { frequency: [25, 35, 45, 100, 200], level: [95, 103, 107, 107, 100] },
        filters: [{ kind: "linkwitz-riley", type: "lowpass", order: 4, frequency: 90 }],
      },
    );
  const hang = (y: number): Source =>
    source(
      { x: 0.5, y, z: between(4, height - 1) },
      {
        id: `mains ${y}`,
        group: "mains",
        level: { frequency: [50, 80, 120, 1000], level: [92, 99, 102, 102] },
        pattern: { kind: "first-order", a: 0.6 },
        filters: [{ kind: "linkwitz-riley", type: "highpass", order: 4, frequency: 90 }],
      },
    );
  const face = (name: string, alpha: number, corners: readonly [number, number, number][]): Boundary => ({
    name,
    corners: corners.map(([x, y, z]) => ({ x, y, z })) as unknown as Boundary["corners"],
    absorption: { frequency: [63, 1000], value: [alpha, Math.min(0.9, alpha + 0.3)] },
  });
  const x0 = -behind;
  const [a, b] = [width / 2, -width / 2];
  const boundaries = [
    face("front wall", between(0.1, 0.5), [
      [x0, a, 0],
      [x0, b, 0],
      [x0, b, height],
      [x0, a, height],
    ]),
    face("rear wall", between(0.2, 0.7), [
      [length, a, 0],
      [length, b, 0],
      [length, b, height],
      [length, a, height],
    ]),
    face("side walls", between(0.2, 0.7), [
      [x0, a, 0],
      [length, a, 0],
      [length, a, height],
      [x0, a, height],
    ]),
    face("side walls", between(0.2, 0.7), [
      [x0, b, 0],
      [length, b, 0],
      [length, b, height],
      [x0, b, height],
    ]),
    face("floor", between(0.1, 0.3), [
      [x0, a, 0],
      [x0, b, 0],
      [length, b, 0],
      [length, a, 0],
    ]),
    face("ceiling", between(0.2, 0.7), [
      [x0, a, height],
      [x0, b, height],
      [length, b, height],
      [length, a, height],
    ]),
  ];
  const volume = (length + behind) * width * height;
  const surface = 2 * ((length + behind) * (width + height) + width * height);
  return venue({
    name: "simulated hall",
    sources: [hang(width / 4), hang(-width / 4), sub(subY), sub(-subY)],
    audience: [
      {
        name: "stalls",
        corners: [
          { x: first, y: a - 2, z: 0 },
          { x: first, y: b + 2, z: 0 },
          { x: length - 2, y: b + 2, z: 0.5 },
          { x: length - 2, y: a - 2, z: 0.5 },
        ],
        earHeight: 1.2,
        density: 1.5,
      },
    ],
    boundaries,
    cavities:
      random() < 0.3
        ? [
            {
              name: "under the stage",
              opening: [
                { x: 0, y: 4, z: 0 },
                { x: 0, y: -4, z: 0 },
                { x: 0, y: -4, z: 1.1 },
                { x: 0, y: 4, z: 1.1 },
              ],
              depth: between(1.2, 2.5),
              absorption: { frequency: [100], value: [0.3] },
            },
          ]
        : [],
    room: { volume, surface, reverberationTime: { frequency: [63, 1000], value: [between(0.8, 1.6), 1] } },
  });
}

/** Four microphones at people's heads, from front to back, now left, now right. */
function microphones(file: Venue, between: (a: number, b: number) => number): Position[] {
  const [frontLeft, , backRight] = file.audience[0].corners;
  return [0.12, 0.38, 0.64, 0.9].map((t, i) => ({
    id: `microphone ${i + 1}`,
    point: {
      x: frontLeft.x + t * (backRight.x - frontLeft.x),
      y: (i % 2 === 0 ? 1 : -1) * between(0.1, 0.7) * frontLeft.y,
      z: 1.2 + 0.5 * t,
    },
    area: "stalls",
    people: 1,
  }));
}

function rippled(level: Source["level"], group: string, seed: number): Source["level"] {
  const draw = normal(seed * 2 + (group === "subs" ? 100003 : 200003));
  const frequency = logGrid(25, 3150, 22);
  const at = (f: number): number => {
    const last = level.frequency.length - 1;
    if (f <= level.frequency[0]) return level.level[0];
    if (f >= level.frequency[last]) return level.level[last];
    const i = level.frequency.findIndex((x) => x > f) - 1;
    const t = Math.log(f / level.frequency[i]) / Math.log(level.frequency[i + 1] / level.frequency[i]);
    return level.level[i] + t * (level.level[i + 1] - level.level[i]);
  };
  return { frequency: [...frequency], level: [...frequency].map((f) => at(f) + RIPPLE * draw()) };
}

/** Diffuse sound with a phase of its own at each frequency, noise 25 dB below the loudest, sixteen averages. */
function measured(r: Response, draw: () => number): Response {
  const n = r.frequency.length;
  const averages = 16;
  const power = r.re.map((x, i) => x * x + r.im[i] ** 2);
  const hiss = Math.max(...power) * 10 ** -2.5;
  const error = Math.sqrt(hiss / (2 * averages));
  const coherence = power.map((p) => p / (p + hiss));
  return {
    frequency: r.frequency,
    re: r.re.map((x) => x + error * draw()),
    im: r.im.map((x) => x + error * draw()),
    ...(r.diffuse && { diffuse: r.diffuse }),
    coherence,
    averages: new Float64Array(n).fill(averages),
  };
}
