/** Several points around a position are its average over space. Recordings are closed forms. */
import fc from "fast-check";
import { expect, it } from "vitest";
import { later, levelInBand, power, type Response, sumResponses } from "../../lib/acoustics/response";
import { deviationErrors } from "../../lib/decision/balance/uncertainty";
import type { ShowMeasurement } from "../../lib/study/measure";
import { averageOfPoints } from "../../lib/study/points-around";
import { readShow } from "../../lib/study/read-show";
import {
  C,
  distances,
  inShow,
  measured,
  type Path,
  positions,
  type SyntheticTake,
  trueLevel,
} from "./synthetic-show";

const around = [1, 2, 3, 4].map((k) => `mix position/${k}`);
const names = [...positions.filter((id) => id !== "mix position"), ...around];
/** What reflects reaches each point otherwise; levels differ by a factor for each. */
function paths(through: "mains" | "subs", factors: readonly number[]): Record<string, Path[]> {
  return Object.fromEntries(
    names.map((name) => {
      const k = around.indexOf(name);
      const away = distances(name.split("/")[0])[through] + 0.3 * Math.max(0, k);
      const gain = (5 / away) * (k < 0 ? 1 : factors[k]);
      const delay = 0.004 + away / C;
      return [
        name,
        [
          { through, gain, delay },
          { through, gain: 0.6 * gain, delay: delay + 0.004 + 0.0013 * k },
        ],
      ];
    }),
  );
}
const factors = [1, 0.7, 1.3, 1];
const heard = { mains: paths("mains", factors), subs: paths("subs", factors) };
const takes: SyntheticTake[] = [
  { playing: "mains", recording: "mains.wav", paths: heard.mains, seed: 1 },
  { playing: "subs", recording: "subs.wav", paths: heard.subs, seed: 2 },
];
const at = ({ survey }: ShowMeasurement) => survey!.positions.findIndex((p) => p.id === "mix position");

it("levels and the level of a sum at any delay are the mean power of the points, and the spread is in the error", () => {
  const found = measured(takes);
  expect(found.problems).toEqual([]);
  expect(found.survey!.positions.length).toBe(4);
  const i = at(found);
  const [mains, subs] = [found.survey!.mains[i], found.survey!.subs[i]];
  const points = (part: "mains" | "subs") => around.map((name) => heard[part][name]);
  expect(Math.abs(levelInBand(mains, 447, 2239, 1) - trueLevel(points("mains"), 447, 2239))).toBeLessThan(
    0.15,
  );
  expect(Math.abs(levelInBand(subs, 28.2, 89.1, 1) - trueLevel(points("subs"), 28.2, 89.1))).toBeLessThan(
    0.15,
  );
  for (const delay of [0, 0.004, 0.009]) {
    const together = around.map((name) => [
      ...heard.mains[name],
      ...heard.subs[name].map((p) => ({ ...p, delay: p.delay + delay })),
    ]);
    const sum = sumResponses(mains, later(subs, delay));
    expect(Math.abs(levelInBand(sum, 60, 130, 1) - trueLevel(together, 60, 130))).toBeLessThan(0.2);
  }
  // Powers 1, 0.49, 1.69, 1 (closed form): standard error of their mean 0.247 of 1.045, 1.03 dB, in subs and mains each.
  const [own, ...others] = [i, ...[0, 1, 2, 3].filter((k) => k !== i)].map(
    (k) => deviationErrors(found.survey!, {}, 0)![k],
  );
  expect(own).toBeGreaterThan(0.7);
  expect(own).toBeLessThan(2.5);
  for (const other of others) expect(other).toBeLessThan(own / 2);
  expect(found.warnings.join("\n")).toMatch(
    /position "mix position" is the average by power of 4 points; from one to another the subs vary by 2\.\d dB and the mains by 2\.\d dB/,
  );
});

it("a point without subs is left out and named", () => {
  const without = { ...takes[1], paths: Object.fromEntries(Object.entries(heard.subs).slice(0, -1)) };
  const found = measured([takes[0], without]);
  expect(found.problems).toEqual(['"mix position/4" lacks usable mains or subs: left out of "mix position"']);
  expect(found.warnings.join("\n")).toMatch(/by power of 3 points/);
});

it("a point around no position is refused by its name", () => {
  const astray = { ...takes[0], paths: { ...heard.mains, "mixing position/1": heard.mains.near } };
  expect(() => inShow([astray, takes[1]], readShow)).toThrow(/\["mixing position\/1"\].*lacks/);
});

it("of any points, any sum of the parts has the mean of the points' powers", () => {
  const number = fc.double({ min: -2, max: 2, noNaN: true });
  const response = fc
    .record({ re: number, im: number, late: fc.double({ min: 0, max: 1, noNaN: true }) })
    .map(
      ({ re, im, late }): Response => ({
        frequency: Float64Array.of(50),
        re: Float64Array.of(re),
        im: Float64Array.of(im),
        diffuse: Float64Array.of(late),
      }),
    );
  const points = fc.array(fc.record({ mains: response, subs: response }), { minLength: 2, maxLength: 5 });
  fc.assert(
    fc.property(points, number, number, (all, re, im) => {
      const average = averageOfPoints(
        all.map(
          ({ mains, subs }) =>
            new Map([
              ["mains", mains],
              ["subs", subs],
            ] as const),
        ),
      );
      const whole = (mains: Response, subs: Response) => power(sumResponses(mains, subs, { re, im }))[0];
      const mean = all.reduce((sum, { mains, subs }) => sum + whole(mains, subs), 0) / all.length;
      expect(whole(average.get("mains")!, average.get("subs")!)).toBeCloseTo(mean, 7);
    }),
  );
});
