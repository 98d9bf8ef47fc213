/**
 * One sub, a floor, a wall behind it and a cavity beside it: what they leave of its level in three rows.
 */
import { logGrid } from "../../acoustics/bands/bands";
import { notchFrequencies } from "../../acoustics/reflection/reflection";
import { power } from "../../acoustics/response";
import { modelSurvey } from "../../field/model-survey";
import { signedDecibels } from "../../text/decibels";
import type { Boundary, Cavity, Source, Venue } from "../../venue/venue";
import { mirrorFigure } from "../figures/mirror";
import { overFrequencyFigure } from "../figures/parts/over-frequency";
import type { PanelKind, SliderValues, View } from "./panel";

/** Nothing but the sliders is needed; `rows` in metres from the sub. */
export interface BoundaryData {
  readonly rows?: readonly number[];
}

export interface BoundaryContent {
  readonly rows: readonly number[];
}

export const boundary: PanelKind<BoundaryData, BoundaryContent> = {
  title: "What do the wall and the space under the stage leave of the sub?",
  sliders: () => [
    { name: "wall", label: "Wall behind the sub", unit: "m", min: 0.3, max: 6, step: 0.05, value: 1.65 },
    { name: "absorbed", label: "Sound that the wall absorbs", unit: "%", min: 0, max: 95, step: 5, value: 0 },
    { name: "width", label: "Width of the wall", unit: "m", min: 2, max: 40, step: 1, value: 40 },
    { name: "depth", label: "Depth under the stage", unit: "m", min: 0, max: 6, step: 0.1, value: 0 },
  ],
  reduce: ({ rows = [3, 8, 20] }) => ({ rows }),
  prepare: ({ rows }) => {
    const open = levels(scene({ wall: 0, absorbed: 0, width: 0, depth: 0 }), rows);
    return (values) => view(rows, open, values);
  },
};

const frequency = logGrid(20, 160, 72);
const speed = 343.2;

/** Level in each row, dB. */
function levels(venue: Venue, rows: readonly number[]): Float64Array[] {
  const positions = rows.map((x) => ({ id: `${x} m`, point: { x, y: 0, z: 1.2 }, area: "rows", people: 1 }));
  return modelSurvey(venue, positions, { frequency, diffuse: "none" }).subs.map((response) =>
    power(response).map((p) => 10 * Math.log10(Math.max(p, 1e-20))),
  );
}

function view(rows: readonly number[], open: readonly Float64Array[], values: SliderValues): View {
  const { wall, absorbed, depth } = values;
  const gain = levels(scene(values), rows).map((row, i) => row.map((dB, f) => dB - open[i][f]));
  const [quarter] = notchFrequencies(2 * wall, speed, 1e4);
  const mid = gain[Math.floor(rows.length / 2)];
  const lowest = mid.indexOf(Math.min(...mid));
  return {
    words: `A quarter wavelength of ${wall.toFixed(2)} m belongs to ${Math.round(quarter)} Hz. In the middle row the lowest point is ${signedDecibels(mid[lowest])} at ${Math.round(frequency[lowest])} Hz; the wall absorbs ${absorbed} %${depth > 0 ? `, and the cavity is a quarter wavelength deep at ${Math.round(speed / 4 / depth)} Hz` : ""}.`,
    figures: [
      overFrequencyFigure({
        title: "Relative to the same sub on open ground",
        frequency,
        curves: Object.fromEntries(gain.map((row, i) => [`${rows[i]} m`, row])),
        colours: "distance",
        marks: { "¼ wave to the wall": quarter },
        top: 10,
        span: 40,
        yTitle: "Gain or loss (dB)",
      }),
      mirrorFigure({
        wall,
        sub: [0, 0.5],
        ear: [8, 1.2],
        title: "From the side, to scale",
        yTitle: "Height (m)",
        across: [-17, 10],
        up: [-3, 6],
      }),
    ],
  };
}

/** The sub on its floor, with the wall and the cavity that the sliders ask for; a wall at 0 m is none. */
function scene({ wall, absorbed, width, depth }: SliderValues): Venue {
  const all = { frequency: [63], value: [absorbed / 100] };
  const walls: Boundary[] = [
    {
      name: "floor",
      corners: [
        { x: -60, y: 60, z: 0 },
        { x: -60, y: -60, z: 0 },
        { x: 60, y: -60, z: 0 },
        { x: 60, y: 60, z: 0 },
      ],
      absorption: { frequency: [63], value: [0.01] },
    },
  ];
  if (wall > 0) {
    walls.push({
      name: "wall",
      corners: [
        { x: -wall, y: width / 2, z: 0 },
        { x: -wall, y: -width / 2, z: 0 },
        { x: -wall, y: -width / 2, z: 30 },
        { x: -wall, y: width / 2, z: 30 },
      ],
      absorption: all,
    });
  }
  const cavities: Cavity[] =
    depth > 0
      ? [
          {
            name: "under the stage",
            opening: [
              { x: -0.6, y: 9, z: 0 },
              { x: -0.6, y: 1, z: 0 },
              { x: -0.6, y: 1, z: 1.1 },
              { x: -0.6, y: 9, z: 1.1 },
            ],
            depth,
            absorption: { frequency: [63], value: [0.2] },
          },
        ]
      : [];
  return {
    name: "one sub",
    story: "",
    air: { temperature: 20, relativeHumidity: 50, pressure: 101.325 },
    sources: [sub],
    audience: [],
    boundaries: walls,
    cavities,
    frontOfHouse: { corners: walls[0].corners, earHeight: 1.2 },
    positions: [],
  };
}

const sub: Source = {
  id: "sub",
  group: "subs",
  point: { x: 0, y: 0, z: 0.5 },
  axis: { x: 1, y: 0, z: 0 },
  up: { x: 0, y: 0, z: 1 },
  level: { frequency: [20, 200], level: [100, 100] },
  pattern: { kind: "omni" },
  size: { width: 1, height: 0.6, depth: 0.8 },
  gain: 0,
  delay: 0,
  polarity: 1,
  filters: [],
};
