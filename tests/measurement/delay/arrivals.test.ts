import { describe, expect, test } from "vitest";
import { type AnalyticResponse, findArrivals } from "../../../lib/measurement/delay/arrivals";

const centre = 60;
/** Half a band: a Gaussian of ±6 samples on a carrier, whose envelope is 1 at `at`. */
function pulse(length: number, at: number, re = 1, im = 0): AnalyticResponse {
  const shape = (n: number) => {
    const g = Math.exp(-(((n - at) / 6) ** 2));
    const [c, s] = [Math.cos(0.9 * (n - at)), Math.sin(0.9 * (n - at))];
    return [g * (re * c - im * s), g * (re * s + im * c)];
  };
  const all = Array.from({ length }, (_, n) => shape(n));
  return { re: Float64Array.from(all, ([v]) => v), im: Float64Array.from(all, ([, v]) => v) };
}
const sum = (...parts: AnalyticResponse[]): AnalyticResponse => ({
  re: parts[0].re.map((_, n) => parts.reduce((s, p) => s + p.re[n], 0)),
  im: parts[0].im.map((_, n) => parts.reduce((s, p) => s + p.im[n], 0)),
});
const shape = pulse(2 * centre + 1, centre);
const found = (response: AnalyticResponse, count = 9, floor = 0.1) =>
  findArrivals(response, shape, centre, count, floor);

describe("arrivals in a response", () => {
  test("are found between samples, with height and phase, the highest first, until nothing is left", () => {
    const response = sum(pulse(300, 100.3, 0, 1), pulse(300, 180.75, -2), pulse(300, 230, 0.3, 0.4));
    const arrivals = found(response);
    expect(arrivals.length).toBe(3);
    [
      [180.75, -2, 0, 2],
      [100.3, 0, 1, 1],
      [230, 0.3, 0.4, 0.5],
    ].forEach(([index, re, im, height], i) => {
      expect(arrivals[i].index).toBeCloseTo(index, 2);
      expect(arrivals[i].re).toBeCloseTo(re, 2);
      expect(arrivals[i].im).toBeCloseTo(im, 2);
      expect(arrivals[i].height).toBeCloseTo(height, 3);
    });
    // What stays is the part not explained.
    for (const v of [...response.re, ...response.im]) expect(Math.abs(v)).toBeLessThan(0.01);
  });

  test("show both where they overlap, and none of their sides", () => {
    const arrivals = found(sum(pulse(300, 100), pulse(300, 114, 0.6)));
    expect(arrivals.slice(0, 2).map((a) => Math.round(a.index))).toEqual([100, 114]);
    expect(arrivals[1].height).toBeCloseTo(0.6, 1);
  });

  test("are at most so many, and none below the floor, a share of the highest", () => {
    const three = () => sum(pulse(300, 60), pulse(300, 150, 0.5), pulse(300, 240, 0.2));
    expect(found(three(), 2).length).toBe(2);
    expect([0.19, 0.21, 0.49, 0.51].map((floor) => found(three(), 9, floor).length)).toEqual([3, 2, 2, 1]);
    expect(found({ re: new Float64Array(50), im: new Float64Array(50) })).toEqual([]);
  });

  test("are taken away at the ends as well, as far as the response goes", () => {
    for (const at of [3, 295]) {
      const response = pulse(300, at);
      const [first, ...others] = found(response, 9, 0.2);
      expect(first.index).toBeCloseTo(at, 0);
      expect(others).toEqual([]);
    }
  });
});
