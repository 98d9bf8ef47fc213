/**
 * The survey of a model: what mains, subs and fills of a venue do at given positions.
 */
import { atmosphericAbsorption, speedOfSound } from "../acoustics/air";
import { valueAt } from "../acoustics/curve";
import { patternFactors } from "../acoustics/pattern";
import { distance, type Point, subtract } from "../acoustics/point";
import type { Response } from "../acoustics/response";
import type { Position, Survey } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { drive } from "./drive";
import { modelFrequencies } from "./frequencies";
import { type Image, images, trace } from "./images";
import { type PhasorSum, phasorSum } from "./phasor-sum";
import { type Rectangle, rectangle } from "./rectangle";

export interface FieldOptions {
  /** hertz, ascending; `modelFrequencies()` unless given */
  readonly frequency?: Float64Array;
  /** Highest number of reflections of a path. */
  readonly order?: number;
}

/**
 * Survey of a venue by its model.
 *
 * @param venue  the venue
 * @param positions  where to compute
 * @returns responses in pascals, rms in a third octave
 */
export function modelSurvey(
  venue: Venue,
  positions: readonly Position[],
  options: FieldOptions = {},
): Survey {
  const { frequency = modelFrequencies(), order = 1 } = options;
  const group = (name: Source["group"]): Response[] =>
    groupResponses(
      venue,
      venue.sources.filter((s) => s.group === name),
      positions.map((p) => p.point),
      frequency,
      order,
    );
  const fills = venue.sources.some((s) => s.group === "fills") ? { fills: group("fills") } : {};
  return {
    name: `model of ${venue.name}`,
    quantity: "pressure",
    frequency,
    positions,
    mains: group("mains"),
    subs: group("subs"),
    ...fills,
  };
}

function groupResponses(
  venue: Venue,
  sources: readonly Source[],
  points: readonly Point[],
  frequency: Float64Array,
  order: number,
): Response[] {
  const c = speedOfSound(venue.air.temperature);
  const waveNumber = frequency.map((f) => (2 * Math.PI * f) / c);
  const nepers = frequency.map((f) => (atmosphericAbsorption(f, venue.air) * Math.LN10) / 20);
  const walls = venue.boundaries.map((b) => rectangle(b.corners, b.name));
  const reflection = venue.boundaries.map((b) =>
    frequency.map((f) => Math.sqrt(1 - valueAt(b.absorption, f))),
  );
  const sum = phasorSum(waveNumber, 64);
  const prepared = sources.map((source) => ({
    source,
    drive: drive(source, frequency),
    images: images(source, walls, order),
  }));
  return points.map((point) => {
    sum.re.fill(0);
    sum.im.fill(0);
    let paths = 0;
    for (const p of prepared) {
      for (const image of p.images) {
        if (addPath(sum, paths, p.source, p.drive, image, point, walls, reflection, waveNumber, nepers))
          paths++;
        if (paths === sum.capacity) {
          sum.run(paths);
          paths = 0;
        }
      }
    }
    sum.run(paths);
    return { frequency, re: sum.re.slice(0, frequency.length), im: sum.im.slice(0, frequency.length) };
  });
}

function addPath(
  sum: PhasorSum,
  path: number,
  source: Source,
  amplitude: { re: Float64Array; im: Float64Array },
  image: Image,
  point: Point,
  walls: readonly Rectangle[],
  reflection: readonly Float64Array[],
  waveNumber: Float64Array,
  nepers: Float64Array,
): boolean {
  const hits = trace(image, point, walls, () => false);
  if (!hits) return false;
  const r = Math.max(distance(image.point, point), NEAREST);
  sum.length[path] = r;
  sum.scale[path] = 1 / r;
  sum.row[path] = path;
  const start = path * sum.stride;
  const factor = patternFactors(source.pattern, image, subtract(point, image.point), waveNumber);
  for (let f = 0; f < waveNumber.length; f++) {
    let g = factor[f] * Math.exp(-nepers[f] * r);
    for (const hit of hits) g *= reflection[hit.wall][f];
    sum.weightRe[start + f] = g * amplitude.re[f];
    sum.weightIm[start + f] = g * amplitude.im[f];
  }
  return true;
}

/** A point source has no size; nearer than this, metres, its level stays as there. */
const NEAREST = 0.1;
