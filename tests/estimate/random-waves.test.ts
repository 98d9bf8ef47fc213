import { expect, test } from "vitest";
import { amplitudes, correlation, fieldOf, planeWaves } from "../../lib/estimate/random-waves";
import { normal } from "../../lib/numeric/random";

const along = (axis: "x" | "y" | "z", r: number) => [
  { x: 1, y: 2, z: 1.2 },
  { x: 1 + (axis === "x" ? r : 0), y: 2 + (axis === "y" ? r : 0), z: 1.2 + (axis === "z" ? r : 0) },
];

/** Bessel function of order 0, by its integral: the mean of cos(kr sin t). */
const bessel = (x: number) => {
  let sum = 0;
  for (let i = 0; i < 400; i++) sum += Math.cos(x * Math.sin((Math.PI * (i + 0.5)) / 400));
  return sum / 400;
};

test.each(["x", "y"] as const)(
  "the field along %s is between that of waves from all sides and of waves along the floor",
  (axis) => {
    for (const kr of [0.4, 0.8, 1.5, 2, 3, 4.5]) {
      const alike = correlation(planeWaves(along(axis, kr), 1), 2, 0, 1);
      expect(alike, `kr ${kr}`).toBeLessThan(Math.sin(kr) / kr + 0.06);
      expect(alike, `kr ${kr}`).toBeGreaterThan(bessel(kr) - 0.06);
    }
  },
);

test("draws have a mean square of 1 and are as alike as they are said to be", () => {
  const waves = planeWaves(along("x", 1.2), 1);
  const random = normal(3);
  const field = { re: new Float64Array(2), im: new Float64Array(2) };
  let [square, common] = [0, 0];
  const count = 5000;
  for (let n = 0; n < count; n++) {
    fieldOf(amplitudes(random), waves, 2, field);
    square += field.re[0] ** 2 + field.im[0] ** 2;
    common += field.re[0] * field.re[1] + field.im[0] * field.im[1];
  }
  expect(square / count).toBeGreaterThan(0.95);
  expect(square / count).toBeLessThan(1.05);
  expect(Math.abs(common / count - correlation(waves, 2, 0, 1))).toBeLessThan(0.05);
});

test("amplitudes near those before are as alike as is asked, and no larger", () => {
  const random = normal(4);
  let former = amplitudes(random);
  let [square, common, count] = [0, 0, 0];
  for (let n = 0; n < 40; n++) {
    const next = amplitudes(random, former, 0.6);
    next.forEach((a, i) => {
      square += a * a;
      common += a * former[i];
      count++;
    });
    former = next;
  }
  expect(common / square).toBeGreaterThan(0.56);
  expect(common / square).toBeLessThan(0.64);
  expect((square / count) * 128).toBeGreaterThan(0.95);
  expect((square / count) * 128).toBeLessThan(1.05);
});
