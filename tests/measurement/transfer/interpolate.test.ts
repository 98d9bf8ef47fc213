import { describe, expect, it } from "vitest";
import { logGrid } from "../../../lib/acoustics/bands/bands";
import type { Response } from "../../../lib/acoustics/response";
import { interpolateResponse } from "../../../lib/measurement/transfer/interpolate";
import { interpolation as table } from "../reference/averages.json";

/** e^{−jωτ} times a second-order resonance at f0 of quality q, from its formula. */
function resonance(frequency: Float64Array, f0: number, q: number, delay: number): Response {
  const re = new Float64Array(frequency.length);
  const im = new Float64Array(frequency.length);
  frequency.forEach((f, i) => {
    const a = 1 - (f / f0) ** 2;
    const b = f / f0 / q;
    const c = Math.cos(2 * Math.PI * f * delay);
    const s = Math.sin(2 * Math.PI * f * delay);
    re[i] = (a * c - b * s) / (a * a + b * b);
    im[i] = (-a * s - b * c) / (a * a + b * b);
  });
  return { frequency, re, im };
}

function worst(a: Response, b: Response): number {
  return a.re.reduce((most, x, i) => Math.max(most, Math.hypot(x - b.re[i], a.im[i] - b.im[i])), 0);
}

describe("interpolateResponse", () => {
  it("agrees with scipy's cubic Hermite spline on numpy's gradients", () => {
    const got = interpolateResponse(
      {
        frequency: Float64Array.from(table.frequency),
        re: Float64Array.from(table.response.re),
        im: Float64Array.from(table.response.im),
      },
      Float64Array.from(table.wanted),
      { delay: 0 },
    );
    table.expected.re.forEach((re, i) => {
      expect(got.re[i]).toBeCloseTo(re, 10);
      expect(got.im[i]).toBeCloseTo(table.expected.im[i], 10);
    });
    expect(got.interpolated).toBe("complex");
  });

  it("keeps what falls on a measured point", () => {
    const source = resonance(logGrid(20, 500, 80), 60, 3, 0.01);
    const got = interpolateResponse(
      source,
      source.frequency.filter((_, i) => i % 3 === 0),
    );
    for (const [i, re] of got.re.entries()) {
      expect(Math.hypot(re - source.re[3 * i], got.im[i] - source.im[3 * i])).toBeLessThan(1e-12);
    }
  });

  it("carries a late response over by taking its delay out and putting it back", () => {
    // 80 ms is 27 m: from point to point the phase turns by up to 1,300°, and by a few with the delay out.
    const wanted = logGrid(21, 1900, 500);
    for (const delay of [-0.013, 0.0004, 0.08, 0.25]) {
      const got = interpolateResponse(resonance(logGrid(20, 2000, 200), 60, 3, delay), wanted);
      expect(worst(got, resonance(wanted, 60, 3, delay))).toBeLessThan(0.005);
      // The resonance itself is late by up to 2 q / ω₀ = 16 ms near 60 Hz, which takes part in the bulk.
      expect(Math.abs(got.bulkDelay - delay)).toBeLessThan(0.008);
    }
  });

  it("does the same from the even steps of a transform while the delay is less than half of 1 / step", () => {
    const wanted = logGrid(25, 900, 300);
    const steps = Float64Array.from({ length: 700 }, (_, i) => 1.5 * (i + 1));
    const early = interpolateResponse(resonance(steps, 80, 2, 0.3), wanted);
    expect(worst(early, resonance(wanted, 80, 2, 0.3))).toBeLessThan(0.005);
    // 0.5 s is more than half of 1 / 1.5 Hz: the points alone can't tell it from −0.167 s, so it must be given.
    const late = resonance(steps, 80, 2, 0.5);
    expect(
      worst(interpolateResponse(late, wanted, { delay: 0.5 }), resonance(wanted, 80, 2, 0.5)),
    ).toBeLessThan(0.005);
    expect(interpolateResponse(late, wanted).bulkDelay).toBeCloseTo(0.5 - 1 / 1.5, 2);
  });

  it("errs by less than 3 % where the phase turns by 60° from point to point, as it promises", () => {
    const frequency = logGrid(20, 2000, 100);
    const wanted = logGrid(30, 1500, 1000);
    // Phase that is even over log frequency: 59° a step.
    const spin = (f: Float64Array): Response => {
      const turn = (f0: number) => (Math.log(f0 / 20) / Math.log(frequency[1] / 20)) * (59 / 180) * Math.PI;
      return { frequency: f, re: f.map((x) => Math.cos(turn(x))), im: f.map((x) => Math.sin(turn(x))) };
    };
    const error = worst(interpolateResponse(spin(frequency), wanted, { delay: 0 }), spin(wanted));
    expect(error).toBeLessThan(0.03);
    expect(error).toBeGreaterThan(0.015);
  });

  it("refuses frequencies that were not measured, and names them", () => {
    const source = resonance(logGrid(20, 2000, 200), 60, 3, 0);
    expect(() => interpolateResponse(source, Float64Array.of(19, 50))).toThrow(
      "frequency 19 Hz lies outside the 20 to 2000 Hz that were measured; choose frequencies within",
    );
    expect(() => interpolateResponse(source, Float64Array.of(50, 2001))).toThrow(/frequency 2001 Hz/);
    expect(() => interpolateResponse(source, Float64Array.of(50, NaN))).toThrow(/frequency NaN Hz/);
    expect(() => interpolateResponse(source, Float64Array.of(50, 40))).toThrow(/frequency\[1\] is 40/);
    expect(() => interpolateResponse(source, new Float64Array(0))).toThrow(/frequency is empty/);
  });

  it("refuses points that are too far apart, and says where and by what", () => {
    const octaves = resonance(Float64Array.of(20, 40, 80, 160), 300, 0.7, 0);
    expect(() => interpolateResponse(octaves, Float64Array.of(50))).toThrow(
      "response is too coarse between 40 and 80 Hz: a step of 1.00 octaves, expected 0.4 at most; measure with longer windows",
    );
    const sharp = resonance(logGrid(20, 200, 20), 60, 30, 0);
    expect(() => interpolateResponse(sharp, Float64Array.of(62), { delay: 0 })).toThrow(
      /^response is too coarse between 59\.5\d* and 67\.1\d* Hz: its phase turns by 1\d\d°, expected 60° at most; measure/,
    );
    expect(interpolateResponse(sharp, Float64Array.of(30)).re[0]).toBeGreaterThan(1);
  });

  it("can keep the whole and give the coarse part coherence 0 instead", () => {
    const octaves = resonance(Float64Array.of(20, 25, 50, 60), 300, 0.7, 0);
    const got = interpolateResponse(octaves, Float64Array.of(22, 40, 50, 55), { tooCoarse: "doubt" });
    expect(Array.from(got.coherence!)).toEqual([1, 0, 1, 1]);
  });

  it("without phase interpolates the magnitude and says so", () => {
    const source = {
      frequency: Float64Array.of(100, 121),
      re: Float64Array.of(1, 3),
      im: new Float64Array(2),
      magnitudeOnly: true,
    };
    const got = interpolateResponse(source, Float64Array.of(110));
    expect(got.re[0]).toBeCloseTo(2, 12);
    expect(got.magnitudeOnly).toBe(true);
    expect(got.interpolated).toBe("magnitude");
  });

  it("carries coherence, averages and the part without phase along", () => {
    const source = {
      ...resonance(Float64Array.of(100, 121), 300, 0.7, 0),
      coherence: Float64Array.of(0.5, 1),
      averages: Float64Array.of(10, 30),
      diffuse: Float64Array.of(2, 0),
    };
    const got = interpolateResponse(source, Float64Array.of(110));
    expect(got.coherence![0]).toBeCloseTo(0.75, 12);
    expect(got.averages![0]).toBeCloseTo(20, 12);
    expect(got.diffuse![0]).toBeCloseTo(1, 12);
  });
});
