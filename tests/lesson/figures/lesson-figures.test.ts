import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { pointSourceDrop } from "../../../lib/acoustics/distance/spreading";
import { roomModes } from "../../../lib/acoustics/room/modes";
import { venueOfFile } from "../../../lib/lesson/examples/venue-of-file";
import { mirrorFigure } from "../../../lib/lesson/figures/mirror";
import { modesFigure } from "../../../lib/lesson/figures/modes";
import { notchesFigure } from "../../../lib/lesson/figures/notches";
import { applyTheme } from "../../../lib/lesson/figures/parts/apply-theme";
import { linearAxis } from "../../../lib/lesson/figures/parts/axes";
import { curvesFigure } from "../../../lib/lesson/figures/parts/curves";
import type { Figure } from "../../../lib/lesson/figures/parts/figure";
import { overFrequencyFigure } from "../../../lib/lesson/figures/parts/over-frequency";
import { sketchFigure } from "../../../lib/lesson/figures/parts/sketch";
import { pathsFigure } from "../../../lib/lesson/figures/paths";
import { stepsFigure } from "../../../lib/lesson/figures/steps";
import { pack } from "../../../lib/lesson/output/pack";
import { without } from "../../../lib/venue/without";

const frequency = [20, 40, 80, 160];
const axes = { xaxis: linearAxis("Distance (m)", 0, 40), yaxis: linearAxis("Level (dB)", -40, 0) };
const modes = roomModes({ length: 10, width: 5, height: 2.5 }, 80);

const figures: { readonly [name: string]: () => Figure } = {
  curves: () =>
    curvesFigure({
      title: "t",
      alt: "a",
      ...axes,
      curves: [{ label: "subs", x: [1, 20], y: [0, -26], colour: "@subs" }],
      uprights: [{ x: 12, label: "you" }],
    }),
  "over frequency": () =>
    overFrequencyFigure({
      frequency,
      curves: { mains: [0, -3, -Infinity, 2], B: [1, 1, 1, 1] },
      marks: { notch: 80 },
    }),
  sketch: () => sketchFigure({ title: "t", marks: [{ name: "ear", at: [1, 1], look: "ear" }], paths: [] }),
  paths: () =>
    pathsFigure({
      mains: { x: 0, y: 0, z: 8 },
      subs: { x: 0, y: 0, z: 0 },
      ears: { last: { x: 6, y: 0, z: 0 } },
    }),
  mirror: () => mirrorFigure({ wall: 1.5, ear: [1, 3] }),
  steps: () => stepsFigure({ near: 2, far: 18, drop: pointSourceDrop }),
  notches: () => notchesFigure({ x: [1, 2], causes: { wall: [52, 52], "other sub": [30, 900] } }),
  modes: () => modesFigure(modes, { schroeder: 60 }),
};

describe.each(Object.entries(figures))("the figure %s", (_, make) => {
  it("is made of plain finite numbers and colours of the house style, on light and on dark pages", () => {
    const figure = make();
    expect(() => pack(figure)).not.toThrow();
    for (const theme of ["light", "dark"] as const) {
      expect(JSON.stringify(applyTheme(figure, theme, 390))).not.toMatch(/"@|NaN|undefined/);
    }
  });

  it("says in words what there is to see", () => {
    expect(make().alt.length).toBeGreaterThan(0);
    expect(make().alt).not.toMatch(/NaN|undefined|Infinity/);
  });
});

describe("the words of a figure", () => {
  it("name the length of each way: 6 m across and 8 m up are 10 m", () => {
    const { alt } = figures.paths();
    expect(alt).toContain("hang: last 10.0 m");
    expect(alt).toContain("sub: last 6.0 m");
  });

  it("name the way over a mirror: an ear at 1 m, 3 m before a wall 1.5 m behind is 5 m from the image", () => {
    expect(figures.mirror().alt).toContain("over the wall 5.0 m");
  });

  it("name steps of 3 dB, each 1.41 times as far as the one before (20 lg 1.4125 = 3)", () => {
    const { alt } = figures.steps();
    for (const end of ["2.8", "4.0", "5.6", "8.0", "11.2", "15.9"]) expect(alt).toContain(`to ${end} m.`);
    expect(alt).toContain("In all 19.1 dB");
  });

  it("count modes by kind: the lowest of a room of 10 m at 343.2 m/s is 17.2 Hz", () => {
    expect(figures.modes().alt).toContain("The lowest lies at 17.2 Hz");
  });

  it("turn responses into dB (a tenth of the pressure is −20 dB) and keep within the ends that are asked for", () => {
    const response = {
      frequency: Float64Array.from(frequency),
      re: Float64Array.from([1, 0.06, 1, 1]),
      im: Float64Array.from([0, 0.08, 0, 0]),
    };
    const { alt, data } = overFrequencyFigure({ frequency, curves: { response }, from: 30, to: 100 });
    expect(alt).toContain("response: lowest at 40 Hz, −20.0 dB.");
    expect(data[0].x).toEqual([40, 80]);
    expect(() => overFrequencyFigure({ frequency, curves: { response }, from: 200 })).toThrow(
      /lies from 200 to Infinity Hz/,
    );
  });

  it("call a notch without a floor gone, and cut it at the axis", () => {
    const figure = figures["over frequency"]();
    expect(figure.alt).toContain("mains: lowest at 80 Hz, gone.");
    const [low] = (figure.layout.yaxis as unknown as { range: [number, number] }).range;
    for (const y of figure.data[0].y as number[]) expect(y).toBeGreaterThanOrEqual(low - 1);
  });
});

describe("what cannot be drawn", () => {
  it("is refused with the reason", () => {
    expect(() => curvesFigure({ title: "", alt: "", ...axes, curves: [] })).toThrow(/no curve/);
    expect(() => overFrequencyFigure({ frequency, curves: { A: [1] } })).toThrow(/"A" has 1 values for 4/);
    expect(() => stepsFigure({ near: 4, far: 2, drop: pointSourceDrop })).toThrow(/near 4, far 2/);
    expect(() => mirrorFigure({ wall: 0, ear: [1, 1] })).toThrow(/wall is 0 m/);
    expect(() => modesFigure([])).toThrow(/no mode/);
    expect(() => pathsFigure({ mains: { x: 0, y: 0, z: 8 }, subs: { x: 0, y: 0, z: 0 }, ears: {} })).toThrow(
      /ears/,
    );
  });
});

describe("a venue of the course", () => {
  it("comes with numbers of its file changed", () => {
    const hang = (top: number) =>
      Math.max(...venueOfFile("harbour-theatre", { "mains[0].top.z": top }).sources.map((s) => s.point.z));
    expect(hang(8.4) - hang(6.4)).toBeCloseTo(2, 9);
  });

  it("refuses a name or a path that is not there, and says what there is", () => {
    expect(() => venueOfFile("nowhere")).toThrow(/"harbour-theatre"/);
    const own = join(__dirname, "..", "..", "..", "data", "venues", "harbour-theatre.json");
    expect(venueOfFile(own)).toEqual(venueOfFile("harbour-theatre"));
    expect(() => venueOfFile("nowhere/mine.json")).toThrow(/there is no file "nowhere\/mine.json"/);
    expect(() => venueOfFile("../shows/harbour-theatre")).toThrow(/no venue/);
    expect(() => venueOfFile("harbour-theatre", { "mains[9].top.z": 1 })).toThrow(/no number at "mains\[9\]/);
    expect(() => venueOfFile("harbour-theatre", { "mains[0].name": 1 })).toThrow(/no number/);
  });

  it("loses the walls and cavities that are taken away, and nothing else", () => {
    const whole = venueOfFile("harbour-theatre");
    const bare = without(whole, "wall behind");
    expect(whole.boundaries.length - bare.boundaries.length).toBe(2);
    expect(bare.sources).toBe(whole.sources);
    expect(without(whole, "under the stage").cavities).toHaveLength(0);
    expect(() => without(whole, "moat")).toThrow(/no wall or cavity "moat", it has "/);
  });
});
