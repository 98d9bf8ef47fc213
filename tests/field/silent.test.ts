import { describe, expect, it } from "vitest";
import { modelSurvey } from "../../lib/field/model-survey";
import { startModel } from "../../lib/study/model-in-parallel";
import type { Boundary } from "../../lib/venue/venue";
import { at, box, HARD, source, venue } from "./venues";

const hall = box([30, 16, 10], { west: 0.2, east: 0.2, south: 0.2, north: 0.2, floor: 0.2, ceiling: 0.2 });
const across = (x: number): Boundary => ({
  name: "partition",
  absorption: HARD,
  corners: [
    { x, y: 0, z: 0 },
    { x, y: 16, z: 0 },
    { x, y: 16, z: 10 },
    { x, y: 0, z: 10 },
  ],
});
const sources = [source({ x: 2, y: 8, z: 1 }), source({ x: 20, y: 8, z: 6 }, { group: "mains" })];
const positions = [at(5, 7, 1.2), at(9, 8, 1.2), at(11, 9, 1.2), at(17, 8, 1.2), at(25, 9, 1.2)];
const frequency = Float64Array.of(63, 125);

describe("positions that no sound reaches", () => {
  it("are named for each group, with the wall that shuts them off", () => {
    const { warnings } = modelSurvey(venue({ sources, boundaries: [...hall, across(14)] }), positions, {
      frequency,
    });
    const rest = "and what is said of these positions rests on the diffuse field alone";
    expect(warnings).toEqual([
      `no direct or reflected sound of the mains reaches "5 7 1.2" and 2 other positions: "partition" stands in the way, ${rest}`,
      `no direct or reflected sound of the subs reaches "17 8 1.2" and 1 other position: "partition" stands in the way, ${rest}`,
    ]);
  });

  it("are none in an open hall, nor behind a wall that sound bends over", () => {
    const low = across(14);
    const screen = { ...low, corners: low.corners.map((c) => ({ ...c, z: c.z / 3 })) } as unknown as Boundary;
    for (const boundaries of [hall, [...hall, screen]])
      expect(modelSurvey(venue({ sources, boundaries }), positions, { frequency }).warnings).toBeUndefined();
  });

  it("are told by a model on several threads as well", () => {
    const shut = venue({ sources, boundaries: [...hall, across(14)] });
    const many = Array.from({ length: 210 }, (_, i) => ({
      ...at(15.01 + 0.0613 * i, 8, 1.2),
      id: `seat ${i}`,
    }));
    const told = startModel(shut, many, {}, 2).finish().warnings;
    expect(told).toEqual([expect.stringContaining('the subs reaches "seat 0" and 209 other positions')]);
  });
});
