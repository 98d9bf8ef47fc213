import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, it } from "vitest";
import { modelSurvey } from "../../lib/field/model-survey";
import { startModel } from "../../lib/study/model-in-parallel";
import { readVenue } from "../../lib/venue/file/read";
import { seats } from "../../lib/venue/seats";

const venue = (name: string) =>
  readVenue(readFileSync(path.resolve(__dirname, `../../data/venues/${name}.json`), "utf8"), name);
const meadow = venue("ulverow-meadow");

/** Where nothing sounds by waves: within the wall. */
const inTheWall = { id: "in the wall", point: { x: -40, y: 0, z: -3 }, area: "nowhere", people: 0 };

it.each(["ulverow-meadow", "ombrik-cellar"])(
  "several threads give bit for bit what one gives, place by place: %s",
  (name) => {
    const positions = [...seats(venue(name), { count: 260 }), inTheWall];
    const one = modelSurvey(venue(name), positions);
    const several = startModel(venue(name), positions, {}, 2).finish();
    expect(several.positions).toEqual(one.positions);
    for (const group of ["mains", "subs"] as const) {
      for (const i of [0, 129, 130, positions.length - 1]) {
        expect(several[group][i].re).toEqual(one[group][i].re);
        expect(several[group][i].im).toEqual(one[group][i].im);
        expect(several[group][i].diffuse).toEqual(one[group][i].diffuse);
      }
    }
  },
);

it("a mistake in one share is told as the model tells it", () => {
  const positions = seats(meadow, { count: 260 });
  const broken = {
    ...meadow,
    boundaries: [{ ...meadow.boundaries[0], corners: Array(4).fill({ x: 0, y: 0, z: 0 }) }],
  };
  expect(() => startModel(broken as unknown as typeof meadow, positions, {}, 2).finish()).toThrow(RangeError);
});
