// A closed box on a hard floor before an endless hard wall, heard straight ahead at 200 m: the frequency of the least level by boundary
// elements of our own in numpy (collocation on panels of 0.1 m, images in floor and wall), which agree with bempp-cl 0.4.2 to 0.06 dB
// from 45° to 180° at 63 Hz without the wall. Distances are from the wall to the front.
import { expect, test } from "vitest";
import { logGrid } from "../../lib/acoustics/bands/bands";
import { power } from "../../lib/acoustics/response";
import { modelSurvey } from "../../lib/field/model-survey";
import { bodiesOf } from "../../lib/venue/body";
import { at, source, venue, wall } from "./venues";

test.each([
  [1.1, 0.6, 0.8, 1.65, 41.7],
  [0.6, 0.6, 0.7, 1.65, 43.8],
  [1.1, 0.6, 0.8, 0.82, 71],
  [0.6, 0.6, 0.7, 0.72, 85],
])(
  "%f × %f × %f m with its front %f m before a wall has its dip at %f Hz, to three in a hundred",
  (width, height, depth, x, dip) => {
    const boundaries = [wall("z", 0), wall("x", 0)];
    const box = source({ x, y: 0, z: height / 2 }, { group: "subs", size: { width, height, depth } });
    const [{ radius, centre }] = bodiesOf([box], boundaries);
    const sub = { ...box, centre, pattern: { kind: "sphere" as const, radius } };
    const frequency = logGrid(dip / 1.4, dip * 1.4, 200);
    const [heard] = modelSurvey(venue({ boundaries, sources: [sub] }), [at(200, 0, 0.01)], {
      frequency,
    }).subs;
    const level = power(heard);
    const found = frequency[level.indexOf(Math.min(...level))];
    expect(Math.abs(found / dip - 1), `${found}`).toBeLessThan(0.03);
  },
);
