import { describe, expect, it } from "vitest";
import { responseError } from "../../lib/acoustics/uncertainty";

describe("error of a transfer function", () => {
  // Noise is added to a known response many times over, as Bendat and Piersol derive their formula for: input and noise
  // are complex normal numbers, one per average, and the response is estimated as cross spectrum over input spectrum.
  it("is the scatter of estimates made from noisy records", () => {
    const random = normal(11);
    for (const [coherence, averages] of [
      [0.5, 40],
      [0.9, 12],
      [0.2, 100],
    ]) {
      const noise = Math.sqrt((1 - coherence) / coherence);
      let squares = 0;
      const trials = 6000;
      for (let trial = 0; trial < trials; trial++) {
        let [input, cross] = [0, 0];
        for (let n = 0; n < averages; n++) {
          const [xr, xi] = [random(), random()];
          // Response 1; only the part of the error in phase with it changes the magnitude, to first order.
          const [yr, yi] = [xr + noise * random(), xi + noise * random()];
          input += xr * xr + xi * xi;
          cross += xr * yr + xi * yi;
        }
        squares += (cross / input - 1) ** 2;
      }
      expect(Math.sqrt(squares / trials) / responseError(coherence, averages)).toBeGreaterThan(0.94);
      // The formula is that of many averages: few of them scatter by up to n/(n − 1) more in the mean square.
      expect(Math.sqrt(squares / trials) / responseError(coherence, averages)).toBeLessThan(1.08);
    }
  });

  it("nothing is known at a coherence of 0 and everything at 1", () => {
    expect(responseError(0, 20)).toBe(Infinity);
    expect(responseError(1, 20)).toBe(0);
    expect(() => responseError(1.2, 20)).toThrow("coherence is 1.2, expected 0 to 1");
    expect(() => responseError(0.5, 0)).toThrow("number of averages is 0");
  });
});

/** Normal random numbers by Box and Muller, the same on every run. */
function normal(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
