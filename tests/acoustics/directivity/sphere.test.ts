// Cabinets on a hard floor (with their mirror image) and in free air, by boundary elements: bempp-cl 0.4.2, direct formulation, triangles
// of 0.13 m, far field at 200 m, cones of 0.4 m across in the front. The sphere has the volume of the box and its image.
import { describe, expect, test } from "vitest";
import { sphereSides, toward } from "../../../lib/acoustics/directivity/sphere";
import { amplitudeToDecibel } from "../../../lib/acoustics/level/decibel";

const C = 343.2;
/** Width, height, depth and images; frequency; dB at 45°, 90°, 135° and 180° relative to the axis. Two cones where the box is 1.1 m wide or more. */
const BOXES: [number, number, number, number, number, number, number, number, number][] = [
  [0.6, 0.6, 0.7, 2, 31.5, -0.13, -0.28, -0.2, -0.1],
  [0.6, 0.6, 0.7, 2, 63, -0.54, -1.42, -1.23, -0.82],
  [0.6, 0.6, 0.7, 2, 80, -0.78, -2.34, -2.21, -1.55],
  [0.6, 0.6, 0.7, 2, 100, -0.92, -3.32, -3.5, -2.47],
  [0.6, 0.6, 0.7, 1, 63, -0.35, -0.85, -0.68, -0.41],
  [0.6, 0.6, 0.7, 1, 100, -0.74, -2.23, -2.08, -1.4],
  [0.7, 0.5, 0.6, 2, 63, -0.53, -1.32, -1.09, -0.7],
  [0.7, 0.5, 0.6, 2, 100, -1.03, -3.36, -3.34, -2.34],
  [0.7, 0.6, 0.8, 2, 63, -0.64, -1.75, -1.57, -1.08],
  [0.7, 0.6, 0.8, 1, 100, -0.76, -2.47, -2.44, -1.66],
  [0.6, 1.1, 0.8, 2, 63, -0.7, -2.09, -2.06, -1.53],
  [0.6, 1.1, 0.8, 1, 63, -0.52, -1.39, -1.23, -0.84],
  [1.1, 0.6, 0.8, 2, 31.5, -0.27, -0.61, -0.43, -0.21],
  [1.1, 0.6, 0.8, 2, 63, -1.04, -2.93, -2.57, -1.68],
  [1.2, 0.6, 1, 2, 63, -1.08, -3.27, -3.05, -2.03],
];

describe("small piston in a rigid sphere", () => {
  test("sends to the side and back what a box of its volume does, to 1 dB up to 63 Hz and 1.3 dB up to 100 Hz", () => {
    for (const [width, height, depth, images, f, ...levels] of BOXES) {
      const radius = ((3 * width * height * depth * images) / (4 * Math.PI)) ** (1 / 3);
      const k = (2 * Math.PI * f) / C;
      const sides = sphereSides(k * radius);
      levels.forEach((level, i) => {
        const angle = ((i + 1) * Math.PI) / 4;
        // Two cones, a quarter of the width from the middle, are the box's own doing.
        const cones = width > 1 ? Math.cos((k * width * Math.sin(angle)) / 4) : 1;
        const found = amplitudeToDecibel(toward(sides, Math.cos(angle)) * cones);
        const most = f > 80 ? 1.3 : 1;
        expect(Math.abs(found - level), `${width} × ${height} × ${depth} m, ${f} Hz, ${i}`).toBeLessThan(
          most,
        );
      });
    }
  });

  // The same series by scipy 1.17.1's spherical Bessel functions: dB at the side and straight behind.
  test.each([
    [0.387, -0.557, -0.232],
    [0.7727, -2.479, -1.684],
    [1.2266, -3.341, -2.779],
    [0.952, -3.159, -2.327],
  ])("follows the series at ka = %f", (ka, side, back) => {
    const found = sphereSides(ka);
    expect(amplitudeToDecibel(found.side)).toBeCloseTo(side, 1);
    expect(amplitudeToDecibel(found.back)).toBeCloseTo(back, 1);
  });

  test("is the same all round where it is small, and has no bound beyond which it is not a number", () => {
    expect(sphereSides(0)).toEqual({ side: 1, back: 1 });
    expect(sphereSides(2e-3).side).toBeCloseTo(1, 4);
    for (const ka of [1e-3, 0.1, 3, 1e3]) expect(Number.isFinite(sphereSides(ka).back)).toBe(true);
  });
});
