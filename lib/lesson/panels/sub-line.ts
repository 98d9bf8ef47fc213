/**
 * Who gets the bass: a line of subs before the audience, its field at every seat computed anew while it is spread and bent.
 */
import { bandPower, logGrid } from "../../acoustics/bands/bands";
import { toDecibel } from "../../acoustics/level/decibel";
import { summarise } from "../../decision/balance/summary";
import { drive } from "../../field/drive";
import { pressureAt } from "../../field/pressure";
import type { Position } from "../../survey/survey";
import { inDecibels } from "../../text/decibels";
import { cabinetOf } from "../../venue/cabinet";
import { acousticCentre } from "../../venue/centre";
import * as layouts from "../../venue/layouts";
import type { Layout } from "../../venue/layouts/layout";
import { seats } from "../../venue/seats";
import type { Cabinet, Source, Venue } from "../../venue/venue";
import { type DrawnVenue, drawnPart } from "../figures/parts/drawing";
import { seatsFigure } from "../figures/seats";
import type { PanelKind, SliderValues, View } from "./panel";

export interface SubLineData {
  /** Where the audience is; its own subs are left out. */
  readonly venue: Venue;
  /** One that every cabinet of the line is. */
  readonly cabinet: Cabinet;
  /** How far the line stands before the stage's front edge, metres. Default 2. */
  readonly ahead?: number;
  /** About how many seats. Default 300. */
  readonly count?: number;
}

export interface SubLineContent {
  readonly venue: DrawnVenue;
  readonly positions: readonly Position[];
  readonly cabinet: Cabinet;
  readonly ahead: number;
}

const band: readonly [number, number] = [31.5, 80];
const frequencies = 60;
const widest = { count: 20, spacing: 2.4, angle: 0 };

export const subLine: PanelKind<SubLineData, SubLineContent> = {
  title: "Who gets the bass?",
  sliders: () => [
    { name: "count", label: "Cabinets", unit: "", min: 2, max: widest.count, step: 1, value: 12 },
    { name: "spacing", label: "Spacing", unit: "m", min: 0.6, max: widest.spacing, step: 0.1, value: 1.8 },
    { name: "angle", label: "Opening angle", unit: "°", min: 0, max: 150, step: 5, value: 0 },
  ],
  reduce: ({ venue, cabinet, ahead = 2, count = 300 }) => ({
    venue: { ...drawnPart(venue), sources: [] },
    positions: seats(venue, { count }),
    cabinet: cabinetOf(cabinet),
    ahead,
  }),
  prepare: (content) => {
    const frequency = logGrid(band[0] * 2 ** (-1 / 6), band[1] * 2 ** (1 / 6), frequencies);
    const people = content.positions.reduce((sum, p) => sum + p.people, 0);
    const weights = Float64Array.from(content.positions, (p) => p.people / people);
    return (values) => view(content, values, frequency, weights);
  },
};

function view(
  content: SubLineContent,
  values: SliderValues,
  frequency: Float64Array,
  weights: Float64Array,
): View {
  const { venue, positions } = content;
  const { sources, warnings } = line(content, values);
  const level = levels(sources, positions, frequency);
  const mean = level.reduce((sum, l, i) => sum + weights[i] * l, 0);
  const deviation = level.map((l) => l - mean);
  const { rms_db, frontToBack_db, within3dB_fraction } = summarise(positions, weights, deviation);
  const more = frontToBack_db >= 0 ? "more" : "less";
  return {
    words: `${Math.round(100 * within3dB_fraction)} of 100 people are within 3 dB of the mean, rms ${inDecibels(rms_db)}; the front gets ${inDecibels(Math.abs(frontToBack_db))} ${more} than the back. ${warnings.length > 0 ? warnings.join(" ") : "The spacing is within its limit up to 80 Hz."}`,
    figures: [
      seatsFigure({ ...venue, sources }, positions, deviation, {
        title: "From above",
        quantity: "Bass relative to the mean of the audience (dB)",
        holding: line(content, widest).sources.map((source) => source.point),
      }),
    ],
  };
}

function line({ cabinet, ahead }: SubLineContent, { count, spacing, angle }: SliderValues): Layout {
  const options = { cabinet, position: { x: ahead, y: 0, z: 0.3 }, count, spacing, upTo: band[1] };
  return angle === 0
    ? layouts.line(options)
    : layouts.arc({ ...options, openingAngle: (angle * Math.PI) / 180 });
}

/** Level of the low band at each place, direct sound alone; the ground would add the same to all. */
function levels(
  sources: readonly Source[],
  positions: readonly Position[],
  frequency: Float64Array,
): Float64Array {
  const n = frequency.length;
  const sounding = sources.map((source) => ({ point: acousticCentre(source), ...drive(source, frequency) }));
  const { re, im } = pressureAt(
    sounding,
    positions.map((p) => p.point),
    frequency,
  );
  const power = new Float64Array(n);
  return Float64Array.from(positions, (_, p) => {
    for (let f = 0; f < n; f++) power[f] = re[p * n + f] ** 2 + im[p * n + f] ** 2;
    return toDecibel(bandPower(frequency, power, frequency[0], frequency[n - 1]));
  });
}
