/**
 * A layout of subs in the open: how much goes where, while its count, spacing and angle move.
 */

import { inDecibels } from "../../text/decibels";
import { cabinetOf } from "../../venue/cabinet";
import * as layouts from "../../venue/layouts";
import type { Layout } from "../../venue/layouts/layout";
import type { Cabinet } from "../../venue/venue";
import { directionsFigure, levelsOverDirection } from "../figures/directions";
import { sketchFigure } from "../figures/parts/sketch";
import type { PanelKind, SliderValues, View } from "./panel";

export type LayoutShape = "line" | "arc" | "end-fire" | "gradient";

export interface SubLayoutData {
  readonly shape: LayoutShape;
  /** One that every cabinet of the layout is. */
  readonly cabinet: Cabinet;
}

export const subLayout: PanelKind<SubLayoutData, SubLayoutData> = {
  title: "How far apart, and how many?",
  sliders: ({ shape }) => [
    ...(shape === "gradient" ? [] : [count]),
    {
      name: "spacing",
      label: "Spacing",
      unit: "m",
      min: 0.6,
      max: 4,
      step: 0.1,
      value: shape === "gradient" ? 1 : 1.2,
    },
    ...(shape === "arc" ? [{ ...angle }] : []),
    { name: "frequency", label: "Frequency", unit: "Hz", min: 30, max: 120, step: 1, value: 63 },
  ],
  reduce: ({ shape, cabinet }) => {
    make({ shape, cabinet }, { count: 4, spacing: 1, angle: 60 });
    return { shape, cabinet: cabinetOf(cabinet) };
  },
  prepare: (content) => (values) => view(content, values),
};

const count = { name: "count", label: "Cabinets", unit: "", min: 2, max: 10, step: 1, value: 4 };
const angle = { name: "angle", label: "Opening angle", unit: "°", min: 10, max: 150, step: 5, value: 60 };

function view(content: SubLayoutData, values: SliderValues): View {
  const { sources, warnings } = make(content, values);
  const frequencies = [values.frequency];
  const [level] = levelsOverDirection(sources, { frequencies });
  const middle = (level.length - 1) / 2;
  const widest = widthOf(level, middle);
  const deep = content.shape === "end-fire" || content.shape === "gradient";
  const last = Math.max(...sources.map((s) => s.delay));
  const late = content.shape === "arc" ? ` The outermost wait for ${milliseconds(last)}.` : "";
  return {
    words: `${values.frequency} Hz: ${inDecibels(level[middle])} forward and ${inDecibels(Math.max(level[0], -60))} straight behind, relative to one cabinet; within 6 dB of forward over ${widest}°.${late} ${warnings.length > 0 ? warnings.join(" ") : "The spacing is within its limit up to 100 Hz."}`,
    figures: [
      directionsFigure(sources, { frequencies, title: "Level over direction" }),
      sketchFigure({
        title: "From above: forward is down",
        marks: sources.map(({ point, polarity, delay }) => ({
          name: deep ? `${polarity < 0 ? "reversed, " : ""}${milliseconds(delay)}` : "",
          at: [-point.y, -point.x],
          look: "subs",
        })),
        paths: [],
        across: deep ? [-7, 7] : [-20, 20],
        up: deep ? [-1, Math.max(4, values.spacing * (sources.length - 1) + 1)] : [-4, 8],
        xTitle: "← house left    Across (m)    house right →",
        yTitle: "Toward the stage (m)",
      }),
    ],
  };
}

function make({ shape, cabinet }: SubLayoutData, values: SliderValues): Layout {
  const common = { cabinet, position: { x: 0, y: 0, z: 0 }, spacing: values.spacing };
  switch (shape) {
    case "line":
      return layouts.line({ ...common, count: values.count });
    case "arc":
      return layouts.arc({ ...common, count: values.count, openingAngle: (values.angle * Math.PI) / 180 });
    case "end-fire":
      return layouts.endFire({ ...common, count: values.count });
    case "gradient":
      return layouts.gradient({ ...common, elements: 2 });
    default:
      throw new RangeError(`shape is "${shape}", expected "line", "arc", "end-fire" or "gradient"`);
  }
}

const milliseconds = (seconds: number): string => `${(seconds * 1000).toFixed(1)} ms`;

/** Degrees around forward within which the level stays within 6 dB of it. */
function widthOf(level: readonly number[], middle: number): number {
  const end = (direction: 1 | -1) => {
    let i = middle;
    while (level[i + direction] !== undefined && level[i + direction] >= level[middle] - 6) i += direction;
    return Math.abs(i - middle);
  };
  return 3 * (end(1) + end(-1));
}
