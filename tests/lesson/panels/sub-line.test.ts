import { describe, expect, it } from "vitest";
import { panel } from "../../../lib/lesson/panels";
import { kinds } from "../../../lib/lesson/panels/kinds";
import type { Venue } from "../../../lib/venue/venue";
import { hall } from "../hall";

const cabinet = hall.sources[2];

/** The same hall with its seats elsewhere, at the height of the cabinets. */
const seated = (x: readonly [number, number], y: number): Venue => ({
  ...hall,
  audience: [
    {
      ...hall.audience[0],
      corners: [
        { x: x[0], y: -y, z: -0.9 },
        { x: x[0], y, z: -0.9 },
        { x: x[1], y, z: -0.9 },
        { x: x[1], y: -y, z: -0.9 },
      ],
    },
  ],
});
const view = (venue: Venue, values: { count: number; spacing: number; angle: number }) =>
  kinds["sub line"].prepare(kinds["sub line"].reduce({ venue, cabinet, count: 60, ahead: 0 }))(values);

describe('the panel "sub line"', () => {
  it("loses 20 lg of the ratio of distances from two touching cabinets, far away", () => {
    const { words } = view(seated([30, 60], 0.5), { count: 2, spacing: 0.6, angle: 0 });
    const [, said] = /front gets (\d+\.\d) dB more/.exec(words) ?? [];
    // the first and the last tenth of the people: 20 lg(58.5 / 31.5) = 5.4 dB
    expect(Math.abs(Number(said) - 5.4)).toBeLessThan(0.3);
  });

  it("gives the sides of a wide audience more when the line is bent", () => {
    const fraction = (angle: number) =>
      Number(/^(\d+) of 100/.exec(view(seated([58, 60], 45), { count: 20, spacing: 1.8, angle }).words)?.[1]);
    expect(fraction(90)).toBeGreaterThan(fraction(0) + 10);
  });

  it("keeps its axes and says finite numbers wherever the sliders stand", () => {
    const axes = new Set<string>();
    for (const count of [2, 20])
      for (const spacing of [0.6, 2.4])
        for (const angle of [0, 5, 150]) {
          const { words, figures } = view(hall, { count, spacing, angle });
          expect(words).not.toMatch(/NaN|undefined|Infinity/);
          axes.add(JSON.stringify([figures[0].layout.xaxis, figures[0].layout.yaxis]));
        }
    expect(axes.size).toBe(1);
  });

  it("sends the page no more than some kilobytes", () => {
    expect(panel("sub line", { venue: hall, cabinet }).html.length).toBeLessThan(60_000);
  });
});
