import { inDecibels } from "../../text/decibels";
import { linearAxis } from "./parts/axes";
import type { Figure } from "./parts/figure";

export interface StepsOptions {
  /** Distance of the first row from the source, metres. */
  readonly near: number;
  /** Distance of the last row from the source, metres. */
  readonly far: number;
  /** dB of each step. Default 3. */
  readonly step?: number;
  /** Level lost from one distance to another, dB, both in metres, such as `acoustics.distance.pointLoss`. */
  readonly drop: (near: number, far: number) => number;
  /** Above the figure; by default it says how large a step is. */
  readonly title?: string;
}

/**
 * Stairs down the level over distance: how many metres each step of so many dB is long.
 *
 * Across: distance from the source (m). Up: level relative to the first row (dB). The length of each step (m) is written
 * below it. Steps that grow longer mean that rows near the source differ more than rows far away; along a line source they
 * grow faster still.
 *
 * @param options  first and last row, the step, and the law
 * @returns a figure, for `show`
 * @throws RangeError when near and far are not positive and in order, or the step is not positive
 * @source own way, no outside source; check: tests/lesson/figures/lesson-figures.test.ts
 * @example
 * // each step twice as long as the one before: 4.0 m, then 7.9 m
 * show(draw.steps({ near: 4, far: 16, step: 6, drop: acoustics.distance.pointLoss }));
 */
export function stepsFigure({ near, far, step = 3, drop, title }: StepsOptions): Figure {
  if (!(near > 0 && far > near && step > 0)) {
    throw new RangeError(`near ${near}, far ${far} and step ${step} are to be positive, and far beyond near`);
  }
  const count = 120;
  const x = Array.from({ length: count + 1 }, (_, i) => near + ((far - near) * i) / count);
  const stairs = stairsOf(near, far, step, drop);
  const lowest = -Math.ceil((drop(near, far) + 1) / step) * step;
  return {
    title: title ?? `How far one walks for ${step} dB`,
    alt: `${stairs.map(({ from, to }, i) => `Step ${i + 1} of ${step} dB: from ${from.toFixed(1)} to ${to.toFixed(1)} m.`).join(" ")} In all ${inDecibels(drop(near, far))} from ${near} to ${far} m.`,
    height: 360,
    data: [
      {
        type: "scatter",
        mode: "lines",
        x,
        y: x.map((r) => -drop(near, r)),
        line: { color: "@subs", width: 2.5 },
        hovertemplate: "%{x:.1f} m: %{y:.1f} dB<extra></extra>",
      },
      {
        type: "scatter",
        mode: "lines",
        x: [near, ...stairs.flatMap(({ from, to }) => [from, to])],
        y: [0, ...stairs.flatMap((_, i) => [-(i + 1) * step, -(i + 1) * step])],
        line: { color: "@faint", width: 1.5, shape: "hv", dash: "dot" },
        hoverinfo: "skip",
      },
    ],
    layout: {
      xaxis: linearAxis("Distance from the source (m)", 0, Math.ceil(far)),
      yaxis: linearAxis(`Level relative to ${near} m (dB)`, lowest, step, { dtick: step }),
      annotations: stairs.map(({ from, to }, i) => ({
        text: `${(to - from).toFixed(1)} m`,
        x: to,
        y: -(i + 1) * step,
        xanchor: "right",
        xshift: -3,
        yanchor: "top",
        yshift: -2,
        showarrow: false,
        font: { color: "@ink" },
      })),
    },
  };
}

/** Where each step starts and ends: the distance at which the level has fallen by so much, by halving the interval. */
function stairsOf(near: number, far: number, step: number, drop: StepsOptions["drop"]) {
  const stairs: { from: number; to: number }[] = [];
  for (let i = 1; i * step <= drop(near, far) && i <= 40; i++) {
    let [low, high] = [near, far];
    for (let n = 0; n < 50; n++) {
      const middle = (low + high) / 2;
      if (drop(near, middle) < i * step) low = middle;
      else high = middle;
    }
    stairs.push({ from: stairs.at(-1)?.to ?? near, to: low });
  }
  return stairs;
}
