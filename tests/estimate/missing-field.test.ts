import { expect, test } from "vitest";
import { missingField } from "../../lib/estimate/missing-field";
import { normal } from "../../lib/numeric/random";

/** A microphone, and places 0.4 m, a metre and 60 m from it. */
const points = [0, 0.4, 1, 60].map((x) => ({ x, y: 0, z: 1.2 }));
const frequency = Float64Array.of(40, 80, 200);
const heard = { re: Float64Array.of(1.5), im: Float64Array.of(-0.5) };
const field = missingField(frequency, 160, points, [0]);

test("there is one below the limit alone", () => {
  expect(field.indices).toEqual([0, 1]);
});

test("the likeliest field is what was heard at the microphone, goes with sin(kr)/kr beside it, and is nothing far away", () => {
  const at = field.fresh()(0, heard);
  expect(at.re[0]).toBeCloseTo(1.5, 0);
  expect(at.im[0]).toBeCloseTo(-0.5, 0);
  // Waves from all sides: sin(kr)/kr (Cook et al. 1955, from memory), here nearer to the horizontal, so a little less.
  for (const i of [1, 2]) {
    const kr = ((2 * Math.PI * 40) / 343.2) * points[i].x;
    const alike = at.re[i] / at.re[0];
    expect(alike).toBeLessThan(Math.sin(kr) / kr + 0.02);
    expect(alike).toBeGreaterThan(Math.sin(kr) / kr - 0.1);
  }
  expect(Math.abs(at.re[3])).toBeLessThan(0.4);
});

test("what stays unknown grows from almost nothing at the microphone to all far away", () => {
  const [near, ...others] = field.unknown[0];
  expect(near).toBeLessThan(0.1);
  expect([near, ...others]).toEqual([near, ...others].sort((a, b) => a - b));
  expect(others[2]).toBeGreaterThan(0.9);
});

test("draws spread as much as is unknown, and keep to what was heard", () => {
  const random = normal(6);
  const drawn = Array.from({ length: 3000 }, () => {
    const { re, im } = field.fresh(random)(0, heard);
    return [re.slice(), im.slice()];
  });
  const square = (i: number, [re, im]: readonly [number, number]) =>
    drawn.reduce((sum, [x, y]) => sum + (x[i] - re) ** 2 + (y[i] - im) ** 2, 0) / drawn.length;
  const likeliest = field.fresh()(0, heard);
  expect(square(0, [1.5, -0.5])).toBeLessThan(0.05);
  expect(square(3, [likeliest.re[3], likeliest.im[3]])).toBeGreaterThan(0.85);
  expect(square(3, [likeliest.re[3], likeliest.im[3]])).toBeLessThan(1.1);
});
