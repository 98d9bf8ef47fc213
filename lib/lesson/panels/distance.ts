/**
 * Level over distance by three laws: a point, an endless line, and a line as long as the reader says.
 */
import {
  coherentLineDrop,
  lineSourceDrop,
  lineTransitionDistance,
  pointSourceDrop,
} from "../../acoustics/distance/spreading";
import { inDecibels } from "../../text/decibels";
import { linearAxis } from "../figures/parts/axes";
import { curvesFigure } from "../figures/parts/curves";
import type { Figure } from "../figures/parts/figure";
import type { PanelKind, View } from "./panel";

/** Nothing but the sliders is needed; `speedOfSound` in metres per second where it is not that of 20 °C. */
export interface DistanceData {
  readonly speedOfSound?: number;
}

export interface DistanceContent {
  readonly speedOfSound: number;
}

export const levelByDistance: PanelKind<DistanceData, DistanceContent> = {
  title: "What does distance take?",
  sliders: () => [
    { name: "near", label: "First row from the source", unit: "m", min: 0.5, max: 10, step: 0.5, value: 2 },
    { name: "far", label: "Last row from the source", unit: "m", min: 12, max: 80, step: 1, value: 18 },
    { name: "length", label: "Length of the source", unit: "m", min: 0.5, max: 8, step: 0.5, value: 3 },
    { name: "frequency", label: "Frequency", unit: "Hz", min: 50, max: 4000, step: 50, value: 100 },
  ],
  reduce: ({ speedOfSound = 343.2 }) => ({ speedOfSound }),
  prepare:
    ({ speedOfSound }) =>
    ({ near, far, length, frequency }) =>
      view(near, far, length, frequency, speedOfSound),
};

function view(near: number, far: number, length: number, frequency: number, c: number): View {
  const line = (r: number) => coherentLineDrop(length, frequency, near, r, c);
  const change = lineTransitionDistance(length, frequency, c);
  const size =
    change > near
      ? `At ${frequency} Hz a source ${length} m long is a line up to ${change.toFixed(1)} m and a point beyond.`
      : `At ${frequency} Hz a source ${length} m long is a point in every row.`;
  return {
    words: `The last row is ${(far / near).toFixed(1)} times as far as the first: a point loses ${inDecibels(pointSourceDrop(near, far))}, this source ${inDecibels(line(far))}. ${size}`,
    figures: [figure(near, far, line)],
  };
}

function figure(near: number, far: number, line: (r: number) => number): Figure {
  const count = 90;
  const x = Array.from({ length: count + 1 }, (_, i) => near * (far / near) ** (i / count));
  const curve = (drop: (r: number) => number) => x.map((r) => -drop(r));
  return curvesFigure({
    title: "Level relative to the first row",
    alt: `From ${near} to ${far} m a point source falls by ${inDecibels(pointSourceDrop(near, far))}, an endless line by ${inDecibels(lineSourceDrop(near, far))}, this source by ${inDecibels(line(far))}.`,
    curves: [
      { label: "endless line", x, y: curve((r) => lineSourceDrop(near, r)), colour: "@faint", dash: "dash" },
      { label: "point", x, y: curve((r) => pointSourceDrop(near, r)), colour: "@subs", dash: "dot" },
      { label: "this source", x, y: curve(line), colour: "@mains" },
    ],
    xaxis: linearAxis("Distance from the source (m)", 0, far <= 40 ? 40 : 80),
    yaxis: linearAxis("Level (dB)", -45, 5, { dtick: 5 }),
    height: 380,
  });
}
