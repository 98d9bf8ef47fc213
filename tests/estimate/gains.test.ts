import { expect, test } from "vitest";
import { LEVEL_ERROR } from "../../lib/estimate/discrepancy";
import { gainsGiven } from "../../lib/estimate/gains";
import { normal } from "../../lib/numeric/random";

const { both, group, bands } = LEVEL_ERROR;
const alone = { part: "all", common: 0 };
const whole = both ** 2 + group ** 2 + bands ** 2;

test("one band heard moves itself and the other group as the conditional normal distribution has it", () => {
  // Two variables of variance v and covariance c, the first heard as y with variance e: means v/(v + e) y and c/(v + e) y.
  const heard = [{ group: 0, band: 0, more: 3, variance: 0.5, ...alone }];
  const { mean } = gainsGiven([63, 2000], heard);
  expect(mean[0]).toBeCloseTo((whole / (whole + 0.5)) * 3, 9);
  expect(mean[2]).toBeCloseTo((both ** 2 / (whole + 0.5)) * 3, 9);
});

test("draws have the mean and the spread that are left", () => {
  const heard = [{ group: 1, band: 1, more: -2, variance: 0.3, ...alone }];
  const { draw, mean } = gainsGiven([50, 100], heard);
  const random = normal(5);
  const drawn = Array.from({ length: 4000 }, () => draw(random)[3]);
  const average = drawn.reduce((s, x) => s + x, 0) / drawn.length;
  const variance = drawn.reduce((s, x) => s + (x - average) ** 2, 0) / drawn.length;
  const left = whole - whole ** 2 / (whole + 0.3);
  expect(average).toBeCloseTo(mean[3], 1);
  expect(variance / left).toBeGreaterThan(0.9);
  expect(variance / left).toBeLessThan(1.1);
});

test("nothing heard leaves the model as it is", () => {
  expect([...gainsGiven([50, 100], []).mean]).toEqual([0, 0, 0, 0]);
});

test("bands that may all be wrong alike tell less than so many that are wrong each for itself", () => {
  // Two bands far apart, of variance v and covariance k, both heard as y: means (v + k)/(v + k + e + 2c) y, by the symmetry of the two.
  const [e, c] = [0.5, 0.8];
  const heard = [0, 1].map((band) => ({ group: 0, band, more: 3, variance: e, part: "low", common: c }));
  const k = both ** 2 + group ** 2;
  expect(gainsGiven([25, 4000], heard).mean[0]).toBeCloseTo((3 * (whole + k)) / (whole + k + e + 2 * c), 9);
  const apart = heard.map((h, i) => ({ ...h, part: `${i}` }));
  expect(gainsGiven([25, 4000], apart).mean[1]).toBeCloseTo((3 * (whole + k)) / (whole + k + e + c), 9);
});
