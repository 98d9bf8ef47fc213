/**
 * How far mains and subs drift apart from the first row to the last, by the way each sound travels.
 */
import { distanceDrift } from "../../acoustics/distance/drift";
import type { Point } from "../../acoustics/point";
import { inDecibels, signedDecibels } from "../../text/decibels";
import { linearAxis } from "../figures/parts/axes";
import { curvesFigure } from "../figures/parts/curves";
import { pathsFigure } from "../figures/paths";
import type { PanelKind, SliderValues, View } from "./panel";

/** Nothing but the sliders is needed; `earHeight` in metres where it is not that of people who sit. */
export interface DriftData {
  readonly earHeight?: number;
}

export interface DriftContent {
  readonly earHeight: number;
}

export const drift: PanelKind<DriftData, DriftContent> = {
  title: "How far do mains and subs drift apart?",
  sliders: () => [
    { name: "hang", label: "Height of the hang", unit: "m", min: 2.5, max: 14, step: 0.5, value: 8 },
    { name: "sub", label: "Height of the sub", unit: "m", min: 0.5, max: 14, step: 0.5, value: 0.5 },
    {
      name: "forward",
      label: "Sub before the stage edge",
      unit: "m",
      min: -4,
      max: 3,
      step: 0.5,
      value: 0.5,
    },
    { name: "first", label: "First row from the stage", unit: "m", min: 3.5, max: 12, step: 0.5, value: 3.5 },
    { name: "last", label: "Last row from the stage", unit: "m", min: 15, max: 60, step: 1, value: 25 },
  ],
  reduce: ({ earHeight = 1.2 }) => ({ earHeight }),
  prepare:
    ({ earHeight }) =>
    (values) =>
      view(values, earHeight),
};

function view({ hang, sub, forward, first, last }: SliderValues, earHeight: number): View {
  const ear = (x: number): Point => ({ x, y: 0, z: earHeight });
  const mains = { x: 0, y: 0, z: hang };
  const subs = { x: forward, y: 0, z: sub };
  const rows = Array.from({ length: 61 }, (_, i) => first + ((last - first) * i) / 60);
  const losses = rows.map((x) => distanceDrift(mains, subs, ear(first), ear(x)));
  const ofMains = losses.map((loss) => -loss.mains);
  const ofSubs = losses.map((loss) => -loss.subs);
  const between = losses.map((loss) => -loss.drift);
  const [m, s, d] = [ofMains, ofSubs, between].map((curve) => curve[curve.length - 1]);
  const words = `From the first row to the last the mains lose ${inDecibels(-m)}, the subs ${inDecibels(-s)}. Balanced in the first row, the last one hears ${Math.abs(d) < 0.05 ? "the same bass" : `${inDecibels(Math.abs(d))} ${d < 0 ? "too little" : "too much"} bass`}.`;
  return {
    words,
    figures: [
      pathsFigure({
        mains,
        subs,
        ears: { first: ear(first), last: ear(last) },
        across: last <= 30 ? [-6, 31] : [-12, 61],
        up: [-0.5, 16],
      }),
      curvesFigure({
        title: "Level relative to the first row",
        alt: words,
        curves: [
          { label: "mains", x: rows, y: ofMains, colour: "@mains", dash: "dash" },
          { label: "subs", x: rows, y: ofSubs, colour: "@subs" },
          { label: `drift ${signedDecibels(d, 0)}`, x: rows, y: between, colour: "@mark", dash: "dot" },
        ],
        xaxis: linearAxis("Distance from the stage edge (m)", 0, last <= 30 ? 30 : 60),
        yaxis: linearAxis("Level (dB)", -30, 5, { dtick: 5 }),
      }),
    ],
  };
}
