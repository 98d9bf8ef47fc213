import { describe, expect, test } from "vitest";
import { modelSurvey } from "../../lib/field/model-survey";
import { closed } from "../../lib/venue/closed";
import type { Boundary, Cavity } from "../../lib/venue/venue";
import { without } from "../../lib/venue/without";
import { at, source, venue, wall } from "../field/venues";

const corner = (x: number, y: number, z: number) => ({ x, y, z });
const cavity: Cavity = {
  name: "under the stage",
  opening: [corner(0, 4, 0), corner(0, -4, 0), corner(0, -4, 1.2), corner(0, 4, 1.2)],
  depth: 3,
  absorption: { frequency: [100], value: [0.1] },
};
const stage = venue({ boundaries: [wall("z", 0)], cavities: [cavity] });

describe("a cavity boarded up", () => {
  test("leaves a block of its depth behind the opening, open only to the floor", () => {
    const { boundaries, cavities } = closed(stage);
    expect(cavities).toEqual([]);
    const block = boundaries.slice(1);
    expect(block.map((b) => b.name)).toEqual([
      "under the stage, closed",
      ...[2, 3, 4, 5].map((i) => `under the stage, closed, face ${i}`),
    ]);
    const all = block.flatMap((b) => b.corners);
    expect([Math.min(...all.map((p) => p.x)), Math.max(...all.map((p) => p.x))]).toEqual([-3, 0]);
    // Nothing lies on the floor as a whole.
    expect(block.every((b) => b.corners.some((p) => p.z > 1))).toBe(true);
  });

  test("is nothing new where the opening is cut from a wall, which goes on", () => {
    const front: Boundary = { ...wall("x", 0), name: "front" };
    expect(closed({ ...stage, boundaries: [front] }).boundaries).toEqual([front]);
  });

  test("is what is left of it in a venue without it, and in a model without cavities", () => {
    const bare = without(stage, "under the stage");
    expect(bare).toEqual(closed(stage));
    const sub = { ...stage, sources: [source(corner(0.6, 0, 0.3), { group: "subs" })] };
    const frequency = Float64Array.of(40, 100);
    const positions = [at(12, 1, 1.2)];
    const [one] = modelSurvey(sub, positions, { frequency, cavities: false }).subs;
    const [two] = modelSurvey(without(sub, "under the stage"), positions, { frequency }).subs;
    expect([...one.re, ...one.im]).toEqual([...two.re, ...two.im]);
  });

  test("reflects: 10 m high and 40 m wide, as an endless wall 0.9 m behind a sub does, by images at 50 Hz", () => {
    const tall = {
      ...cavity,
      opening: [
        corner(0, 20, 0),
        corner(0, -20, 0),
        corner(0, -20, 10),
        corner(0, 20, 10),
      ] as Cavity["opening"],
    };
    const sub = venue({
      boundaries: [wall("z", 0)],
      cavities: [tall],
      sources: [source(corner(0.9, 0, 0), { group: "subs" })],
    });
    const [{ re, im }] = modelSurvey(closed(sub), [at(8, 0, 0)], { frequency: Float64Array.of(50) }).subs;
    const endless = venue({ ...sub, cavities: [], boundaries: [wall("z", 0), wall("x", 0)] });
    const [image] = modelSurvey(endless, [at(8, 0, 0)], { frequency: Float64Array.of(50) }).subs;
    const ratio = Math.hypot(re[0], im[0]) / Math.hypot(image.re[0], image.im[0]);
    expect(Math.abs(20 * Math.log10(ratio))).toBeLessThan(1.5);
  });
});
