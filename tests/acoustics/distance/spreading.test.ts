import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  coherentLineDrop,
  dropPerMetre,
  lineSourceDrop,
  lineTransitionDistance,
  pointSourceDrop,
} from "../../../lib/acoustics/distance/spreading";
import { expectAgreement } from "../deviation";
import reference from "../reference/acoustics_sources.json";

const metres = fc.double({ min: 0.1, max: 300, noNaN: true });

describe("point and line source", () => {
  // Common practice, no source: first and last row at a ratio of 9 : 1, and of 9.5 : 1.
  it("a distance ratio of 9 costs 19.1 dB and one of 9.5 costs 19.55 dB", () => {
    expect(pointSourceDrop(3, 27)).toBeCloseTo(19.08, 2);
    expect(pointSourceDrop(4, 38)).toBeCloseTo(19.55, 2);
  });

  it("each doubling costs 6.02 dB from a point and 3.01 dB from a line", () => {
    expect(pointSourceDrop(7, 14)).toBeCloseTo(6.0206, 4);
    expect(lineSourceDrop(7, 14)).toBeCloseTo(3.0103, 4);
    expect(pointSourceDrop(20, 10)).toBeCloseTo(-6.0206, 4);
  });

  it("the slope at a distance is that of the drop over the next centimetre", () => {
    fc.assert(
      fc.property(metres, (r) => {
        const point = pointSourceDrop(r - 0.005, r + 0.005) / 0.01;
        const line = lineSourceDrop(r - 0.005, r + 0.005) / 0.01;
        expect(dropPerMetre(r) / point).toBeCloseTo(1, 2);
        expect(dropPerMetre(r, "line") / line).toBeCloseTo(1, 2);
      }),
    );
    expect(dropPerMetre(10)).toBeCloseTo(0.8686, 4);
  });

  it("a distance that is not positive is refused by name", () => {
    expect(() => pointSourceDrop(0, 3)).toThrow("near distance is 0, expected a number above 0");
    expect(() => lineSourceDrop(1, -3)).toThrow("far distance is -3");
    expect(() => dropPerMetre(Number.NaN)).toThrow(RangeError);
  });
});

describe("coherent line", () => {
  // Adaptive quadrature by scipy.integrate.quad: scripts/reference/acoustics_sources.py.
  it("agrees with adaptive integration along the line", () => {
    expectAgreement(
      "coherent line against scipy",
      reference.coherent_line_drop.map(([length, frequency, near, far, drop]) => [
        coherentLineDrop(length, frequency, near, far),
        drop,
        `${length} m at ${frequency} Hz`,
      ]),
      2e-6,
    );
  });

  it("longer than a hundred thousand wavelengths is refused", () => {
    expect(() => coherentLineDrop(343.2, 100_002, 1, 2)).toThrow("line length in wavelengths is");
    expect(coherentLineDrop(0.01, 20, 1, 2)).toBeCloseTo(6.02, 2);
  });

  it("falls like a point source beyond four transition distances", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 8, noNaN: true }),
        fc.double({ min: 200, max: 4000, noNaN: true }),
        (length, frequency) => {
          const r = Math.max(length, 4 * lineTransitionDistance(length, frequency));
          expect(Math.abs(coherentLineDrop(length, frequency, r, 2 * r) - 6.02)).toBeLessThan(0.5);
        },
      ),
      { numRuns: 30 },
    );
  });

  it("passes to the point source where the end of the line lies a quarter wavelength farther than its middle", () => {
    const [length, frequency] = [4, 1000];
    const r = lineTransitionDistance(length, frequency, 340);
    expect(Math.hypot(r, length / 2) - r).toBeCloseTo(340 / frequency / 4, 9);
    expect(lineTransitionDistance(0.1, 100)).toBe(0);
  });
});
